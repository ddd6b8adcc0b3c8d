#!/usr/bin/python3
"""Which boards a withdrawn tin or wood lot is on: the program against one SQL query.

  recall_sql_test.py --trencher PROGRAM [--books N] [--seed S]
  recall_sql_test.py --trencher PROGRAM --self-test   alters what the query reads, and must notice

Each random book (fixed seeds) is written as an export and imported: mixes of mixes, steps on some
boards, corrections and strikes of them (and strikes of those), splits, take-backs, gifts, scraps. Its
entries are exported again and loaded into a fresh database by the sqlite3 shell, where one recursive
query over their bodies, written from docs/book-format.md alone, says which boards each tin and lot is
on. 'recall --practice' and 'trace' must say the same, of every id."""

import argparse
import hashlib
import json
import pathlib
import random
import subprocess
import sys
import tempfile

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent / "lives"))
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from reckon import piece_code  # noqa: E402
from verify_book import canonical, netstring  # noqa: E402

QUERY = """
WITH RECURSIVE
entry(number, kind, body) AS (
  SELECT json_extract(text, '$.number'), json_extract(text, '$.kind'), json_extract(text, '$.body')
  FROM line WHERE json_extract(text, '$.kind') IS NOT NULL),
-- From the last entry down: a strike counts unless one above it took it out.
fold(number, struck) AS (
  SELECT max(number) + 1, ',' FROM entry
  UNION ALL
  SELECT entry.number,
         CASE WHEN entry.kind = 'strike' AND instr(struck, ',' || entry.number || ',') = 0
              THEN struck || json_extract(entry.body, '$.entry') || ',' ELSE struck END
  FROM fold JOIN entry ON entry.number = fold.number - 1),
struck(list) AS (SELECT struck FROM fold WHERE number = 1),
in_force(number, kind, body) AS (
  SELECT number, kind, body FROM entry, struck WHERE instr(list, ',' || number || ',') = 0),
effective(kind, body) AS (
  SELECT kind, coalesce(
    (SELECT json_extract(c.body, '$.body') FROM in_force AS c WHERE c.kind = 'correction'
       AND json_extract(c.body, '$.entry') = of.number ORDER BY c.number DESC LIMIT 1), of.body)
  FROM in_force AS of WHERE kind NOT IN ('correction', 'strike')),
-- What a thing is in: itself, and the mixes that hold it.
held(root, id) AS (
  SELECT coalesce(json_extract(body, '$.tin'), json_extract(body, '$.lot')),
         coalesce(json_extract(body, '$.tin'), json_extract(body, '$.lot'))
  FROM effective WHERE kind IN ('tin', 'mix', 'wood')
  UNION
  SELECT held.root, json_extract(mix.body, '$.tin')
  FROM held, effective AS mix, json_each(mix.body, '$.drawn') AS part
  WHERE mix.kind = 'mix' AND json_extract(part.value, '$.tin') = held.id),
batch(code, pieces, body) AS (
  SELECT json_extract(body, '$.batch'), json_extract(body, '$.pieces'), body
  FROM effective WHERE kind = 'batch'),
piece(batch, number) AS (
  SELECT code, 1 FROM batch
  UNION ALL
  SELECT batch, number + 1 FROM piece JOIN batch ON code = piece.batch WHERE number < pieces)
SELECT DISTINCT held.root, piece.batch, piece.number
FROM held, effective AS step, json_each(step.body, '$.drawn') AS part
  JOIN piece ON piece.batch = json_extract(step.body, '$.batch')
WHERE step.kind IN ('glue-up', 'fit', 'coat') AND json_extract(part.value, '$.tin') = held.id
  AND (json_array_length(step.body, '$.pieces') IS NULL
       OR piece.number IN (SELECT value FROM json_each(step.body, '$.pieces')))
UNION
SELECT lot.value, batch.code, piece.number
FROM batch, json_each(batch.body, '$.wood') AS lot JOIN piece ON piece.batch = batch.code;
"""

PERSON = {"id": "0f1e2d3c4b5a69788796a5b4c3d2e1f0", "salt": "ab" * 32, "name": "Ann Example",
          "contact": "ann@example.org"}
SEAL = hashlib.sha256(b"".join(
    netstring(PERSON[m]) for m in ("salt", "id", "name", "contact"))).hexdigest()
WAY = {"id": "two-coats", "name": "Two coats", "slots": [["oxidative"]],
       "steps": [{"step": "coat", "slot": 1, "count": 2}]}
KINDS = {"F": ("finish", "pure-tung-oil", "oxidative"), "G": ("glue", "pva-d3", "water-glue"),
         "X": ("other", "rubber-feet", "none")}
VERSIONS = {"workshop": 2, "wood": 2, "tin": 3, "mix": 1, "batch": 2, "correction": 2, "strike": 2,
            "coat": 2, "glue-up": 2, "fit": 2, "sand": 2, "statement": 2}


class Journal:
    """A random book as the lines of an export."""

    def __init__(self, seed):
        self.dice = random.Random(seed)
        self.entries = []  # kind, body
        self.tins = {"F": [], "G": [], "X": [], "W": []}
        self.mixes, self.batches, self.away = {}, {}, set()
        self.begin()
        for _ in range(self.dice.randrange(25, 60)):
            self.dice.choice((self.step, self.step, self.step, self.mix, self.amend, self.amend,
                              self.batch, self.split, self.give, self.take_back, self.scrap,
                              self.statement))()

    def write(self, kind, /, **body):
        self.entries.append((kind, body))
        return len(self.entries)

    def begin(self):
        self.write("workshop", maker="Ex", address="1 Lane", contact="c", markets=["eu"],
                   zone="Europe/Berlin", units="metric")
        self.write("worker", worker=1, person=PERSON["id"], seal=SEAL, may_sign_off=True)
        self.write("place", place="workshop", name="Workshop")
        for prefix in "FFFGGXWW":
            self.receive(prefix)
        self.mix()
        self.batch()

    def receive(self, prefix):
        name = f"{prefix}{len(self.tins[prefix]) + 1}"
        self.tins[prefix].append(name)
        if prefix == "W":
            return self.write("wood", lot=name, species="hard-maple", supplier="S", supplier_lot="L")
        stock, kind, mechanism = KINDS[prefix]
        return self.write("tin", tin=name, stock=stock, kind=kind, name="Thing", supplier="S",
                          supplier_lot="L", label={"mechanism": mechanism})

    def some(self, items, most):
        items = list(items)
        return self.dice.sample(items, min(len(items), self.dice.randrange(1, most + 1)))

    def mix(self):
        prefix = self.dice.choice("FFG")
        parts = self.some(self.tins[prefix], 3) + self.some(self.tins["X"], 2)[:self.dice.randrange(2)]
        name = f"{prefix}{len(self.tins[prefix]) + 1}"
        self.tins[prefix].append(name)
        self.mixes[self.write("mix", tin=name, stock=KINDS[prefix][0], name="Mix",
                              drawn=[{"tin": part} for part in parts])] = name

    def batch(self):
        code = f"26-{len(self.batches) + 1:03}"
        self.batches[code] = self.dice.randrange(1, 7)
        self.write("batch", batch=code, wood=self.some(self.tins["W"], 2), finish=["F1"],
                   glue=["G1"], schedule=WAY, pieces=self.batches[code], use="cutting-board",
                   size={"length_um": 400000, "width_um": 250000, "thickness_um": 22000},
                   place="workshop")

    def pieces(self):
        code = self.dice.choice(list(self.batches))
        return code, sorted(self.some(range(1, self.batches[code] + 1), 4))

    def step_body(self, kind):
        code, pieces = self.pieces()
        stock = {"coat": "F", "glue-up": "G", "fit": "X"}[kind]
        body = {"batch": code, "drawn": [{"tin": t} for t in self.some(self.tins[stock], 2)],
                "place": "workshop"}
        if self.dice.random() < 0.7:
            body["pieces"] = pieces
        return body

    def step(self):
        kind = self.dice.choice(("coat", "coat", "glue-up", "fit"))
        self.write(kind, **self.step_body(kind))

    def amend(self):
        """Corrects or strikes a step, a mix or an amendment."""
        number = self.dice.randrange(1, len(self.entries) + 1)
        kind, body = self.entries[number - 1]
        steps = ("coat", "glue-up", "fit")
        if kind in ("correction", "strike"):
            self.write("strike", entry=number, why="x")
        elif kind in steps and self.dice.random() < 0.5:
            self.write("strike", entry=number, why="x")
        elif kind in steps:
            again = self.step_body(kind)
            self.write("correction", entry=number, why="x", body={**again, "batch": body["batch"],
                       "pieces": sorted(self.some(range(1, self.batches[body["batch"]] + 1), 4))})
        elif kind == "mix":
            prefix = self.mixes[number][0]
            before = self.tins[prefix][:int(self.mixes[number][1:]) - 1]  # no mix holds itself
            self.write("correction", entry=number, why="x",
                       body={**body, "drawn": [{"tin": t} for t in self.some(before, 3)]})
        elif kind == "batch":
            self.write("correction", entry=number, why="x",
                       body={**body, "wood": self.some(self.tins["W"], 2)})

    # What names tins or boards and puts nothing on.
    def split(self):
        code, pieces = self.pieces()
        self.write("split", batch=code, pieces=pieces, schedule=WAY,
                   finish=[self.dice.choice(self.tins["F"])])

    def give(self):
        code, pieces = self.pieces()
        pieces = [p for p in pieces if (code, p) not in self.away]
        if pieces:
            self.away |= {(code, p) for p in pieces}
            self.write("give", batch=code, pieces=pieces, person=PERSON["id"], seal=SEAL, market="eu",
                       **{"as": "gift"})

    def take_back(self):
        if self.away:
            code, piece = self.dice.choice(sorted(self.away))
            self.away.discard((code, piece))
            self.write("take-back", batch=code, pieces=[piece], place="workshop")

    def scrap(self):
        code, pieces = self.pieces()
        if self.dice.random() < 0.3:
            self.write("scrap", batch=code, pieces=pieces[:1], why="x")

    def statement(self):
        self.write("statement", subject=self.dice.choice(self.tins["F"]), about="allergens",
                   contains=["milk"])

    def ids(self):
        return [name for names in self.tins.values() for name in names]

    def lines(self):
        book = "00112233445566778899aabbccddeeff"
        last, out = hashlib.sha256(book.encode()).hexdigest(), []
        for number, (kind, body) in enumerate(self.entries, 1):
            time = f"2026-02-{1 + number // 24:02}T{number % 24:02}:00:00Z"
            row = {"number": number, "happened_at": time, "happened_offset": 0, "written_at": time,
                   "written_by": 1, "kind": kind, "kind_version": VERSIONS.get(kind, 1),
                   "body": canonical(body)}
            last = hashlib.sha256(b"".join(
                netstring(part) for part in ["trencher-1", last, *row.values()])).hexdigest()
            out.append(json.dumps({**row, "hash": last}))
        return [*out, json.dumps({"person": PERSON}), json.dumps({"trailer": {
            "book": book, "entries": len(self.entries), "persons": 1, "files": 0,
            "last_hash": last}}, separators=(",", ":"))]


def run(*words, **more):
    done = subprocess.run(words, capture_output=True, text=True, check=False, **more)
    if done.returncode:
        raise SystemExit(f"{' '.join(map(str, words))}: status {done.returncode}: {done.stderr}")
    return done.stdout


def by_query(lines):
    """The codes of the boards that each id is on."""
    quoted = ("INSERT INTO line VALUES('%s');" % line.replace("'", "''") for line in lines)
    script = "CREATE TABLE line(text);\nBEGIN;\n%s\nCOMMIT;\n%s" % ("\n".join(quoted), QUERY)
    out = {}
    for row in run("sqlite3", ":memory:", input=script).splitlines():
        root, batch, number = row.split("|")
        out.setdefault(root, set()).add(piece_code(batch, int(number)))
    return out


def pieces_in(nodes):
    for node in nodes:
        if node["class"] == "piece":
            yield node["id"]
        yield from pieces_in(node["nodes"])


class Asked:
    """What the program says of a book: by id the boards of the recall and of the trace."""

    def __init__(self, program, journal, folder):
        exported, book = f"{folder}/in.jsonl", f"{folder}/book.db"
        pathlib.Path(exported).write_text("\n".join(journal.lines()) + "\n", encoding="utf-8")
        run(program, "import", exported, "--book", book)
        ask = lambda *words: json.loads(run(program, *words, "--json", "--book", book))
        practice = lambda *ids: set(ask("recall", *ids, "--practice")["pieces"])
        self.recall = {name: practice(name) for name in journal.ids()}
        self.trace = {name: set(pieces_in(ask("trace", name)["after"])) for name in journal.ids()}
        self.together = practice(*journal.ids())
        self.lines = run(program, "export", "-", "--book", book).splitlines()


def differences(asked, lines):
    found = by_query(lines)
    out = []
    for name in asked.recall:
        want = found.get(name, set())
        for what, said in (("recall", asked.recall[name]), ("trace", asked.trace[name])):
            if said != want:
                out.append(f"{what} {name}: {sorted(said)}, by the query {sorted(want)}")
    if asked.together != set().union(*found.values()):
        out.append(f"recall of all together: {sorted(asked.together)}")
    return out


def asked_of(program, seed):
    with tempfile.TemporaryDirectory(prefix="trencher-sql-") as folder:
        return Asked(program, Journal(seed), folder)


def altered(lines, kind, change):
    """The lines with the body of each entry of that kind changed; None where none is."""
    out, found = [], False
    for line in lines:
        row = json.loads(line)
        if row.get("kind") == kind:
            body = json.loads(row["body"])
            after = change(body)
            if after is None:  # the entry becomes a note about nothing
                row["kind"], after = "note", {"about": "F1", "text": "x"}
            found = found or after != body
            row["body"] = canonical(after)
        out.append(json.dumps(row))
    return out if found else None


ALTERATIONS = {
    "a tin less in each coat": ("coat", lambda b: {**b, "drawn": b["drawn"][1:]}),
    "a tin less in each mix": ("mix", lambda b: {**b, "drawn": b["drawn"][1:]}),
    "each coat on all boards": ("coat", lambda b: {k: v for k, v in b.items() if k != "pieces"}),
    "no strike": ("strike", lambda b: None),
    "no correction": ("correction", lambda b: None),
    "another lot of wood": ("batch", lambda b: {**b, "wood": ["W1"]}),
    "one board less in each batch": ("batch", lambda b: {**b, "pieces": max(1, b["pieces"] - 1)}),
}


def self_test(program):
    noticed = {name: 0 for name in ALTERATIONS}
    for seed in range(1, 9):
        asked = asked_of(program, seed)
        if differences(asked, asked.lines):
            raise SystemExit(f"seed {seed}: there is a difference before anything was altered")
        for name, (kind, change) in ALTERATIONS.items():
            lines = altered(asked.lines, kind, change)
            noticed[name] += bool(lines and differences(asked, lines))
    for name, count in noticed.items():
        print(f"{name}: noticed in {count} of 8 books")
    return 0 if all(noticed.values()) else 1


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--trencher", required=True)
    parser.add_argument("--books", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--self-test", action="store_true")
    given = parser.parse_args()
    if given.self_test:
        return self_test(given.trencher)
    boards = ids = failed = 0
    for seed in range(given.seed, given.seed + given.books):
        asked = asked_of(given.trencher, seed)
        found = differences(asked, asked.lines)
        boards += len(asked.together)
        ids += sum(1 for pieces in asked.recall.values() if pieces)
        failed += bool(found)
        for line in found:
            print(f"seed {seed}: {line}")
    print(f"{given.books} books, {boards} boards, {ids} things on boards; {failed} books differ")
    return 1 if failed or not ids else 0


if __name__ == "__main__":
    sys.exit(main())
