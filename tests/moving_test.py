#!/usr/bin/python3
"""`export --csv` of the demo's book, read by python's csv module: nothing of the book is left out, the
chain can be verified from journal.csv alone, no cell begins a formula. `import --csv` of sheets that
python's csv module wrote: the book holds what they say.

  moving_test.py --trencher PROGRAM
  moving_test.py --self-test           the checks notice what is left out, altered or a formula
"""
import argparse
import contextlib
import csv
import decimal
import io
import json
import os
import pathlib
import re
import sqlite3
import subprocess
import sys
import tempfile

from verify_book import canonical, netstring, sha256

HERE = pathlib.Path(__file__).resolve().parent
STATE = ("mention", "thing", "reach", "counter", "amended")  # follow from the journal
NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
FORMULA = re.compile("^[ \u00a0\u3000]*[=+@\uff1d\uff0b\uff20\uff0d-]")
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)
        print("failed:", what)


def read_sheets(folder):
    """name: (columns, rows as dictionaries), by RFC 4180 and nothing looser."""
    out = {}
    for path in sorted(folder.glob("*.csv")):
        text = path.read_bytes().decode("utf-8")
        check(text.endswith("\r\n") and not re.search("(?<!\r)\n|\r(?!\n)", text), f"{path.name}: CR LF")
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
        check({len(row) for row in rows} == {len(rows[0])}, f"{path.name}: rows of one length")
        check(len(set(rows[0])) == len(rows[0]), f"{path.name}: columns have names of their own")
        out[path.name] = rows[0], [dict(zip(rows[0], row)) for row in rows[1:]]
    return out


def check_formulas(sheets):
    for name, (_, rows) in sheets.items():
        for row in rows:
            for column, cell in row.items():
                for part in cell.split(";"):
                    check(not FORMULA.match(part) or NUMBER.fullmatch(cell),
                          f"{name}, {column}: '{part}' begins a formula")


def check_readme(folder, sheets):
    told = (folder / "readme.txt").read_text(encoding="utf-8")
    for name, (columns, rows) in sheets.items():
        rows = f"{len(rows)} row{'' if len(rows) == 1 else 's'}"
        check(f"\n{name}  ({rows})\n" in told, f"readme.txt tells of {name} and its {rows}")
        for column in columns:
            check(f"    {column}: " in told, f"readme.txt tells what {column} of {name} is")
    return re.search(r"^Book ([0-9a-f]{32})$", told, re.M).group(1)


def check_chain(book_id, journal, entries):
    """Every entry as SQLite has it, and the chain of hashes from the sheet alone."""
    last = sha256(book_id.encode())
    check(len(journal) == len(entries), "journal.csv has every entry")
    for row, stored in zip(journal, entries):
        body = canonical(json.loads(row["body"]))
        cells = [row["number"], row["happened_at"], row["happened_offset_min"], row["written_at"],
                 row["written_by"], row["kind"], row["kind_version"], body]
        last = sha256(b"".join(netstring(cell) for cell in ["trencher-1", last, *cells]))
        check(row["hash"] == last, f"journal.csv: the hash of entry {row['number']} follows")
        check([str(value) for value in stored] == [*cells, row["hash"]],
              f"journal.csv: entry {row['number']} is what the book holds")


def leaves(value, key=""):
    if isinstance(value, dict):
        for name, part in value.items():
            yield from leaves(part, name)
    elif isinstance(value, list):
        for part in value:
            yield from leaves(part, key)
    elif isinstance(value, str):
        yield key, value


SCALES = {"mc": 3, "ul": 3, "mg": 3, "um": 3, "permille": 1}


def figures(value, key=""):
    """Every measured figure of a body, as the sheets write it."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from figures(part, name)
    elif isinstance(value, list):
        for part in value:
            yield from figures(part)
    elif isinstance(value, int) and key.rpartition("_")[2] in SCALES:
        whole = f"{decimal.Decimal(value).scaleb(-SCALES[key.rpartition('_')[2]]):f}"
        yield key, whole.rstrip("0").rstrip(".") if "." in whole else whole


def texts_of(rows):
    """Every text of some rows: cells, what is in JSON, and the parts of lists."""
    out = set()
    for row in rows:
        for cell in row.values():
            out.add(cell)
            out.update(cell.split(" "))
            out.update(cell.split("; "))
            out.add(re.sub("(^|;)'", r"\1", cell))
            if cell[:1] in "{[" and cell:
                out.update(text for _, text in leaves(json.loads(cell)))
    return out


def check_texts(sheets, entries, amended):
    """Each text of an entry stands in the sheet of its kind, beside journal.csv."""
    by_entry = {}
    for name, (columns, rows) in sheets.items():
        for row in rows if columns[0] == "entry" else []:
            by_entry.setdefault(row["entry"], []).append(row)
    bodies = {number: json.loads(body) for number, *_, body, _hash in entries}
    for number, body in bodies.items():
        rows = by_entry.get(str(number), [])
        check(rows, f"entry {number} has a row in a sheet of its kind")
        if not rows:
            continue
        if amended.get(number):  # as corrected
            body = bodies[amended[number]]["body"]
        found = texts_of(rows)
        for key, text in leaves(body):
            check(key == "from" or text in found, f"entry {number}: {key} '{text}' stands in no cell")
        for key, figure in figures(body) if not rows[0].get("of_entry") else []:
            check(figure in found, f"entry {number}: {key} {figure} stands in no cell")


def check_tables(sheets, book):
    """Each text of every table stands somewhere."""
    found = set().union(*(texts_of(rows) for _, rows in sheets.values()))
    for (table,) in book.execute("SELECT name FROM sqlite_schema WHERE type = 'table'"):
        if table in STATE:
            continue
        columns = [name for _, name, kind, *_ in book.execute(f"PRAGMA table_info({table})") if kind == "TEXT"]
        for column in columns if table != "book" else []:
            for (text,) in book.execute(f"SELECT DISTINCT {column} FROM {table} WHERE {column} IS NOT NULL"):
                if column == "body":
                    continue
                check(text == "" or text in found, f"{table}.{column}: '{text}' stands in no cell")


def check_pieces(sheets, book):
    given = dict(book.execute("SELECT code, given FROM piece"))
    rows = {row["piece"]: row for row in sheets["pieces.csv"][1]}
    check(set(rows) == set(given), "pieces.csv has every board")
    people = {row["person"]: row["name"] for row in sheets["people.csv"][1]}
    gifts = {row["entry"]: row for row in sheets["gifts.csv"][1]}
    ways = {row["entry"]: row for row in sheets["ways.csv"][1]}
    batches = {row["batch"]: row for row in sheets["batches.csv"][1]}
    check(len({bool(row["own_way_entry"]) for row in rows.values()}) == 2, "some boards go a way of their own")
    for code, entry in given.items():
        row = rows[code]
        own = ways.get(row["own_way_entry"])
        check(row["finish"] == (own if own and own["schedule"] else batches[row["batch"]])["finish"], f"{code}: its tins")
        check(row["left_entry"] == (str(entry) if entry else ""), f"{code}: the gift by which it left")
        if entry and gifts[str(entry)]["person"]:
            gift = gifts[str(entry)]
            check(row["to"] == people.get(gift["person"], "(forgotten)"), f"{code}: to whom")
            check(row["left"] == gift["happened"], f"{code}: when it left")


class Bench:
    def __init__(self, program, folder, **more):
        self.program, self.folder = program, folder
        self.env = {"PATH": os.environ["PATH"], "HOME": str(folder), "LC_ALL": "C.UTF-8",
                    "TRENCHER": program, "TRENCHER_BOOK": str(folder / "book.db"), **more}

    def run(self, *words, status=(0,)):
        done = subprocess.run([self.program, *map(str, words)], capture_output=True, text=True,
                              env=self.env, cwd=self.folder, timeout=120, check=False)
        check(done.returncode in status, f"{words}: {done.returncode} {done.stdout}{done.stderr}")
        return done.stdout


def exported(program, work):
    out = work / "demo"
    demo = Bench(program, work, TRENCHER_DEMO=str(out))
    demo.env["TRENCHER_BOOK"] = str(out / "book.db")
    played = subprocess.run(["sh", str(HERE.parent / "docs/demo.sh")], env=demo.env, capture_output=True,
                            text=True, timeout=300, check=False)
    check(played.returncode == 0, f"the demo: {played.stderr}")
    demo.run("place", "add", "Shed", "--temp", "-7.5C", "--rh", "80", "--by", "1")
    demo.run("split", "26-002", "--pieces", "4", "--schedule", "oil-then-wax", "--finish", "F1", "--finish", "F2",
             "--why", "knots", "--by", "1", status=(0, 1))
    demo.run("log", "note", "F1", "=1+1; @x", "--by", "1")
    demo.run("forget", "Ada Winterbourne", "--even-if-recalled", "--by", "1")
    demo.run("export", "--csv", work / "sheets")
    return out / "book.db"


def check_export(program, work):
    where = exported(program, work)
    folder = work / "sheets"
    check(folder.stat().st_mode & 0o777 == 0o700, "the folder is its owner's alone")
    check(all(path.stat().st_mode & 0o777 == 0o600 for path in folder.iterdir()), "so are the files")
    sheets = read_sheets(folder)
    with sqlite3.connect(f"file:{where}?mode=ro", uri=True) as book:
        entries = book.execute("SELECT * FROM entry ORDER BY number").fetchall()
        amended = dict(book.execute("SELECT entry, corrected_by FROM amended"))
        check(any(amended.values()), "an entry of the demo is corrected")
        check_chain(check_readme(folder, sheets), sheets["journal.csv"][1], entries)
        check_texts(sheets, entries, amended)
        check_tables(sheets, book)
        check_pieces(sheets, book)
        standing = {row["entry"]: row["standing"] for _, (columns, rows) in sheets.items()
                    for row in rows if columns[0] == "entry"}
        for entry, corrected, struck in book.execute("SELECT * FROM amended"):
            check(standing[str(entry)] == ("struck" if struck else "corrected"), f"entry {entry}: {standing[str(entry)]}")
        check(sum(mark != "counts" for mark in standing.values()) == len(amended) > 1, "all others count")
    check_formulas(sheets)
    shed = [row for row in sheets["places.csv"][1] if row["place"] == "shed"]
    check(shed[0]["temp_c"] == "-7.5", f"a frost stays a number: {shed}")
    note = sheets["notes.csv"][1][-1]
    check(note["text"] == "'=1+1;' @x", f"a formula in a note: {note['text']}")
    check("Ada Winterbourne" not in str(sheets), "who is forgotten is in no sheet")
    coat = next(row for row in sheets["steps.csv"][1] if row["kind"] == "coat" and row["used_ml"])
    with sqlite3.connect(f"file:{where}?mode=ro", uri=True) as book:
        (body,) = book.execute("SELECT body FROM entry WHERE number = ?", (coat["entry"],)).fetchone()
    check(coat["standing"] != "counts" or
          float(coat["used_ml"]) * 1000 == json.loads(body)["drawn"][0]["amount_ul"], f"a coat: {coat}")
    return sheets, entries, amended


OLD = {
    "wood": [{"When": "2025-03-01", "Label": "ash, \"good\"", "Species": "white-ash", "Supplier": "Œk & Søn",
              "Lot": "=7", "Moisture": "8.5"}],
    "glue": [{"when": "2025-03-01", "label": "glue, thick", "kind": "pva-d3", "supplier": "G", "lot": "1", "amount": "1l"}],
    "finish": [{"when": "2025-03-02", "label": "tin 3", "kind": "mineral-oil", "supplier": "O", "lot": "2",
                "amount": "1l", "coats": "1", "recoat_after": "24h", "food contact after": "2d"}],
    "batches": [{"label": f"lot {n}", "when": f"2025-04-{n:02}", "wood": "ash, \"good\"", "finish": "tin 3",
                 "schedule": "oil", "pieces": str(n), "size": "300x200x20mm", "use": "cutting-board"} for n in (1, 2, 3)],
    "steps": [{"when": f"2025-05-{n:02} 10:00", "step": "coat", "batch": f"lot {n}", "from": "tin 3",
               "amount": f"{n}0ml", "temp": "18C", "rh": "50"} for n in (1, 2, 3)],
    "given": [{"when": "2025-07-01", "signed off": "2025-06-20", "batch": "lot 3", "pieces": "1 to 2",
               "to": "Zoë Example", "contact": "+49 0", "as": "gift"}],
}


def write_old(folder, delimiter, encoding):
    folder.mkdir()
    for name, rows in OLD.items():
        with open(folder / f"{name}.csv", "w", newline="", encoding=encoding) as file:
            writer = csv.DictWriter(file, rows[0].keys(), delimiter=delimiter)
            writer.writeheader()
            writer.writerows(rows)


def check_import(program, work, delimiter, encoding):
    work.mkdir()
    bench = Bench(program, work)
    bench.run("start", "--maker", "M", "--address", "A", "--contact", "C", "--market", "eu", "--zone", "Europe/Berlin",
              "--units", "metric", "--json")
    write_old(work / "old", delimiter, encoding)
    before = (work / "book.db").read_bytes()
    told = json.loads(bench.run("import", "--csv", "old", "--dry-run", "--json", status=(0, 1, 2)))
    check(told["problems"] == [] and not told["written"], f"the dry run: {told['problems']}")
    check((work / "book.db").read_bytes() == before, "a dry run leaves every byte of the book")
    told = json.loads(bench.run("import", "--csv", "old", "--json", status=(0, 1)))
    check(told["written"], "written")
    check("unaltered" in bench.run("verify"), "the book verifies")
    made = {row["label"]: row["id"] for row in told["rows"] if "label" in row}
    with sqlite3.connect(work / "book.db") as book:
        entries = [(kind, at, written, json.loads(body)) for kind, at, written, body in book.execute(
            "SELECT kind, happened_at, written_at, body FROM entry WHERE body LIKE '%imported%' ORDER BY number")]
        check(len(entries) == 11, f"a row an entry, and a sign-off: {len(entries)}")
        check([at for _, at, _, _ in entries] == sorted(at for _, at, _, _ in entries), "in order of time")
        check(all(at < written for _, at, written, _ in entries), "written late, and says so")
        wood = next(body for kind, _, _, body in entries if kind == "wood")
        row = OLD["wood"][0]
        check((wood["supplier"], wood["supplier_lot"], wood["moisture_permille"], wood["imported"]["label"]) ==
              (row["Supplier"], row["Lot"], 85, row["Label"]), f"the wood: {wood}")
        coats = [(at, body) for kind, at, _, body in entries if kind == "coat"]
        for (at, body), row in zip(coats, OLD["steps"]):
            check(at == row["when"].replace(" 10:00", "T08:00:00Z"), f"a coat's moment: {at}")
            check(body["batch"] == made[row["batch"]] and body["drawn"][0] ==
                  {"amount_ul": int(row["amount"][:-2]) * 1000, "tin": made["tin 3"]}, f"a coat: {body}")
        gift = next(body for kind, _, _, body in entries if kind == "give")
        check(gift["pieces"] == [1, 2] and gift["batch"] == made["lot 3"], f"the gift: {gift}")
        check(("Zoë Example", "+49 0") in book.execute("SELECT name, contact FROM person").fetchall(), "whom")
        check("Zoë" not in json.dumps([body for *_, body in entries], ensure_ascii=False), "not in the journal")
    count = len(entries)
    bench.run("import", "--csv", "old", status=(2,))
    with sqlite3.connect(work / "book.db") as book:
        again = book.execute("SELECT count(*) FROM entry WHERE body LIKE '%imported%'").fetchone()[0]
    check(again == count, "the second time nothing is written")
    # What went in comes out.
    bench.run("export", "--csv", "out")
    sheets = read_sheets(work / "out")
    check([row["used_ml"] for row in sheets["steps.csv"][1]] == ["10", "20", "30"], "the coats come out")
    check(sheets["wood.csv"][1][0]["supplier_lot"] == "'=7", "neutralised on the way out")
    check(len(sheets["pieces.csv"][1]) == 6, "the boards come out")


def self_test(sheets, entries, amended):
    """With each of these changes a check must fail."""
    def fails(what, change, checking):
        there = json.loads(json.dumps(sheets))
        change(there)
        before = len(failures)
        with contextlib.redirect_stdout(io.StringIO()):
            checking(there)
        noticed = len(failures) > before
        del failures[before:]
        check(noticed, f"not noticed: {what}")

    def set_cell(name, column, value):
        return lambda there: there[name][1][0].__setitem__(column, value)
    journal = lambda there: check_chain("0" * 32, there["journal.csv"][1], entries)
    check_texts(sheets, entries, amended)  # notices nothing as it is
    fails("another book's id", lambda there: None, journal)
    fails("a formula", set_cell("tins.csv", "name", "=1"), check_formulas)
    fails("a formula behind a semicolon", set_cell("tins.csv", "name", "a;+1"), check_formulas)
    fails("a tin's name is gone", set_cell("tins.csv", "name", ""), lambda there: check_texts(there, entries, amended))
    fails("a row is gone", lambda there: there["wood.csv"][1].pop(), lambda there: check_texts(there, entries, amended))


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--trencher", required=True)
    options.add_argument("--self-test", action="store_true")
    wish = options.parse_args()
    program = str(pathlib.Path(wish.trencher).resolve())
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        sheets, entries, amended = check_export(program, work)
        if wish.self_test:
            self_test(sheets, entries, amended)
        else:
            for number, (delimiter, encoding) in enumerate(((",", "utf-8"), (";", "utf-8-sig"), ("\t", "utf-8"))):
                check_import(program, work / str(number), delimiter, encoding)
    print(f"{len(failures)} failed" if failures else "nothing is left out, and what comes in is what was meant")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
