"""Hostile texts, and what of them may come out of the program. Shares no code with it: what is harmless is
decided by Python's tables of Unicode."""

import csv
import io
import json
import os
import re
import subprocess
import unicodedata

ESC = "\x1b"

# Must be refused where they are typed, wherever they are typed.
REFUSED = {
    "colour": "Oak" + ESC + "[31mred" + ESC + "[0m",
    "clears the screen": ESC + "[2J" + ESC + "[H",
    "title of the window": ESC + "]0;owned\x07",
    "link": ESC + "]8;;http://x.example\x07here" + ESC + "]8;;\x07",
    "C1 escape": "Oak\u009b31mred",
    "C1 string": "\u009d0;owned\u009c",
    "bell and backspace": "Oak\x07\x08\x08\x08Elm",
    "carriage return": "Oak\rElm",
    "new line": "Oak\nEntry 99: signed off",
    "tab": "a\tb",
    "DEL": "Oak\x7f",
    "next line": "Oak\u0085Elm",
    "line separator": "Oak\u2028Elm",
    "override": "Oak\u202eklE",
    "embedding": "Oak\u202aElm\u202c",
    "isolate": "Oak\u2066Elm\u2069",
    "mark": "Oak\u200fElm",
    "zero width": "O\u200ba\u200bk",
    "word joiner": "Oak\u2060Elm",
    "byte order mark": "\ufeffOak",
    "soft hyphen": "O\u00adak",
    "filler": "\u3164\u3164",
    "tags": "Oak" + "".join(chr(0xE0000 + ord(c)) for c in "hidden"),
    "many selectors": "Oak\ufe0f\ufe0e\ufe0f",
    "selectors that hide": "Oak" + "".join(chr(0xE0100 + c) for c in range(9)),
    "no character": "Oak\uffff",
    "no character, inner": "Oak\ufdd0",
    "no character, high": "Oak\U0001ffff",
    "truncated UTF-8": b"caf\xc3",
    "Latin-1": b"caf\xe9 noir",
    "overlong": b"..\xc0\xaf..\xc0\xaf",
    "surrogate": b"Oak\xed\xa0\x80",
    "above U+10FFFF": b"Oak\xf4\x90\x80\x80",
    "long": "Oak " + "x" * 120000,
    "long, in words": "Oak " * 30000,
}

# May be accepted or not; what is accepted is stored as it is and comes out harmless.
DOUBTFUL = {
    "SQL": "'; DROP TABLE entry; --",
    "SQL, quoted": "Oak\" OR 1=1 --",
    "template": "{{maker}}",
    "template, unescaped": "{{{maker}}}",
    "template, section": "{{#maker}}x{{/maker}}",
    "template, partial": "{{>care-card}}{{=<% %>=}}",
    "template, unclosed": "{{maker",
    "formula": "=HYPERLINK(\"http://x.example\")",
    "formula, plus": "+1+1",
    "formula, minus": "-2+3",
    "formula, at": "@SUM(A1)",
    "formula, behind blanks": "  =1+1",
    "formula, wide": "＝1+1",
    "formula, in a list": "a;=1+1",
    "path": "../../../etc/trencher",
    "absolute path": "/proc/self/mem",
    "reserved name": "CON",
    "option": "--replace",
    "percent": "%s%s%n%1000000d",
    "braces": "{} {0} {:>9999}",
}

# A maker's own: accepted, and they look right.
HONEST = {
    "accents": "Zoë Sjöström",
    "apostrophe": "Siobhán O'Brien",
    "Hebrew": "רות עץ",
    "Arabic": "ليلى خشب",
    "Persian": "می\u200cخواهم",
    "picture": "Oak 🪵 and ❤️",
    "joined picture": "👩🏽\u200d🔧 Ida",
    "minus": "-Bo Tarn",
    "equals": "=Bo Tarn",
    "Japanese": "木村 楓",
}

LETTERS = {0x200C, 0x200D}  # joiners: writing


def harmful(text):
    """The first character of a decoded text that steers, turns or hides, or nothing."""
    for c in text:
        code = ord(c)
        if code == 0x0A or code in LETTERS:
            continue
        category = unicodedata.category(c)
        noncharacter = 0xFDD0 <= code <= 0xFDEF or code & 0xFFFE == 0xFFFE
        if category in ("Cc", "Cf", "Zl", "Zp", "Cs") or noncharacter or code in (0x3164, 0xFFA0, 0x115F, 0x1160):
            return "U+%04X" % code
    return None


class Fault(AssertionError):
    pass


def check_bytes(data, where):
    """Output for a terminal: UTF-8, and nothing but the new line of what is no letter or sign."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as failure:
        raise Fault("%s: not UTF-8: %s" % (where, failure)) from None
    found = harmful(text)
    if found:
        at = next(i for i, c in enumerate(text) if harmful(c))
        raise Fault("%s: %s in %r" % (where, found, text[max(0, at - 40):at + 20]))
    return text


def begins_formula(cell):
    return unicodedata.normalize("NFKC", cell.strip("  　"))[:1] in ("=", "+", "-", "@", "\t", "\r")


def check_csv(data, where):
    text = data.decode("utf-8")
    if not text.endswith("\r\n") or re.search("\r(?!\n)|(?<!\r)\n", text):
        raise Fault("%s: lines do not end in CR LF" % where)
    check_bytes(text.replace("\r\n", "\n").encode(), where)
    rows = list(csv.reader(io.StringIO(text, newline="")))
    if len({len(row) for row in rows}) != 1:
        raise Fault("%s: rows of unlike length" % where)
    for row in rows:
        for cell in row:
            for part in cell.split(";"):
                if begins_formula(part):
                    raise Fault("%s: a cell begins a formula: %r" % (where, cell[:60]))
    return rows


def check_json(data, where):
    text = check_bytes(data, where)
    return json.loads(text)


def check_calendar(data, where, events):
    import icalendar
    text = data.decode("utf-8")
    if re.search("\r(?!\n)|(?<!\r)\n", text):
        raise Fault("%s: lines do not end in CR LF" % where)
    check_bytes(text.replace("\r\n", "\n").encode(), where)
    for line in data.split(b"\r\n"):
        if len(line) > 75:
            raise Fault("%s: a line of %d octets" % (where, len(line)))
    found = icalendar.Calendar.from_ical(data).walk("VEVENT")
    if len(found) != events:
        raise Fault("%s: %d events, and there are %d" % (where, len(found), events))
    for event in found:
        for name in ("SUMMARY", "DESCRIPTION", "UID"):
            if harmful(str(event.get(name, ""))):
                raise Fault("%s: %s holds %s" % (where, name, harmful(str(event.get(name)))))
    return found


def tool(*words):
    return subprocess.run(words, capture_output=True, timeout=120)


def check_pdf(path, where):
    """qpdf finds nothing amiss; text and title, as poppler reads them, are harmless. Returns the text."""
    checked = tool("qpdf", "--check", str(path))
    if checked.returncode != 0:
        raise Fault("%s: qpdf: %s" % (where, checked.stderr.decode(errors="replace")[:300]))
    # poppler wraps what runs from right to left in marks of its own
    text = tool("pdftotext", "-enc", "UTF-8", str(path), "-").stdout
    text = re.sub("[\u202a-\u202c\u200e\u200f\f]", "", text.decode("utf-8")).encode()
    check_bytes(text, where)
    title = [line for line in tool("pdfinfo", "-enc", "UTF-8", str(path)).stdout.split(b"\n")
             if line.startswith(b"Title:")]
    for line in title:
        check_bytes(line, where + ", title")
    raw = tool("qpdf", "--qdf", "--object-streams=disable", str(path), "-").stdout
    if b"/JavaScript" in raw or b"/Launch" in raw or b"/URI" in raw:
        raise Fault("%s: an action" % where)
    return text.decode()


COUNTS = {}


def count(what, number=1):
    COUNTS[what] = COUNTS.get(what, 0) + number


def fail_unless(held, sentence):
    if not held:
        raise Fault(sentence)


def check_error(done, where):
    text = check_bytes(done.stderr, where)
    fail_unless(check_bytes(done.stdout, where) is not None, where)
    fail_unless(text.startswith("trencher: ") and len(text) < 8000, "%s: an error of %d signs: %r" %
                (where, len(text), text[:80]))
    return text


def check_folder(folder, where):
    names = os.listdir(folder)
    for name in names:
        fail_unless(re.fullmatch(r"[^\x00-\x20\x7f/\\:*?\"<>|'`$&;]{1,200}", name) and not harmful(name)
                    and not name.startswith(("-", ".", "_")) and not (folder / name).is_symlink(),
                    "%s: the name %r" % (where, name))
        if name.endswith(".csv"):
            check_csv((folder / name).read_bytes(), where + ", " + name)
            count("CSV files")
    count("folders")
    return names
