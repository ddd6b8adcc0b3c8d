#!/usr/bin/python3
"""Looks through everything that the program can print for claims that it never makes: templates,
shipped tables and rules, the texts in its sources, and all that the run texts show it printing.

  claims_test.py              0: no claim found
  claims_test.py --self-test  0: claims planted in each language, in each kind of place, are found

The phrases are those of schema/reference/never-said.csv, matched here by other code than the
program's. Why each is not said: Reg. (EU) 528/2012, 1935/2004 art 3(2), 16 CFR 260, 21 CFR 101.91
and the others that docs/sources.md names."""
import argparse
import csv
import pathlib
import re
import sys
import tempfile
import tomllib
import unicodedata

ROOT = pathlib.Path(__file__).resolve().parent.parent


def plain(text):
    text = unicodedata.normalize("NFC", text).lower().replace("\u2019", "'")
    return re.sub(r"[\s\u00ad\u2010-\u2014-]+", " ", text)


class Claims:
    def __init__(self, table):
        self.claims, self.denials = [], []
        with open(table, encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                words = plain(row["phrase"])
                ending = "" if words.endswith(("*", "'")) else r"(?!\w)"
                pattern = re.compile(r"(?<!\w)" + re.escape(words.rstrip("*")) + ending)
                (self.denials if row["group"] == "denial" else self.claims).append(
                    (row["phrase"], pattern))

    def found_in(self, text):
        text = plain(text)
        for _, pattern in self.denials:
            text = pattern.sub(".", text)
        return [phrase for phrase, pattern in self.claims if pattern.search(text)]


def strings_of(source):
    """The texts of a C++ source, neighbouring literals as one; comments are passed over."""
    token = re.compile(r'//[^\n]*|/\*.*?\*/|R"\((.*?)\)"|"((?:[^"\\\n]|\\.)*)"|\'(?:[^\'\\\n]|\\.)+\'',
                       re.DOTALL)
    out, last = [], None
    for match in token.finditer(source):
        text = match.group(1) if match.group(1) is not None else match.group(2)
        if text is None:
            continue
        if last is not None and not source[last:match.start()].strip():
            out[-1] += text
        else:
            out.append(text)
        last = match.end()
    return out


def values_of(data):
    if isinstance(data, dict):
        for value in data.values():
            yield from values_of(value)
    elif isinstance(data, list):
        for value in data:
            yield from values_of(value)
    elif isinstance(data, str):
        yield data


def texts(root):
    """Whatever can be printed, with where it stands."""
    for path in sorted((root / "templates").rglob("*.mustache")):
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if not line.startswith("#"):
                yield f"{path.relative_to(root)}:{number}", line
    for path in sorted((root / "schema/reference").glob("*.csv")):
        if path.name == "never-said.csv":
            continue
        with open(path, encoding="utf-8", newline="") as file:
            for number, row in enumerate(csv.reader(file), 1):
                for cell in row:
                    yield f"{path.relative_to(root)}:{number}", cell
    for path in sorted((root / "schema").rglob("*.toml")):
        for value in values_of(tomllib.loads(path.read_text(encoding="utf-8"))):
            yield str(path.relative_to(root)), value
    for path in sorted((root / "src").rglob("*.[ch]*")):
        for text in strings_of(path.read_text(encoding="utf-8")):
            yield str(path.relative_to(root)), text
    for path in sorted((root / "tests/runs").glob("*.txt")):
        printed = []  # joined, since lines are wrapped
        for line in path.read_text(encoding="utf-8").splitlines() + ["$"]:
            if line[:1] in "#$@<=":
                if printed:
                    yield str(path.relative_to(root)), " ".join(printed)
                printed = []
            else:
                printed.append(line.removeprefix("! ").strip())


def faults(root, claims):
    out = []
    for where, text in texts(root):
        for phrase in claims.found_in(text):
            out.append(f"{where}: '{phrase}' in: {text[:160]}")
    return out


def self_test(claims):
    planted = {
        "templates/letter/de.mustache": "text: Das Brett ist lebensmittelecht.\n",
        "templates/letter/fr.mustache": "text: Une planche non toxique.\n",
        "templates/letter/es.mustache": "text: Es apta para lavavajillas.\n",
        "schema/reference/finishes.csv": "id,notes\noil,\"A food-safe oil\"\n",
        "schema/rules/us.toml": 'asks = "an approved board"\n',
        "src/commands/x.cpp": 'call.say("This board is "  // why\n  "free from nuts.");\n',
        "tests/runs/x.txt": "$ trencher x\nThe board is certi\nfied? It is hypo-\nallergenic nut\nfree\n",
    }
    clean = {
        "templates/letter/en.mustache": "# not food safe in a comment\ntext: None recorded does not mean free from.\n",
        "src/commands/y.cpp": '// food safe\ncall.say("Recorded economy of seafood, safely.");\n',
    }
    with tempfile.TemporaryDirectory() as folder:
        for name, text in (planted | clean).items():
            path = pathlib.Path(folder) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        found = faults(pathlib.Path(folder), claims)
        missed = [name for name in planted if not any(fault.startswith(name) for fault in found)]
        wrong = [fault for fault in found if any(fault.startswith(name) for name in clean)]
    for name in missed:
        print("not noticed:", name)
    for fault in wrong:
        print("wrongly noticed:", fault)
    return 1 if missed or wrong else 0


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--self-test", action="store_true")
    claims = Claims(ROOT / "schema/reference/never-said.csv")
    if options.parse_args().self_test:
        return self_test(claims)
    found = faults(ROOT, claims)
    for fault in found:
        print(fault)
    print(f"{sum(1 for _ in texts(ROOT))} texts, {len(claims.claims)} phrases, {len(found)} found")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
