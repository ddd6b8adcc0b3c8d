#!/usr/bin/python3
"""Makes seeds for the fuzz targets out of what we ship: tables, run texts, templates.

  seeds.py --trencher PROGRAM -o FOLDER      FOLDER/<target>/..., to be merged into tests/fuzz/seeds

The seeds that are kept were made so, and then grown and minimised by long.sh."""
import argparse
import hashlib
import json
import pathlib
import re
import shlex
import sys
import tempfile

sys.dont_write_bytecode = True
HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
sys.path.insert(0, str(HERE.parent))
import run_texts  # noqa: E402

RUNS = sorted((HERE.parent / "runs").glob("*.txt"))


class Out:
    def __init__(self, folder):
        self.folder = folder

    def put(self, target, data):
        data = data.encode() if isinstance(data, str) else data
        path = self.folder / target / hashlib.sha1(data).hexdigest()[:16]
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def words(target, out):
    """The values of options in the run texts and the cells of the shipped tables."""
    found = set()
    for path in RUNS:
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.startswith("$ trencher"):
                for word in shlex.split(line[2:]):
                    found.update({word, word.split("=")[-1]})
    fits = {"amounts": r"[-0-9.,:/ x×°%a-zA-Z²+]{1,40}", "codes": r"[0-9,\- ]{1,30}"}[target]
    for word in sorted(found):
        if re.fullmatch(fits, word) and any(c.isdigit() for c in word):
            out.put(target, (b"\0" if target == "amounts" else b"\0\0\0\7\1") + word.encode())


def command_lines(out):
    for path in RUNS:
        lines = [line[len("$ trencher "):] for line in path.read_text(encoding="utf-8").splitlines()
                 if line.startswith("$ trencher ")]
        for line in lines:
            if not line.startswith(("start", "import")) and len(line) < 400:
                out.put("command_lines", line)


def exports(program, out):
    """The book that each run text ends with, and shorter ones that end before."""
    for path in RUNS:
        with tempfile.TemporaryDirectory() as folder:
            for command in run_texts.parse(path.read_text(encoding="utf-8"))[0]:
                run_texts.run(command, program, folder, 20)
            for book in pathlib.Path(folder).glob("*.db"):
                export(program, book, folder, out)


def export(program, book, folder, out):
    target = pathlib.Path(folder) / "seed.jsonl"
    target.unlink(missing_ok=True)
    command = run_texts.Command([], f"trencher export seed.jsonl --book {book.name}",
                                "2027-01-01 12:00:00")
    run_texts.run(command, program, folder, 20)
    if not target.exists():
        return
    lines = target.read_text(encoding="utf-8").splitlines()
    trailer = json.loads(lines[-1])["trailer"]
    rows = lines[trailer["entries"]:-1]
    for count in sorted({8, 16, 24, 36, trailer["entries"]}):
        entries = lines[:count]
        if count > trailer["entries"] or len("".join(entries)) > 40_000:
            continue
        said = "".join(entries)
        kept = [row for row in rows if any(
            name in said for name in re.findall(r'"(?:id|sha256)":"([0-9a-f]+)"', row))]
        trailer.update(entries=count, last_hash=json.loads(entries[-1])["hash"],
                       persons=sum('{"person"' in row for row in kept),
                       files=sum('{"file"' in row for row in kept))
        end = json.dumps({"trailer": trailer}, separators=(",", ":"))
        text = "\n".join([*entries, *kept, end]) + "\n"
        if len(text) < 60_000:
            out.put("journal", text)


def readings(out):
    for path in RUNS:
        for command in run_texts.parse(path.read_text(encoding="utf-8"))[0]:
            text = "\n".join(command.stdin) + "\n"
            if not command.words.startswith("trencher") and re.search(r"temp|zeit", text, re.I):
                for shape in (b"\0\0\0\0\0\7", b"\1\0\1\0\0\x40", b"\2\2\0\1\1\xff"):
                    out.put("readings", shape + b"\n" + text.encode()[:4000])
    for path in sorted((ROOT / "schema/reference").glob("*.csv")):
        out.put("readings", b"\0\0\0\0\0\7\n" + path.read_bytes()[:1500].rsplit(b"\n", 1)[0])


def rules(out):
    for path in sorted((ROOT / "schema/rules").glob("*.toml")):
        head, *tables = path.read_text(encoding="utf-8").split("[[rule]]")
        for table in tables[:6]:
            out.put("rules", head + "[[rule]]" + table)
    for path in sorted((ROOT / "schema/schedules").glob("*.toml")):
        out.put("rules", path.read_bytes())


def templates(out):
    values = ["Example Boards", "26-014-03-24", "{{tin}}", "1 Example Lane, Eastwold", "Ada & <Co>",
              "{{#a}}x{{/a}}", "maple;oak", "400 × 250 × 22 mm", "5 December 2026"] * 3
    for kind in range(1, 4):
        for language in range(4):
            head = bytes([kind, language, 3, 7])
            out.put("templates", head + "\n".join(values[kind:]).encode())
    for paper in range(8):
        for phrase in range(0, 60, 4):
            head = bytes([4, paper, phrase % 4, 0, 0, 0, phrase])
            out.put("templates", head + "\n".join(values[phrase % 5:][:5]).encode())
    for path in sorted((ROOT / "templates").glob("*/en.mustache")):
        for line in path.read_text(encoding="utf-8").splitlines()[::6]:
            out.put("templates", b"\0" + line.encode())


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--trencher", type=pathlib.Path, required=True)
    parser.add_argument("-o", dest="folder", type=pathlib.Path, required=True)
    given = parser.parse_args()
    out = Out(given.folder)
    words("amounts", out)
    words("codes", out)
    command_lines(out)
    readings(out)
    rules(out)
    templates(out)
    exports(given.trencher.resolve(), out)


if __name__ == "__main__":
    main()
