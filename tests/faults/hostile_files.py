"""Hostile text in files that are read, and in their names."""

import json
import os
import re
import shutil
from pathlib import Path

import hostile
from hostile import DOUBTFUL, REFUSED, check_error, check_folder, count, fail_unless
from hostile_calls import Bench
from shop import ROOT


def files(shop):
    (shop.folder / "more.csv").write_text("time,temperature (C)\n2026-01-05T10:00:00Z,19.0\n")
    (shop.folder / "names").mkdir()
    bench = Bench(shop)
    rules = shop.rules.read_text().replace("eu-own", "eu-more")

    def refuse(where, *words):
        done = bench.call(words)
        fail_unless(done.returncode in (2, 3), "%s: status %d" % (where, done.returncode))
        check_error(done, where)
        fail_unless(bench.untouched(), "%s: the book was written" % where)
        count("files refused")

    path = shop.folder / "r.toml"
    for kind, text in REFUSED.items():
        raw = text if isinstance(text, bytes) else text.encode()
        for key in ("cite", "asks", "when", "ask", "source", "key", "check", "reviewed", "standing"):
            for form in ("escaped", "raw"):
                if form == "escaped":
                    if isinstance(text, bytes):
                        continue
                    value = "".join(c if 0x20 <= ord(c) < 0x7F and c not in '"\\' else "\\U%08X" % ord(c)
                                    for c in text).encode()
                else:
                    value = raw.replace(b"\\", b"").replace(b'"', b"")
                data = re.sub(rb"(?m)^%s = .*$" % key.encode(), lambda m: key.encode() + b' = "' + value + b'"',
                              rules.encode())
                path.write_bytes(data)
                refuse("rule file, %s, %s, %s" % (key, kind, form), "rule", "add", path, "--by", "1")
        path.write_bytes(rules.replace('asks =', 'x = 1\n"k%s" =' % "\\u001b[31m").encode())
    refuse("rule file, a key with an escape", "rule", "add", path, "--by", "1")
    # A logger's file.
    log = shop.folder / "l.csv"
    for kind, text in REFUSED.items():
        raw = text if isinstance(text, bytes) else text.encode()
        log.write_bytes(b"time,temperature (C)\n" + raw + b",19.0\n")
        refuse("logger, cell, " + kind, "readings", log, "--place", "House", "--by", "1")
        log.write_bytes(b"time,temperature (C)\n2026-01-05T10:00:00Z," + raw + b"\n")
        refuse("logger, value, " + kind, "readings", log, "--place", "House", "--by", "1")
        log.write_bytes(raw + b",y\n2026-01-05T10:00:00Z,19\n")
        refuse("logger, heading, " + kind, "readings", log, "--place", "House", "--by", "1")
        bad = shop.folder / "bad.jsonl"
        bad.write_bytes(b'{"number":1,"kind":"' + raw + b'"}\n{"trailer":{"book":"' + raw + b'"}}\n')
        refuse("import, " + kind, "import", bad, "--book", "n.db")
        bad.write_bytes(raw + b"\n" + raw)
        refuse("import, no JSON, " + kind, "import", bad, "--book", "n.db")
        refuse("no book, " + kind, "due", "--book", bad)
    sheets(bench)
    # Names of files: kept papers, the logger's file, the photograph.
    for kind, text in {**REFUSED, **DOUBTFUL}.items():
        name = (text if isinstance(text, bytes) else text.encode()).replace(b"/", b"_")[:200]
        folder = os.fsencode(shop.folder / "names")
        paper = folder + b"/" + name
        for source, call in ((b"paper", ["statement", "F1", "--about", "safety", "--file", paper]),
                             (shop.folder.joinpath("more.csv"), ["readings", paper, "--place", "Cupboard"]),
                             (ROOT / "docs" / "demo-board.jpg", ["photograph", shop.first, paper])):
            with open(paper, "wb") as out:
                out.write(source if isinstance(source, bytes) else Path(source).read_bytes())
            done = bench.call([*call, "--by", "1"])
            where = "name of a file, %s, %s" % (call[0], kind)
            hostile.check_bytes(done.stdout, where)
            hostile.check_bytes(done.stderr, where)
            if kind in REFUSED and not kind.startswith("long"):
                fail_unless(done.returncode == 2 and bench.untouched(), "%s: status %d: %s" %
                            (where, done.returncode, done.stdout[:100]))
            count("names of files")
            if done.returncode <= 1:
                kept_papers(bench, where)
            bench.again()
            os.unlink(paper)


WOOD = {"when": "2025-01-05", "label": "plank", "species": "white-oak", "supplier": "Y", "lot": "7"}


def sheets(bench):
    """A maker's old sheets with such a cell or heading, by commas, semicolons and tabs: problems, and nothing written."""
    folder = bench.shop.folder / "old"
    folder.mkdir()

    def refuse(where, head, cells):
        (folder / "wood.csv").write_bytes(mark.join(head) + b"\n" + mark.join(cells) + b"\n")
        done = bench.call(["import", "--csv", folder, "--by", "1"])
        fail_unless(done.returncode == 2, "%s: status %d: %s" % (where, done.returncode, done.stdout[:300]))
        hostile.check_bytes(done.stdout, where)
        hostile.check_bytes(done.stderr, where)
        fail_unless(bench.untouched(), "%s: the book was written" % where)
        count("sheets refused")

    for at, (kind, text) in enumerate(REFUSED.items()):
        raw = text if isinstance(text, bytes) else text.encode()
        mark = (b",", b";", b"\t")[at % 3]
        quoted = b'"' + raw.replace(b'"', b'""') + b'"'
        for column in WOOD:
            refuse("sheet, %s, %s" % (column, kind), [name.encode() for name in WOOD],
                   [quoted if name == column else cell.encode() for name, cell in WOOD.items()])
        refuse("sheet, heading, " + kind, [quoted, b"when"], [b"x", b"2025-01-05"])


def kept_papers(bench, where):
    """export --papers writes nothing outside its folder, under tame names, and a tame list."""
    folder = bench.shop.folder / "papers"
    done = bench.call(["export", "--papers", "papers"])
    fail_unless(done.returncode == 0, "%s: %s" % (where, done.stderr))
    check_folder(folder, where)
    shutil.rmtree(folder)
