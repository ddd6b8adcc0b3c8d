#!/usr/bin/python3
"""Verifies a book or an export by docs/book-format.md alone; shares no code with the program.

    verify_book.py BOOK.db|EXPORT.jsonl     names each problem; prints the entries and the last hash
    verify_book.py --self-test              recomputes the page's examples, proves that it notices
                                            changes

Status: 0 unaltered, 1 problems were found, 2 the request is wrong or the file cannot be read.
It checks the chain of hashes, the form of the bodies, the seals and the files, not the state.
"""

import base64
import hashlib
import json
import os
import re
import sqlite3
import subprocess
import sys
import tempfile
import urllib.parse
from datetime import datetime

APPLICATION_ID = 0x54524E43
LAYOUTS = (1, 2, 3)  # the same journal and vault; only the state differs
LARGEST = 2**53 - 1
COLUMNS = ("number", "happened_at", "happened_offset", "written_at", "written_by", "kind",
           "kind_version", "body", "hash")
NUMBERS = {"number", "happened_offset", "written_by", "kind_version"}
PERSON = ("id", "salt", "name", "contact")


def sha256(data):
    return hashlib.sha256(data).hexdigest()


def netstring(value):
    data = value if isinstance(value, bytes) else str(value).encode()
    return b"%d:%s," % (len(data), data)


# RFC 8785, without fractions and null.

SHORT = {'"': '\\"', "\\": "\\\\", "\b": "\\b", "\f": "\\f", "\n": "\\n", "\r": "\\r", "\t": "\\t"}


def canonical(value):
    if value is True or value is False:
        return "true" if value else "false"
    if isinstance(value, int):
        if abs(value) > LARGEST:
            raise ValueError("a number is larger than 2^53 - 1")
        return str(value)
    if isinstance(value, str):
        return '"%s"' % "".join(
            SHORT.get(c) or ("\\u%04x" % ord(c) if c < " " else c) for c in value)
    if isinstance(value, list):
        return "[%s]" % ",".join(canonical(item) for item in value)
    if isinstance(value, dict):
        names = sorted(value, key=lambda name: name.encode("utf-16-be"))
        return "{%s}" % ",".join(canonical(n) + ":" + canonical(value[n]) for n in names)
    raise ValueError("it holds null, which no body does")


def once(pairs):
    if len({name for name, _ in pairs}) != len(pairs):
        raise ValueError("it names a member twice")
    return dict(pairs)


def not_whole(text):
    raise ValueError("the number %s is not whole" % text)


def parse(data):
    return json.loads(data.decode(), object_pairs_hook=once, parse_float=not_whole,
                      parse_constant=not_whole)


def is_time(data):
    text = data.decode("ascii", "replace")
    if not re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:[0-5]\dZ", text, re.ASCII):
        return False
    try:
        datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ")
    except ValueError:
        return False
    return True


class Verifier:
    """Takes entries, persons and files in any order but that of the entries; then finish()."""

    def __init__(self, book_id):
        self.problems = []
        self.count = 0
        self.last_hash = sha256(book_id)
        self.trusted = True
        self.last_number = 0
        self.row_before = self.last_hash  # the hash of the row before, a gap between or not
        self.gaps = {}  # by first entry: (last, its hash or None)
        self.unproved = {}  # digest by entry
        self.lost_persons = set()
        self.lost_files = set()
        self.notes = []
        self.named_persons = {}
        self.forgotten = set()
        self.named_files = set()
        self.persons = {}
        self.files = set()

    def problem(self, text):
        self.problems.append(text)

    def broken(self, text):
        if self.trusted:
            self.problem(text + "; from there on the chain proves nothing")
        self.trusted = False

    def begin(self, book_id):
        self.last_hash = self.row_before = sha256(book_id)

    def rescued(self, data):
        """What an entry of the kind `rescued` says of the others; to be told before them."""
        try:
            said = parse(data)
            for gap in said["gaps"]:
                self.gaps[gap["first"]] = (gap["last"], gap.get("hash"))
                self.notes.append("entries %d to %d are lost" % (gap["first"], gap["last"]))
            for one in said["unproved"]:
                self.unproved[one["entry"]] = one["digest"]
                self.notes.append("entry %d is unproved" % one["entry"])
            self.lost_persons.update(said.get("persons", []))
            self.lost_files.update(said.get("files", []))
            if said.get("open_end"):
                self.notes.append("entries may be lost behind the last one that was rescued")
        except (ValueError, KeyError, TypeError, AttributeError):
            pass  # its own turn tells of it

    def pass_gaps(self, number):
        """The number that is awaited once the gaps before `number` are passed, and whether any was."""
        awaited = self.last_number + 1
        while isinstance(number, int) and awaited < number and awaited in self.gaps:
            last, known = self.gaps[awaited]
            if last < awaited:
                break
            awaited = last + 1
            self.last_hash = known
        return awaited

    def entry(self, row):
        self.count += 1
        entry = dict(zip(COLUMNS, row))
        name = "entry %s" % (entry["number"],)
        awaited = self.pass_gaps(entry["number"])
        passed = awaited > self.last_number + 1
        if entry["number"] != awaited:
            self.broken("entry %d is missing" % awaited)
        for column, value in entry.items():
            if type(value) is not (int if column in NUMBERS else bytes):
                self.problem("%s has a %s of the wrong type" % (name, column))
                self.trusted = False
                return
        if entry["kind"] == b"rescued" and not (passed and self.last_hash):
            self.last_hash = self.row_before
        fields = [entry[column] for column in COLUMNS[:-1]]
        hashed = lambda previous: sha256(
            b"".join(netstring(f) for f in ["trencher-1", previous] + fields))
        if entry["number"] in self.unproved:
            fits = hashed("") == self.unproved[entry["number"]]
        else:
            fits = self.last_hash is not None and hashed(self.last_hash).encode() == entry["hash"]
        if self.trusted and not fits:
            self.broken("%s or its hash was altered" % name)
        self.last_number = entry["number"]
        self.last_hash = self.row_before = entry["hash"].decode("ascii", "replace")
        for column in ("happened_at", "written_at"):
            if not is_time(entry[column]):
                self.problem("%s has a %s that is no time" % (name, column))
        try:
            self.body(name, entry)
        except (ValueError, RecursionError, KeyError, TypeError) as failure:
            self.problem("the body of %s is not in its form: %s" % (name, failure))

    def body(self, name, entry):
        body = parse(entry["body"])
        if not isinstance(body, dict):
            raise ValueError("it is no object")
        if canonical(body).encode() != entry["body"]:
            self.problem("the body of %s is not written by the rules of RFC 8785" % name)
        said = [body]
        if entry["kind"] == b"forget":
            self.forgotten.add(body["person"])
            return
        if entry["kind"] in (b"correction", b"strike"):
            if not isinstance(body["entry"], int) or not 0 < body["entry"] < entry["number"]:
                self.problem("%s names no entry before it" % name)
            if entry["kind"] == b"correction":
                said.append(body["body"])
        for part in said:
            if "person" in part:
                self.named_persons.setdefault(part["person"], set()).add(part["seal"])
            if "file_sha256" in part:
                self.named_files.add(part["file_sha256"])

    def person(self, row):
        if not all(isinstance(value, bytes) for value in row):
            self.problem("a person in the vault is not of text")
            return
        person = dict(zip(PERSON, row))
        seal = sha256(b"".join(netstring(person[m]) for m in ("salt", "id", "name", "contact")))
        self.persons[person["id"].decode(errors="replace")] = seal

    def file(self, digest, data):
        name = digest.decode(errors="replace")
        self.files.add(name)
        if sha256(data) != name:
            self.problem("file %s in the vault was altered" % name)

    def finish(self):
        for person, seal in self.persons.items():
            if person not in self.named_persons:
                self.problem("no entry names person %s of the vault" % person)
            elif self.named_persons[person] != {seal}:
                self.problem("person %s in the vault was altered: the seal does not fit" % person)
            if person in self.forgotten:
                self.problem("person %s is said to be forgotten and is in the vault" % person)
        for person in (self.named_persons.keys() - self.persons.keys() - self.forgotten
                       - self.lost_persons):
            self.problem("person %s is missing from the vault" % person)
        for name in self.files - self.named_files:
            self.problem("no entry names file %s of the vault" % name)
        for name in self.named_files - self.files - self.lost_files:
            self.problem("file %s is missing from the vault" % name)
        return self


def read_database(database, verifier):
    ask = lambda sql: database.execute(sql).fetchall()
    for pragma, values in (("application_id", (APPLICATION_ID,)), ("user_version", LAYOUTS),
                           ("encoding", (b"UTF-8",))):
        if ask("PRAGMA " + pragma)[0][0] not in values:
            verifier.problem("the file's %s is not %s" % (pragma, " or ".join(map(str, values))))
    ids = ask("SELECT id FROM book")
    if len(ids) != 1 or not re.fullmatch(b"[0-9a-f]{32}", ids[0][0]):
        verifier.problem("the book has no one id of 32 hexadecimal digits")
    else:
        verifier.begin(ids[0][0])
    for (body,) in ask("SELECT body FROM entry WHERE kind = 'rescued' ORDER BY number"):
        verifier.rescued(body)
    for row in database.execute("SELECT %s FROM entry ORDER BY number" % ", ".join(COLUMNS)):
        verifier.entry(row)
    for row in database.execute("SELECT %s FROM person" % ", ".join(PERSON)):
        verifier.person(row)
    for row in database.execute("SELECT sha256, bytes FROM file"):
        verifier.file(*row)
    verifier.finish()


def verify_database(path):
    verifier = Verifier(b"")
    uri = "file:%s?mode=ro" % urllib.parse.quote(os.path.abspath(path))
    database = sqlite3.connect(uri, uri=True)
    database.text_factory = bytes
    try:
        read_database(database, verifier)
    except (sqlite3.Error, TypeError) as failure:
        verifier.problem("the file is damaged: %s" % failure)
    finally:
        database.close()
    return verifier


def last_line(stream):
    stream.seek(0, os.SEEK_END)
    stream.seek(max(0, stream.tell() - 4096))
    lines = stream.read().split(b"\n")
    stream.seek(0)
    return lines[-2] if len(lines) > 1 and lines[-1] == b"" else None


def verify_export(path):
    with open(path, "rb") as stream:
        try:
            trailer = parse(last_line(stream))["trailer"]
            verifier = Verifier(trailer["book"].encode())
        except (ValueError, KeyError, TypeError, AttributeError):
            verifier = Verifier(b"")
            verifier.problem("the file does not end with a trailer: it was cut or is no export")
            return verifier
        for line in stream:
            if b'"kind":"rescued"' in line:
                try:
                    verifier.rescued(parse(line)["body"].encode())
                except (ValueError, KeyError, TypeError, AttributeError):
                    pass  # its own turn tells of it
        stream.seek(0)
        persons = files = trailers = 0
        for number, line in enumerate(stream, 1):
            try:
                row = parse(line)
                if trailers:
                    verifier.problem("line %d stands behind the trailer" % number)
                if "person" in row:
                    persons += 1
                    verifier.person([row["person"][member].encode() for member in PERSON])
                elif "file" in row:
                    files += 1
                    verifier.file(row["file"]["sha256"].encode(),
                                  base64.b64decode(row["file"]["base64"], validate=True))
                elif "trailer" in row:
                    trailers += 1
                else:
                    verifier.entry([row[c] if c in NUMBERS else row[c].encode() for c in COLUMNS])
            except (ValueError, KeyError, TypeError, AttributeError) as failure:
                verifier.problem("line %d is no line of an export: %s" % (number, failure))
        verifier.finish()
        counted = {"entries": verifier.count, "persons": persons, "files": files,
                   "last_hash": verifier.last_hash}
        for member, value in counted.items():
            if trailer.get(member) != value:
                verifier.problem("the trailer's '%s' is not what the lines hold" % member)
        return verifier


def verify(path):
    with open(path, "rb") as stream:
        is_database = stream.read(16) == b"SQLite format 3\0"
    return verify_database(path) if is_database else verify_export(path)


# The self-test.

def expect(fact, what):
    if not fact:
        raise SystemExit("self-test failed: " + what)


def worked_examples(page):
    """(command, text that is hashed, hash) for each printf line of the page."""
    found = re.findall(r"^(printf '%s' '([^'\n]*)' \| sha256sum)\n([0-9a-f]{64})  -$", page, re.M)
    expect(len(found) == page.count("| sha256sum\n"), "a worked example is not in its form")
    return found


def database_of(lines, path):
    """A book of the export's rows: the tables by the page, without the program's schema."""
    database = sqlite3.connect(path)
    types = ", ".join("%s %s" % (c, "INTEGER" if c in NUMBERS else "TEXT") for c in COLUMNS)
    database.executescript(
        "PRAGMA application_id=%d; PRAGMA user_version=%d; CREATE TABLE book(id TEXT);"
        "CREATE TABLE entry(%s); CREATE TABLE file(sha256 TEXT, bytes BLOB);"
        "CREATE TABLE person(id TEXT, salt TEXT, name TEXT, contact TEXT);"
        % (APPLICATION_ID, LAYOUTS[-1], types))
    for row in map(json.loads, lines):
        if "person" in row:
            database.execute("INSERT INTO person VALUES (?,?,?,?)",
                             [row["person"][m] for m in PERSON])
        elif "trailer" in row:
            database.execute("INSERT INTO book VALUES (?)", [row["trailer"]["book"]])
        else:
            database.execute("INSERT INTO entry VALUES (?,?,?,?,?,?,?,?,?)",
                             [row[c] for c in COLUMNS])
    database.commit()
    database.close()


def same_rows(one, other):
    rows = lambda text: [parse(line) for line in text.splitlines()]
    try:
        return rows(one) == rows(other)
    except ValueError:
        return False


def try_rescued(lines, path):
    """The example without its second entry, as a rescue leaves it; and altered behind that."""
    first, _, third = [json.loads(line) for line in lines[:3]]
    book_id = json.loads(lines[-1])["trailer"]["book"]

    def hashed(previous, entry):
        fields = ["trencher-1", previous] + [entry[c] for c in COLUMNS[:-1]]
        return sha256(b"".join(map(netstring, fields)))

    def problems(said, altered=lambda entry: None, keep_note=True):
        entries = [dict(first), dict(third)]
        body = {"gaps": [{"first": 2, "last": 2}], "lost": [], "source": "book",
                "source_sha256": "0" * 64, "unproved": []}
        body.update(said)
        note = dict(third, number=4, written_by=0, kind="rescued", kind_version=1,
                    body=canonical(body))
        note["hash"] = hashed(third["hash"], note)
        altered(entries[1])
        rows = entries + [note] * keep_note
        trailer = {"book": book_id, "entries": len(rows), "persons": 0, "files": 0,
                   "last_hash": rows[-1]["hash"]}
        with open(path, "w", encoding="utf-8") as stream:
            for row in rows + [{"trailer": trailer}]:
                stream.write(json.dumps(row, ensure_ascii=False, separators=(",", ":")) + "\n")
        return verify(path).problems

    unproved = {"unproved": [{"entry": 3, "digest": hashed("", third)}]}
    proved = {"gaps": [{"first": 2, "last": 2, "hash": json.loads(lines[1])["hash"]}]}
    expect(problems(unproved) == [], "a rescued book is not taken as it is")
    expect(problems(proved) == [], "the hash of a lost entry does not prove the next")
    expect(problems({}), "an entry behind a gap counts as proved by nothing")
    expect(problems(unproved, keep_note=False), "a gap that nothing notes went unnoticed")
    alter = lambda entry: entry.update(written_by=entry["written_by"] + 1)
    expect(problems(unproved, alter), "an unproved entry altered later went unnoticed")
    expect(problems(proved, alter), "an entry behind a gap altered later went unnoticed")
    return 6


def self_test():
    docs = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "docs")
    with open(os.path.join(docs, "book-format.md"), encoding="utf-8") as stream:
        examples = worked_examples(stream.read())
    example = os.path.join(docs, "book-example.jsonl")
    with open(example, "rb") as stream:
        export = stream.read()
    lines = export.splitlines()

    # RFC 8785 section 3.2.3: the order of names, by UTF-16; and section 3.2.2.2: the escapes.
    names = {"\u20ac": 1, "\r": 2, "\ufb33": 3, "1": 4, "\U0001f600": 5, "\u0080": 6, "\u00f6": 7}
    expect(re.findall(r":(\d)", canonical(names)) == list("2467153"), "names are out of order")
    expect(canonical("\u20ac$\x0f\nA'B\"\\\\\"/") == '"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"',
           "text is escaped wrongly")

    # The page: each command gives the hash below it, by hashlib and by the shell.
    expect(len(examples) == 5, "the page has %d worked examples, not 5" % len(examples))
    for command, text, digest in examples:
        expect(sha256(text.encode()) == digest, "hash %s on the page is wrong" % digest)
        shown = subprocess.run(["sh", "-c", command], capture_output=True, check=True, text=True)
        expect(shown.stdout == digest + "  -\n", "the command for %s gives another hash" % digest)

    # The page and the export say the same.
    entries = [json.loads(line) for line in lines[:3]]
    hashes = [digest for _, _, digest in examples]
    expect(hashes[1:4] == [entry["hash"] for entry in entries], "page and export differ in a hash")
    expect(hashes[4] == json.loads(entries[1]["body"])["seal"], "page and export differ in a seal")
    for (_, text, _), previous, entry in zip(examples[1:4], hashes, entries):
        fields = ["trencher-1", previous] + [entry[c] for c in COLUMNS[:-1]]
        expect(text.encode() == b"".join(map(netstring, fields)), "the page's netstrings are wrong")

    with tempfile.TemporaryDirectory() as folder:
        book = os.path.join(folder, "book.db")
        database_of(lines, book)
        for path in (example, book):
            whole = verify(path)
            expect(whole.problems == [], "%s: %s" % (path, whole.problems))
            expect((whole.count, whole.last_hash) == (3, hashes[3]), "count or last hash is off")

        # One bit of each byte of the export.
        changed = os.path.join(folder, "changed.jsonl")
        flips = 0
        for at in range(len(export)):
            altered = export[:at] + bytes([export[at] ^ 1]) + export[at + 1:]
            if same_rows(export, altered):
                continue
            with open(changed, "wb") as stream:
                stream.write(altered)
            expect(verify(changed).problems, "a change of byte %d of an export is unnoticed" % at)
            flips += 1
        for keep in range(len(lines)):
            with open(changed, "wb") as stream:
                stream.write(b"".join(line + b"\n" for line in lines[:keep]))
            expect(verify(changed).problems, "a cut after line %d went unnoticed" % keep)

        rescues = try_rescued(lines, changed)

        # Each cell of the book.
        changes = ["UPDATE entry SET %s = %s WHERE number = %d" % (
            c, c + " + 1" if c in NUMBERS else "substr(%s, 2) || 'x'" % c, n)
            for c in COLUMNS for n in (1, 2, 3)]
        changes += ["UPDATE person SET %s = %s || 'x'" % (m, m) for m in PERSON]
        changes += ["DELETE FROM entry WHERE number = 2", "DELETE FROM entry WHERE number = 1",
                    "DELETE FROM person", "INSERT INTO person VALUES ('a', 'b', 'c', 'd')",
                    "INSERT INTO file VALUES ('%s', x'78')" % sha256(b"x"),
                    "INSERT INTO file VALUES ('a', x'78')",
                    "UPDATE entry SET number = 5 - number WHERE number > 1",
                    "INSERT INTO entry SELECT 4, happened_at, 0, written_at, 1, kind, 1, body, "
                    "hash FROM entry WHERE number = 3",
                    "UPDATE book SET id = replace(id, '0', '1')", "PRAGMA application_id = 1",
                    "PRAGMA user_version = %d" % (LAYOUTS[-1] + 1), "PRAGMA user_version = 0"]
        for change in changes:
            altered = os.path.join(folder, "altered.db")
            with open(book, "rb") as source, open(altered, "wb") as target:
                target.write(source.read())
            database = sqlite3.connect(altered)
            database.execute(change)
            database.commit()
            database.close()
            expect(verify(altered).problems, "unnoticed: " + change)
    print("self-test passed: %d worked examples, %d flipped bytes, %d changes to a book, "
          "%d rescued books" % (len(examples), flips, len(changes), rescues))


def main(arguments):
    if arguments == ["--self-test"]:
        self_test()
        return 0
    if len(arguments) != 1 or arguments[0].startswith("-"):
        print(__doc__, file=sys.stderr)
        return 2
    try:
        verifier = verify(arguments[0])
    except OSError as failure:
        print("%s cannot be read: %s" % (arguments[0], failure), file=sys.stderr)
        return 2
    for problem in verifier.problems:
        print(problem)
    for note in verifier.notes:
        print("noted: " + note)
    print("%s: %d entries, last hash %s" % ("altered" if verifier.problems else "unaltered",
                                            verifier.count, verifier.last_hash))
    return 1 if verifier.problems else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
