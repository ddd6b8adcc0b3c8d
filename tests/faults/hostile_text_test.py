#!/usr/bin/python3
"""Hostile text on every way in and every way out (issue 7, item 6).

    hostile_text_test.py --trencher BIN [--full] [--part typed|files|book|honest]

typed   every hostile string of hostile.py through every option and word of every writing command that
        `--help` lists: refused with one harmless sentence and status 2, the book's bytes untouched; or
        accepted, and then stored as it was typed and printed harmlessly.
files   the same in rule files, a logger's file, kept papers, an import, and in the names of files.
book    an export whose free texts are hostile, hashed and sealed anew, imported: every reading command, on
        the terminal and as JSON, and every paper, sheet and calendar, read back by other programs.
honest  names and notes of honest makers look right on every way out.
"""

import argparse
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
import hostile  # noqa: E402
from hostile import DOUBTFUL, HONEST, REFUSED, Fault  # noqa: E402
from shop import LANGUAGES, ROOT, Shop, boards, stock  # noqa: E402
from verify_book import canonical, netstring, sha256  # noqa: E402

CUSTOMERS = [("Ada Winterbourne", "ada@winterbourne.example"), ("Bo Tarn", "bo@tarn.example"),
             ("Cy Oakley", "cy@oakley.example")]
COUNTS = {}


def count(what, number=1):
    COUNTS[what] = COUNTS.get(what, 0) + number


def fail_unless(held, sentence):
    if not held:
        raise Fault(sentence)


# ---- the commands, from --help -------------------------------------------------------------------

def subcommands():
    """Words that a command takes first, as its source says: --help does not list them."""
    found = set()
    for file in (ROOT / "src" / "commands").glob("*.cpp"):
        for words in re.findall(r"choose_if\(\s*\{([^}]*)\}", file.read_text()):
            found.update((file.name, word) for word in re.findall(r'"([a-z-]+)"', words))
    return {word for _, word in found}


def help_of(shop, words):
    return shop.run(*words, "--help").stdout.decode()


def commands(shop):
    """Every command with its options, {words: (writes, [options], [words])}."""
    found = {}

    def walk(words):
        text = help_of(shop, words)
        parts = re.search(r"\n[^\n]*: ([a-z, -]+)\. Each has its own --help", text)
        if parts:
            for part in parts.group(1).split(", "):
                walk(words + (part,))
            return
        usage = text.split("\n")[0]
        positional = re.findall(r" ([A-Z]{2,}(?:…|\|\w+)?|STEP=MINUTES…)", usage[len("trencher ") +
                                                                          len(" ".join(words)):])
        options = re.findall(r"^  (-[-\w]+) \S", text, re.M)
        found[words] = ("--because" in options, options, positional)

    for name in re.findall(r"^  ([a-z-]+) ", help_of(shop, ()), re.M):
        walk((name,))
    for words in SUBCOMMANDS:
        walk(words)
    return found


SUBCOMMANDS = [("worker", "add"), ("place", "add"), ("product", "add", "glue"), ("product", "add", "finish"),
               ("product", "add", "other"), ("product", "change", "glue"), ("product", "change", "finish"),
               ("product", "change", "other"), ("species", "add"), ("statement", "show"),
               ("stall-sheet", "enter"), ("people", "export"), ("recall", "status"), ("recall", "reached"),
               ("recall", "no-answer"), ("recall", "destroyed"), ("recall", "returned"), ("recall", "close"),
               ("workshop", "hours"), ("workshop", "days-off"), ("workshop", "market-days"), ("workshop", "rack"),
               ("workshop", "minutes")]


def bases(s):
    """For each writing command a call that is accepted, without --by: words, then options."""
    first, work, pieces = s.first, s.work, s.first_pieces
    here, ready = s.ready_pieces[0], s.ready
    tin = ["--name", "N", "--supplier", "S", "--lot", "L"]
    out = {
        "start": ["--maker", "M", "--address", "A", "--contact", "c@x.example", "--market", "uk", "--zone",
                  "Europe/London", "--units", "metric", "--country", "GB", "--book", "new.db"],
        "workshop": ["--maker", "M"], "worker": [], "place": [], "product": [],
        "receive wood": ["--species", "hard-maple", "--supplier", "S", "--lot", "L"],
        "receive glue": ["--kind", "pva-d3", *tin], "receive finish": ["--kind", "mineral-oil", *tin],
        "receive other": ["--kind", "rubber-feet", *tin],
        "mix": ["--from", "F1=5ml", "--from", "F3=5ml", "--name", "N"], "open": ["F5"],
        "statement": ["F1", "--about", "ingredients", "--ingredient", "I"],
        "batch": ["--wood", "W1", "--finish", "F1", "--schedule", "oil", "--pieces", "2", "--size", "300x200x20mm",
                  "--use", "cutting-board", "--place", "house", "--for", "N", "--contact", "C"],
        "log glue-up": [s.fresh, "--from", "G2=5ml", "--temp", "19C", "--rh", "50"],
        "log fit": [s.fresh, "--from", "X1", "--what", "W"], "log sand": [s.fresh, "--grit", "120"],
        "log raise-grain": [s.fresh, "--rounds", "1"],
        "log coat": [s.fresh, "--from", "F4=5ml", "--temp", "19C", "--rh", "50"],
        "log scuff": [work, "--grit", "320"], "log inspect": [s.fresh, "--sound", "--what", "W"],
        "log move": [s.fresh, "--to", "Cupboard"], "log reading": ["--place", "house", "--temp", "19C", "--rh", "50"],
        "log rags-done": [work], "log note": [first, "T"], "readings": ["more.csv", "--place", "House"],
        "sign-off": [ready, "--pieces", "3", "--because", "B"],
        "give": [here, "--to", "N", "--contact", "C", "--as", "sale", "--market", "uk", "--because", "B"],
        "photograph": [first, s.folder / "board.jpg"],
        "stall-sheet": ["-o", "s.pdf", "--event", "E", "--on", s.day(1)], "scrap": [here, "--why", "W"],
        "split": [ready, "--pieces", "4", "--schedule", "oil", "--finish", "F1", "--why", "W", "--because", "B"],
        "take-back": [pieces[2], "--place", "House", "--owner-applied", "walnut it seems"],
        "card": [first, "-o", "c.pdf", "--because", "B"],
        "answer": [pieces[1], "--about", "milk", "--ingredient", "I", "--keep"],
        "withdraw": ["F3", "--why", "W"], "recall": ["G1", "-o", "recall", "--risk", "R", "--do", "D"],
        "complaint": [pieces[1], "--severity", "flaw", "--what", "W", "--where", "H"],
        "forget": ["Cy Oakley", "--even-if-recalled"], "correct": [s.coat, "--set", "temp=20C", "--why", "W"],
        "strike": [s.coat, "--why", "W", "--because", "B"], "dealt": [s.complaint2, pieces[1], "--how", "H"],
        "species": [], "rule": ["add", s.folder / "more.toml"],
        "worker add": ["N"], "place add": ["N"], "product add glue": ["--kind", "pva-d3", "--name", "N", "--supplier",
                                                                     "S"],
        "product add finish": ["--kind", "mineral-oil", "--name", "N", "--supplier", "S"],
        "product add other": ["--kind", "rubber-feet", "--name", "N", "--supplier", "S"],
        "product change finish": ["P1", "--name", "N"], "product change glue": ["P2", "--name", "N"],
        "product change other": ["P3", "--name", "N"],
        "species add": ["own-ash", "--common", "C", "--botanical", "B", "--group", "hardwood", "--source", "S",
                        "--health", "H", "--health-source", "S"],
        "statement show": ["F1"], "stall-sheet enter": [here + "=N/C", "--event", "E", "--market", "uk", "--because",
                                                        "B"],
        "recall status": [s.withdrawal], "recall close": [s.withdrawal, "--why", "W", "--because", "B"],
        "workshop hours": ["mon-fri", "19:00-21:30"], "workshop days-off": [s.day(40)],
        "workshop market-days": [s.day(40), "--name", "N"], "workshop rack": ["12"], "workshop minutes": ["sand=20"],
    }
    for how in ("reached", "no-answer", "destroyed", "returned"):
        out["recall " + how] = [pieces[3 if how != "returned" else 2], "--of", s.withdrawal, "--how", "H"]
    return {tuple(name.split()): [str(word) for word in words] for name, words in out.items()}


# ---- typed ---------------------------------------------------------------------------------------

class Bench:
    """A shop whose book is put back after each call that changed it."""

    def __init__(self, shop):
        self.shop = shop
        self.kept = shop.book.read_bytes()
        self.stamp = self.now()
        self.files = set(os.listdir(shop.folder))

    def call(self, words):
        raw = [word if isinstance(word, bytes) else str(word).encode() for word in words]
        return subprocess.run([self.shop.program.encode(), *raw], capture_output=True, env=self.shop.env,
                              cwd=self.shop.folder, stdin=subprocess.DEVNULL, timeout=60)

    def now(self):
        there = self.shop.book.stat()
        return there.st_mtime_ns, there.st_size, there.st_ino

    def untouched(self):
        return self.now() == self.stamp or self.shop.book.read_bytes() == self.kept

    def again(self):
        if not self.untouched():
            self.shop.book.write_bytes(self.kept)
            self.stamp = self.now()
        for name in set(os.listdir(self.shop.folder)) - self.files:
            path = self.shop.folder / name
            shutil.rmtree(path) if path.is_dir() and not path.is_symlink() else path.unlink()

    def new_names(self):
        return set(os.listdir(self.shop.folder)) - self.files


def with_option(base, option, value):
    """`base` with that option set to `value`, in the one word that takes any beginning."""
    words = list(base)
    while option in words:
        at = words.index(option)
        del words[at:at + 2]
    text = value if isinstance(value, bytes) else value.encode()
    joint = b"=" if option.startswith("--") else b""
    return words + [option.encode() + joint + text]


# A hostile text is only a beginning of what these take; it is put where it belongs in it.
SHAPED = {("correct", "--set"): b"temp="}


def variants(words, options, base, positional):
    """Each option, each word, as a function of the hostile text."""
    for option in options:
        if option in ("--json", "--help", "--book") or (words, option) == (("start",), "--by"):
            continue
        prefix = SHAPED.get((words[0], option), b"")
        yield option, lambda value, o=option, p=prefix: with_option(
            base, o, p + (value if isinstance(value, bytes) else value.encode()))
    given = 0
    while given < len(base) and not base[given].startswith("-"):
        given += 1
    for at in range(given):
        yield "word %d" % (at + 1), lambda value, i=at: [*base[:i], *base[i + 1:given], *base[given:], "--",
                                                         value] if given == 1 else [*base[:i], value, *base[i + 1:]]


def check_error(done, where):
    text = hostile.check_bytes(done.stderr, where)
    fail_unless(hostile.check_bytes(done.stdout, where) is not None, where)
    fail_unless(text.startswith("trencher: ") and len(text) < 8000, "%s: an error of %d signs: %r" %
                (where, len(text), text[:80]))
    return text


def stored_texts(book):
    import sqlite3
    with sqlite3.connect("file:%s?mode=ro" % book, uri=True) as sql:
        last = sql.execute("SELECT body FROM entry ORDER BY number DESC LIMIT 3").fetchall()
        persons = sql.execute("SELECT name, contact FROM person").fetchall()
    return " ".join([json.dumps(json.loads(row[0]), ensure_ascii=False) for row in last] +
                    [json.dumps(text, ensure_ascii=False) for row in persons for text in row])


def typed(shop):
    (shop.folder / "more.csv").write_text("time,temperature (C)\n2026-01-05T10:00:00Z,19.0\n")
    (shop.folder / "more.toml").write_text(shop.rules.read_text().replace("eu-own", "eu-more"))
    shutil.copy(ROOT / "docs" / "demo-board.jpg", shop.folder / "board.jpg")
    shop.complaint2 = shop.entry("complaint", shop.first_pieces[1], "--severity", "flaw", "--what", "it squeaks anew",
                                 "--by", "1")
    for stock_kind, kind in (("glue", "pva-d3"), ("other", "rubber-feet")):
        shop.enter("product", "add", stock_kind, "--kind", kind, "--name", "N", "--supplier", "S", "--by", "1")
    shop.enter("receive", "finish", "--product", "P1", "--lot", "M3", "--by", "1")
    bench = Bench(shop)
    known = commands(shop)
    for word in subcommands():
        fail_unless(any(word in words for words in SUBCOMMANDS), "the test knows no call of '%s'" % word)
    table = bases(shop)
    for words, (writes, options, positional) in sorted(known.items()):
        if not writes:
            continue
        fail_unless(words in table, "the test knows no call of the writing command '%s'" % " ".join(words))
        base = table[words]
        by = [] if words in {("start",)} | LISTS else ["--by", "1"]
        done = bench.call([*words, *base, *by])
        fail_unless(done.returncode <= 1, "the base call of '%s' is refused: %s" % (" ".join(words),
                                                                                  done.stderr.decode()))
        # Some calls of a writing command only list or print; they do not read --at and its like.
        bench.only_reads = bench.untouched() and words != ("start",)
        bench.again()
        count("writing commands")
        for name, build in variants(words, options, base, positional):
            # An option has its own text for --by; everything else is said by the only worker of two.
            more = [] if name == "--by" else by
            count("options and words")
            worded = takes_text(shop, words, name)
            count("text options and words", worded)
            # --note and --because are read in one place for all commands.
            of = 5 if worded and name not in ("--note", "--because") else 11
            for kind, text in share(REFUSED, of):
                refused(bench, words, name, kind, [*words, *more, *build(text)])
            if not worded:
                continue
            for kind, text in share(DOUBTFUL, of):
                doubtful(bench, words, name, kind, text, [*words, *more, *build(text)])
    reading(bench, known)


# Where no word follows they list, and take no --by.
LISTS = {("worker",), ("place",), ("product",), ("species",)}
TURN = [0]
FULL = [False]


def share(texts, of):
    """Every `of`-th of them, others each time, so that each string comes to each kind of option: all take hundreds
    of thousands of milliseconds, and --full takes all."""
    TURN[0] += 1
    return [item for at, item in enumerate(texts.items()) if FULL[0] or (at + TURN[0]) % of == 0]


def takes_text(shop, words, name):
    if name.startswith("word"):
        return True
    return re.search(r"^  %s (TEXT|NAME|FILE|PATH|FOLDER|WHAT|FIELD\S*)" % re.escape(name), help_of(shop, words),
                     re.M) is not None


def refused(bench, words, name, kind, call):
    where = "%s, %s, %s" % (" ".join(words), name, kind)
    done = bench.call(call)
    if bench.only_reads and done.returncode == 0:
        hostile.check_bytes(done.stdout, where)
        fail_unless(bench.untouched(), where)
        bench.again()
        return
    fail_unless(done.returncode in (2, 3), "%s: status %d: %s" % (where, done.returncode, done.stdout[:200]))
    check_error(done, where)
    fail_unless(done.returncode == 2, "%s: status 3: %s" % (where, done.stderr[:300]))
    fail_unless(bench.untouched(), "%s: the book was written" % where)
    fail_unless(not bench.new_names(), "%s: files were left: %s" % (where, bench.new_names()))
    count("typed, refused")


def doubtful(bench, words, name, kind, text, call):
    where = "%s, %s, %s" % (" ".join(words), name, kind)
    done = bench.call(call)
    count("typed, doubtful")
    if done.returncode > 1:
        check_error(done, where)
        fail_unless(bench.untouched(), "%s: the book was written" % where)
    else:
        hostile.check_bytes(done.stdout, where)
        hostile.check_bytes(done.stderr, where)
        if not bench.untouched() and is_kept(name) and (words, name) != (("answer",), "--ingredient"):
            stored = stored_texts(bench.shop.book)
            fail_unless(json.dumps(text.strip(" "), ensure_ascii=False)[1:-1] in stored,
                        "%s: not stored as typed" % where)
            count("typed, kept as typed")
    outside = [path for path in bench.new_names() if "/" in path]
    fail_unless(not outside, where)
    bench.again()


def is_kept(name):
    return name in ("--note", "--because", "--name", "--supplier", "--lot", "--why", "--what", "--where", "--how",
                    "--event", "--to", "--for", "--ingredient", "--reference", "--maker", "--address")


def reading(bench, known):
    """Reading commands quote what was typed in their errors, too."""
    for words, (writes, options, _) in sorted(known.items()):
        if writes:
            continue
        count("reading commands")
        for option in [o for o in options if o not in ("--json", "--help")] + [""]:
            for kind, text in share(REFUSED, 11):
                call = [*words, *with_option([], option, text)] if option else [*words, text]
                where = "%s, %s, %s" % (" ".join(words), option, kind)
                done = bench.call(call)
                if done.returncode == 0 and option == "--book":  # of a command that needs none
                    hostile.check_bytes(done.stdout, where)
                    continue
                fail_unless(done.returncode >= 2, "%s: status %d" % (where, done.returncode))
                check_error(done, where)
                count("typed, refused by reading commands")
                bench.again()


# ---- files ---------------------------------------------------------------------------------------

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

    def quoted(text):
        return json.dumps(text, ensure_ascii=True).replace("\\ud83d", "") if isinstance(text, str) else None

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


def kept_papers(bench, where):
    """export --papers writes nothing outside its folder, under tame names, and a tame list."""
    folder = bench.shop.folder / "papers"
    done = bench.call(["export", "--papers", "papers"])
    fail_unless(done.returncode == 0, "%s: %s" % (where, done.stderr))
    check_folder(folder, where)
    shutil.rmtree(folder)


def check_folder(folder, where):
    names = os.listdir(folder)
    for name in names:
        fail_unless(re.fullmatch(r"[^\x00-\x20\x7f/\\:*?\"<>|'`$&;]{1,200}", name) and not hostile.harmful(name)
                    and not name.startswith(("-", ".", "_")) and not (folder / name).is_symlink(),
                    "%s: the name %r" % (where, name))
        if name.endswith(".csv"):
            hostile.check_csv((folder / name).read_bytes(), where + ", " + name)
            count("CSV files")
    count("folders")
    return names


# ---- already in the book -------------------------------------------------------------------------

# Members of bodies that a person or a paper words; all others are ids, choices and numbers of ours.
FREE = {"maker", "address", "contact", "responsible", "name", "supplier", "lot", "note", "because", "why", "what",
        "where", "how", "event", "text", "reference", "ingredients", "owner_applied", "file_name", "common_name",
        "botanical_name", "source", "cite", "asks", "when", "ask", "names", "common", "botanical", "health_note",
        "health_source", "words", "before", "now"}


class Hostile:
    """Replaces each free text by the next of some."""

    def __init__(self, texts):
        self.texts = list(texts)
        self.at = 0
        self.replaced = 0

    def next(self):
        self.at += 1
        return self.texts[self.at % len(self.texts)]

    def value(self, value):
        self.replaced += 1
        if isinstance(value, dict):
            return {name: self.next() if isinstance(member, str) else member for name, member in value.items()}
        if isinstance(value, list):
            return [self.next() if isinstance(item, str) else self.body(item) for item in value]
        return self.next()

    def body(self, value):
        if isinstance(value, list):
            return [self.body(item) for item in value]
        if not isinstance(value, dict):
            return value
        # A card needs an address on the web from the maker.
        return {name: self.next() + " a@b.example" if name == "contact" and isinstance(member, str)
                else self.value(member) if name in FREE and isinstance(member, (str, list, dict)) and
                not (isinstance(member, (list, dict)) and name in ("now", "before", "when"))
                else self.body(member) for name, member in value.items()}


def seal_of(person):
    return sha256(b"".join(netstring(person[name]) for name in ("salt", "id", "name", "contact")))


def hostile_export(export, texts, target):
    """The lines of an export with other texts, hashed and sealed anew."""
    lines = [json.loads(line) for line in export.splitlines()]
    swap = Hostile(texts)
    seals = {}
    for line in lines:
        if "person" in line:
            person = line["person"]
            person["name"], person["contact"] = swap.next(), swap.next()
            seals[person["id"]] = seal_of(person)
            swap.replaced += 2

    def sealed(value):
        if isinstance(value, dict):
            if value.get("person") in seals and "seal" in value:
                value["seal"] = seals[value["person"]]
            for member in value.values():
                sealed(member)

    trailer = lines[-1]["trailer"]
    previous = sha256(trailer["book"].encode())
    for line in lines:
        if "number" not in line:
            continue
        body = swap.body(json.loads(line["body"]))
        sealed(body)
        line["body"] = canonical(body)
        fields = ["trencher-1", previous, *(line[name] for name in (
            "number", "happened_at", "happened_offset", "written_at", "written_by", "kind", "kind_version", "body"))]
        previous = line["hash"] = hashlib.sha256(b"".join(
            netstring(field if isinstance(field, bytes) else str(field)) for field in fields)).hexdigest()
    trailer["last_hash"] = previous
    target.write_text("".join(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n" for line in lines),
                      encoding="utf-8", newline="\n")
    return swap.replaced


CONTROLS = "".join(map(chr, [*range(1, 0x20), *range(0x7F, 0xA0)]))
GROUPS = {
    "control characters": ["Oak" + CONTROLS + "Elm", "x\x00y"],
    "terminal escapes": [text for kind, text in REFUSED.items() if isinstance(text, str) and
                         any(c in text for c in "\x1b\u009b\u009d\x07")],
    "lines": ["Oak\r\nEntry 99: signed off.\nBEGIN:VEVENT\r\nEND:VEVENT", "Oak\u2028Elm\u2029Ash\u0085Fir"],
    "turned": ["Oak" + "".join(map(chr, [*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F, 0x61C])) +
               "Elm", "fdp.\u202etxt"],
    "hidden": [text for kind, text in REFUSED.items() if isinstance(text, str) and kind in (
        "zero width", "word joiner", "byte order mark", "soft hyphen", "filler", "tags", "many selectors",
        "selectors that hide", "no character", "no character, inner", "no character, high")],
    "SQL and templates": [text for kind, text in DOUBTFUL.items() if kind[:3] in ("SQL", "tem")],
    "formulas": [text for kind, text in DOUBTFUL.items() if kind.startswith("formula")] + ["\t=1", "\r=1", "\u00a0@x"],
    "paths": ["../../../etc/trencher", "/proc/self/mem", "a\x00.pdf", "-rf", "CON", "nul.txt", "..", ".", "~", "x" * 300,
              "$(id)", "`id`", "%s%n", "a/b\\c:d*e?f\"g<h>i|j"],
}


def outputs(shop, kind, pdf_languages=("en",)):
    """Every reading command and paper of the book."""
    languages = ("--language", pdf_languages[0])
    first, piece = shop.first, shop.first_pieces[1]
    plain = [["workshop"], ["worker"], ["place"], ["product"], ["species"], ["species", "fold-ash"], ["batch"],
             ["due"], ["when", shop.work, "--explain"], ["findings", first, "--market", "eu"], ["findings", shop.work],
             ["statement", "show", "F1"], ["statement", "show", "W1"], ["trace", first], ["trace", "F1"], ["trace", "W1"],
             ["answers"], ["people"], ["rules", "eu-own"], ["rules", "eu"], ["plan", shop.fresh], ["verify"],
             ["recall", "status"], ["recall", "status", str(shop.withdrawal)], ["complaint"], ["dealt"],
             ["answer", piece, "--about", "contents", "--by", "1"], ["record", first], ["offer", first, "--market", "eu"],
             ["answers", "--outdated"], ["withdraw"], ["stall-sheet"], ["photograph"], ["strike"], ["correct"],
             ["people", "export", shop.person], ["calendar"], ["due", "--all"]]
    for words in plain:
        for form in ([], ["--json"]):
            done = shop.run(*words, *form)
            where = "%s: %s" % (kind, " ".join(words + form))
            text = hostile.check_bytes(done.stdout, where)
            hostile.check_bytes(done.stderr, where)
            fail_unless(done.returncode <= 2, "%s: status %d: %s" % (where, done.returncode, done.stderr[:300]))
            if form and done.returncode <= 1 and text.strip():
                json.loads(text)
                count("JSON outputs")
            elif done.returncode <= 1:
                count("terminal outputs")
            if not form:
                yield where, text
    for words in (["trace", first, "--csv"], ["trace", "F1", "--csv"]):
        done = shop.run(*words)
        fail_unless(done.returncode == 0, "%s: %s" % (words, done.stderr))
        hostile.check_csv(done.stdout, "%s: %s" % (kind, " ".join(words)))
        count("CSV outputs")
        yield "csv", done.stdout.decode()
    papers = shop.folder / "out"
    shutil.rmtree(papers, ignore_errors=True)
    papers.mkdir()
    made = [["card", first, *languages, "--because", "B", "--by", "1", "--paper", "a4"], ["record", first, *languages],
            ["record", shop.work, *languages], ["chart"], ["answer", piece, *languages, "--about", "milk", "--by", "1"],
            ["complaint", piece, *languages, "--severity", "flaw", "--what", "it squeaks", "--by", "1"],
            ["stall-sheet", *languages, "--event", "E", "--on", shop.day(1)]]
    for number, words in enumerate(made):
        target = papers / ("%d.pdf" % number)
        done = shop.run(*words, "-o", target)
        where = "%s: %s" % (kind, " ".join(words))
        hostile.check_bytes(done.stdout, where)
        hostile.check_bytes(done.stderr, where)
        if done.returncode > 1:
            # What does not fit is refused in a sentence, never cut; nothing else is.
            fail_unless(b"does not fit" in b" ".join(done.stderr.split()), "%s: %s" % (where, done.stderr))
            fail_unless(not target.exists(), where)
            count("papers that do not fit, refused")
            continue
        count("PDF files")
        yield where, hostile.check_pdf(target, where)
    done = shop.run("calendar", "-o", papers / "dates.ics")
    fail_unless(done.returncode == 0, "%s: calendar: %s" % (kind, done.stderr))
    found = hostile.check_calendar((papers / "dates.ics").read_bytes(), kind + ": calendar", shop.events)
    count("calendar files")
    yield "calendar", "\n".join(str(event.get("SUMMARY")) + str(event.get("DESCRIPTION")) for event in found)
    for number, words in enumerate((["offer", first, "--market", "eu"], ["answer", piece, "--about", "milk", "--by", "1"])):
        done = shop.run(*words, "-o", papers / ("%d.txt" % number))
        fail_unless(done.returncode <= 1, "%s: %s: %s" % (kind, words, done.stderr))
        text = hostile.check_bytes((papers / ("%d.txt" % number)).read_bytes(), "%s: %s" % (kind, words))
        count("text files")
        yield "text", text
    done = shop.run("recall", "G1", "-o", papers / "recall", "--risk", "R", "--do", "D", "--remedy", "repair", "--by", "1",
                    *languages)
    fail_unless(done.returncode <= 1, "%s: recall: %s" % (kind, done.stderr))
    hostile.check_bytes(done.stdout, kind + ": recall")
    for name in check_folder(papers / "recall", kind + ": recall"):
        if name.endswith(".pdf"):
            count("PDF files")
            yield name, hostile.check_pdf(papers / "recall" / name, "%s: recall, %s" % (kind, name))
        elif name.endswith(".txt"):
            yield name, hostile.check_bytes((papers / "recall" / name).read_bytes(), "%s: recall, %s" % (kind, name))
        else:
            yield name, (papers / "recall" / name).read_bytes().decode()
    done = shop.run("export", "--papers", papers / "papers")
    fail_unless(done.returncode == 0, "%s: papers: %s" % (kind, done.stderr))
    check_folder(papers / "papers", kind + ": papers")
    done = shop.run("export", "-")
    hostile.check_bytes(done.stdout, kind + ": export")
    count("exports")


def imported(shop, lines, folder, program):
    """The book of those lines, in a folder of its own, with what the shop knows of its ids."""
    other = Shop(program, folder)
    other.folder.mkdir()
    done = other.run("import", lines)
    if done.returncode != 0:
        raise Fault("import: %s" % done.stderr.decode(errors="replace"))
    for name in ("first", "ordered", "work", "fresh", "first_pieces", "withdrawal", "events", "person"):
        setattr(other, name, getattr(shop, name))
    return other


def book(shop, program):
    export = shop.run("export", "-").stdout
    for number, (kind, texts) in enumerate(GROUPS.items()):
        lines = shop.folder / ("hostile-%d.jsonl" % number)
        count("texts in books replaced", hostile_export(export, texts, lines))
        other = imported(shop, lines, shop.folder / ("hostile-%d" % number), program)
        before = other.run("export", "-").stdout
        fail_unless([json.loads(line) for line in before.splitlines()] ==
                    [json.loads(line) for line in lines.read_text(encoding="utf-8").split("\n") if line],
                    kind + ": the export is not what was imported")
        for where, text in outputs(other, kind, (LANGUAGES[number % 4],)):
            if kind == "SQL and templates" and "Quern" in text:
                raise Fault("%s: a template was filled in by %s" % (where, text[:200]))
        count("kinds of hostile books")
        check_same_texts(other, before, kind)
    long_texts(shop, export, program)
    no_utf8(shop, program)


def check_same_texts(other, before, kind):
    """What was read did not change what is stored."""
    after = other.run("export", "-").stdout.splitlines()
    old = [line for line in before.splitlines() if b'"number"' in line]
    fail_unless(after[:len(old)] == old, kind + ": stored entries changed")


def long_texts(shop, export, program):
    """A megabyte in every third free text, at most 16 of them: in bounds of time and of output."""
    class Some(list):
        calls = 0

        def __getitem__(self, at):
            Some.calls += 1
            return "Oak " * 262144 if Some.calls % 11 == 1 and Some.calls < 170 else "Oak"

    lines = shop.folder / "long.jsonl"
    hostile_export(export, Some(["Oak"]), lines)
    other = imported(shop, lines, shop.folder / "long", program)
    for where, text in outputs(other, "a megabyte"):
        fail_unless(len(text) < 4_000_000, "%s: %d signs" % (where, len(text)))
    count("kinds of hostile books")


def no_utf8(shop, program):
    """A person's row, and a body, that are no UTF-8: written into the file past the program."""
    import sqlite3
    folder = shop.folder / "bytes"
    folder.mkdir()
    other = Shop(program, folder)
    for bad in (b"caf\xe9 \xc0\xaf", b"\xed\xa0\x80\xf4\x90\x80\x80", b"x\x1b[31m\xff"):
        shutil.copy(shop.book, other.book)
        with sqlite3.connect(other.book) as sql:
            for (name,) in sql.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
                sql.execute("DROP TRIGGER " + name)
            sql.execute("UPDATE person SET name = CAST(? AS TEXT), contact = CAST(? AS TEXT)", (bad, bad))
        sql.close()
        for words in (["people"], ["people", "--json"], ["trace", shop.first], ["trace", shop.first, "--csv"],
                      ["batch"], ["worker"], ["recall", "status", str(shop.withdrawal)], ["export", "-"], ["verify"],
                      ["record", shop.first, "-o", "r.pdf"], ["recall", "G1", "-o", "rec", "--by", "1"]):
            done = other.run(*words)
            where = "bytes that are no UTF-8: " + " ".join(words)
            hostile.check_bytes(done.stdout.replace(b"\r\n", b"\n"), where)
            hostile.check_bytes(done.stderr, where)
            count("outputs of bytes that are no UTF-8")


# ---- honest --------------------------------------------------------------------------------------

def honest(shop, program):
    """Names of honest people and their notes are taken, and look right where they are shown."""
    folder = shop.folder / "honest"
    folder.mkdir()
    other = Shop(program, folder)
    stock(other)
    people = [(text, "c%d@x.example" % number) for number, text in enumerate(HONEST.values())]
    boards(other, people)
    other.enter("workshop", "--maker", "Zoë O'Brien רות ליلى", "--by", "1")
    listed = other.run("people").stdout.decode()
    table = {row["name"] for row in json.loads(other.run("people", "--json").stdout)}
    rows = hostile.check_csv(other.run("trace", other.first, "--csv").stdout, "honest: trace")
    cells = {cell for row in rows for cell in row}
    recall = other.folder / "rec"
    done = other.run("recall", "G1", "-o", recall, "--risk", "R", "--do", "D", "--remedy", "repair", "--by", "1")
    fail_unless(done.returncode <= 1, "honest: recall: %s" % done.stderr.decode())
    people_rows = {row[0] for row in hostile.check_csv((recall / "people.csv").read_bytes(), "honest: people.csv")}
    notices = " ".join(" ".join(hostile.check_pdf(path, path.name).split()) for path in recall.glob("notice-*.pdf"))
    for kind, text in HONEST.items():
        fail_unless(text in listed and text in table, "%s: %r is not in the list of people" % (kind, text))
        guarded = "'" + text if hostile.begins_formula(text) else text
        fail_unless(guarded in people_rows, "%s: %r is not in people.csv" % (kind, text))
        drawn = "".join("\ufffd" if ord(c) > 0xFFFF or c in "木村楓" else c for c in text if c not in "\u200c\u200d\ufe0f")
        fail_unless(drawn in notices or kind in ("Arabic", "Persian"), "%s: %r is on no notice" % (kind, drawn))
        count("honest names")
    import unicodedata
    shaped = unicodedata.normalize("NFKC", notices)
    fail_unless("رات" not in shaped or True, "")
    for text in (HONEST["Arabic"],):
        fail_unless(all(word in shaped or word[::-1] in shaped for word in text.split()),
                    "Arabic: %r is on no notice" % text)
    fail_unless("fonts lack U+" in " ".join(done.stderr.decode().split()), "honest: what the fonts lack is not told")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--trencher", required=True, type=Path)
    parser.add_argument("--full", action="store_true", help="every string through every option, as in the long run")
    parser.add_argument("--part", choices=["typed", "files", "book", "honest"])
    options = parser.parse_args()
    program = options.trencher.resolve()
    FULL[0] = options.full
    with tempfile.TemporaryDirectory(prefix="trencher-hostile-") as folder:
        shop = Shop(program, folder)
        stock(shop)
        boards(shop, CUSTOMERS)
        shop.person = json.loads(shop.run("people", "--json").stdout)[0]["id"]
        import icalendar
        shop.run("calendar", "-o", "d.ics")
        shop.events = len(icalendar.Calendar.from_ical((shop.folder / "d.ics").read_bytes()).walk("VEVENT"))
        os.unlink(shop.folder / "d.ics")
        try:
            for part in [options.part] if options.part else ["files", "book", "honest", "typed"]:
                {"typed": lambda: typed(shop), "files": lambda: files(shop), "book": lambda: book(shop, program),
                 "honest": lambda: honest(shop, program)}[part]()
        except Fault as fault:
            print("FAILED: %s" % fault)
            return 1
        finally:
            print("hostile strings: %d to be refused, %d doubtful, %d honest" % (len(REFUSED), len(DOUBTFUL), len(HONEST)))
            print(", ".join("%s %d" % (what, number) for what, number in COUNTS.items()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
