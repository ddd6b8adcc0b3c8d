"""Names and notes of honest makers, which must look right on every way out."""

import json
import unicodedata

import hostile
from hostile import HONEST, count, fail_unless
from shop import Shop, boards, stock


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
    shaped = unicodedata.normalize("NFKC", notices)
    for text in (HONEST["Arabic"],):
        fail_unless(all(word in shaped or word[::-1] in shaped for word in text.split()),
                    "Arabic: %r is on no notice" % text)
    fail_unless("fonts lack U+" in " ".join(done.stderr.decode().split()), "honest: what the fonts lack is not told")
