"""Books that hold hostile text already, and every way out of them."""

import hashlib
import json
import shutil
import sqlite3

import hostile
from hostile import DOUBTFUL, REFUSED, Fault, check_folder, count, fail_unless
from shop import LANGUAGES, Shop
from verify_book import canonical, netstring, sha256


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
    done = shop.run("export", "--csv", papers / "sheets")
    fail_unless(done.returncode == 0, "%s: sheets: %s" % (kind, done.stderr))
    hostile.check_bytes(done.stdout, kind + ": sheets")
    for path in sorted((papers / "sheets").iterdir()):
        data = path.read_bytes()
        if path.suffix == ".csv":
            hostile.check_csv(data, "%s: %s" % (kind, path.name))
            count("tables")
        else:
            hostile.check_bytes(data, "%s: %s" % (kind, path.name))
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
