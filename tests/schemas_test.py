#!/usr/bin/python3
"""Whatever a command prints with --json fits its schema in docs/schemas, and no schema goes further
than what is printed.

  schemas_test.py --trencher PROGRAM [--outputs FOLDER]
  schemas_test.py --self-test

FOLDER holds what `run_texts.py --json-outputs FOLDER` wrote; texts of which it holds nothing, or
something older than the program, are run here.
Then the demo's book is played, and each command of json_commands.py on it. It fails where

- an output does not fit its schema, or a command that failed has printed something (each is also
  called with an option that none has, and on a book that is not there);
- a command of the program has no schema, or a schema belongs to no command;
- a schema has a member that neither docs/json.md nor docs/book-format.md names, or docs/json.md one
  that no schema has;
- a schema is not valid, or laxer than they all are (json_schemas.py says how);
- a file, a branch or a member of a schema occurs in no output, or a member that may be left out
  never is, but for those that EXCEPTIONS gives a reason for.
"""
import argparse
import datetime
import json
import os
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

import json_commands
import run_texts
from json_schemas import COMMON, Schemas

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent
# Places that no output shows, or members that every one has: with the reason why that must be so.
EXCEPTIONS = {}
# Shipped tables, whose members are theirs.
TABLES = {"species", "finishes", "glues", "others", "allergens", "schedules"}
# Those of json_commands.WRITING that take no --by.
READERS = {"when", "plan", "due", "trace", "answers", "rules", "offer"}


class Outputs:
    """Judges outputs, and counts."""

    def __init__(self, schemas):
        self.schemas, self.count, self.refused, self.wrong = schemas, 0, 0, []

    def take(self, where, words, status, output):
        self.count += 1
        self.refused += status not in (0, 1)
        wrong = self.schemas.wrong_output(words, status, output)
        if wrong:
            self.wrong.append(f"{where}: trencher {shlex.join(words)}\n    {wrong}")


def take_run_texts(outputs, folder, program):
    """What `run_texts.py --json-outputs` has kept; anew where that is older than program or text."""
    for text in sorted((HERE / "runs").glob("*.txt")):
        kept = folder / f"{text.stem}.json"
        newest = max(path.stat().st_mtime_ns for path in (program, text))
        if not kept.is_file() or kept.stat().st_mtime_ns < newest:
            run_texts.check(text, program, False, 60, folder)
        for one in json.loads(kept.read_text(encoding="utf-8")):
            outputs.take(text.name, shlex.split(one["command"])[1:], one["status"], one["output"])


def commands_in(text):
    return text.replace("\\\n", " ").strip().splitlines()


class Shop:
    """The demo's book, and commands on it."""

    def __init__(self, program, folder, outputs):
        self.program, self.folder, self.outputs = program, folder, outputs
        self.out = folder / "demo"
        self.out.mkdir()
        self.names = {"out": str(self.out), "root": str(ROOT)}
        self.environment = {"PATH": os.environ["PATH"], "HOME": str(folder), "LC_ALL": "C.UTF-8",
                            "TRENCHER": str(program), "TRENCHER_BOOK": str(self.out / "book.db"),
                            "TZ": "Europe/London", "kept": str(ROOT / "docs"), "out": str(self.out),
                            "TMPDIR": str(folder)}
        played = self.call("sh", "-eu", str(ROOT / "docs/demo-scenario.sh"))
        if played.returncode:
            raise RuntimeError(f"the demo's scenario ends with {played.returncode}: {played.stderr}")

    def call(self, *words):
        return subprocess.run(words, capture_output=True, text=True, env=self.environment,
                              cwd=self.folder, timeout=300)

    def ask(self, *words):
        """What a command prints, as a value."""
        done = self.call(str(self.program), *words, "--json")
        self.outputs.take("asked for the names", list(words), done.returncode, done.stdout)
        return json.loads(done.stdout)

    def learn_names(self):
        batches = [row["batch"] for row in self.ask("batch")]
        self.names |= zip(("first", "second", "third"), batches)
        codes = [node["id"] for node in self.ask("trace", batches[0])["after"]]
        self.names |= {"returned": codes[0], "sold": codes[1], "other_sold": codes[2], "last": codes[5]}
        self.names["complaint"] = self.ask("complaint")[0]["entry"]
        papers = self.ask("statement", "show", "F1")
        self.names["paper"] = next(paper["entry"] for paper in papers if "file_name" in paper)
        self.names["yesterday"] = (datetime.date.today() - datetime.timedelta(days=1)).isoformat()
        self.names["hash"] = self.ask("verify")["last_hash"]

    def play(self, lines, *more):
        for line in commands_in(lines):
            kept = re.match(r"(\w+)=(entry|id): ", line)
            try:
                words = shlex.split(line[kept.end():] if kept else line)
                words = [word.format(**self.names) for word in words]
            except KeyError as name:
                self.outputs.wrong.append(f"the demo's book: {line}\n    nothing has given out {name}")
                continue
            if words[0] not in READERS:
                words += more
            done = self.call(str(self.program), *words, "--json")
            self.outputs.take("the demo's book", words, done.returncode, done.stdout)
            if done.returncode not in (0, 1):
                self.outputs.wrong.append(f"the demo's book: {line}\n    is refused: {done.stderr.strip()}")
            elif kept:
                value = json.loads(done.stdout)
                self.names[kept[1]] = value[kept[2]]
                for i, code in enumerate(value.get("pieces", ()), 1):
                    self.names |= {f"{kept[1]}_{i}": code, f"{kept[1]}_{i}_digits": code.replace("-", "")}

    def refuse(self, commands, lines):
        """Nothing may be printed where a command fails."""
        missing = ["--book", str(self.folder / "none.db")]
        asked = [[command, "--no-such-option"] for command in commands]
        asked += [shlex.split(line.format(**self.names)) + missing for line in commands_in(lines)
                  if "--book" not in line]
        for words in asked:
            done = self.call(str(self.program), *words, "--json")
            self.outputs.take("to be refused", words, done.returncode, done.stdout)
            if words[1:] == ["--no-such-option"] and done.returncode != 2:
                self.outputs.wrong.append(f"trencher {shlex.join(words)}: status {done.returncode}, not 2")


    def follow_docs(self):
        """What docs/json.md shows holds for due, as it says, and not for another output."""
        shown = re.search(r"^```\n(.*?)^```", (ROOT / "docs/json.md").read_text(), re.MULTILINE | re.DOTALL)[1]
        self.environment["PATH"] = f"{self.program.parent}:{self.environment['PATH']}"
        for words, holds in ((shown, True), (shown.replace('"due"', '"people"'), False)):
            done = subprocess.run(["sh", "-c", words], capture_output=True, text=True, env=self.environment,
                                  cwd=ROOT, timeout=60)
            if (done.returncode == 0) != holds:
                self.outputs.wrong.append(
                    f"docs/json.md: its example ends with {done.returncode}: {done.stderr[-300:]}")


def commands_of(program):
    """The names that the program lists."""
    said = subprocess.run([program, "--help"], capture_output=True, text=True, check=True).stdout
    return re.findall(r"^  ([a-z-]+) +\S", said, re.MULTILINE)


def missing_schemas(schemas, commands):
    for command in commands:
        if command not in schemas.files:
            yield f"the command {command} has no schema in docs/schemas"
    for name in schemas.files:
        if name not in (COMMON, "version", "overview") and not any(
                name == command or name.startswith(f"{command}-") for command in commands):
            yield f"{name}.json belongs to no command"


def undescribed(schemas, json_md, book_format):
    """Members of schemas that neither document names, and those that docs/json.md alone knows."""
    members = {pointer.rsplit("/properties/", 1)[1]: name for name, pointer in schemas.places
               if re.search(r"/properties/[^/]+$", pointer) and name not in TABLES}
    for member, name in sorted(members.items()):
        if not re.search(rf"\b{re.escape(member)}\b", json_md + book_format):
            yield f"{name}.json: neither docs/json.md nor docs/book-format.md names {member}"
    shapes = re.sub(r"^```.*?^```", "", json_md, flags=re.MULTILINE | re.DOTALL)
    for member in sorted(set(re.findall(r'[{ ]"([a-z_]+)"[,:}]', shapes)) - set(members)):
        yield f"docs/json.md: no schema has the member {member}"


def unused(schemas, exceptions):
    """What of the schemas the outputs do not bear out."""
    found = [(place, "no output shows it") for place in schemas.unseen()]
    found += [(place, "it may be left out and never is: require it, or show an output without it")
              for place in schemas.never_absent()]
    for (name, pointer), what in found:
        if f"{name}.json{pointer}" not in exceptions:
            yield f"{name}.json{pointer}: {what}"
    for place in set(exceptions) - {f"{name}.json{pointer}" for (name, pointer), _ in found}:
        yield f"{place}: the exception is not needed"


def run(program, folder):
    schemas = Schemas()
    outputs = Outputs(schemas)
    commands = commands_of(program)
    documents = [(ROOT / "docs" / name).read_text() for name in ("json.md", "book-format.md")]
    wrong = [*schemas.wrong_forms(), *missing_schemas(schemas, commands), *undescribed(schemas, *documents)]
    with tempfile.TemporaryDirectory(prefix="trencher-schemas-") as work:
        work = pathlib.Path(work)
        folder = folder or work / "outputs"
        folder.mkdir(parents=True, exist_ok=True)
        take_run_texts(outputs, folder, program)
        shop = Shop(program, work, outputs)
        shop.learn_names()
        exports = json_commands.hurt((shop.out / "book.jsonl").read_text())
        for name, text in zip(("hurt.jsonl", "nameless.jsonl"), exports):
            (work / name).write_text(text)
        (work / "rules.toml").write_text(json_commands.OWN_RULES)
        shop.play(json_commands.READING)
        shop.play(json_commands.WRITING, "--by", "1")
        shop.follow_docs()
        shop.refuse(commands, json_commands.READING)
    wrong += outputs.wrong
    wrong += unused(schemas, EXCEPTIONS)
    print("".join(f"{line}\n" for line in wrong), end="")
    print(f"{outputs.count} outputs, {outputs.refused} of them refused, {len(schemas.files)} files of "
          f"schemas, {len(wrong)} wrong")
    return 1 if wrong else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--trencher", type=lambda path: pathlib.Path(path).resolve())
    parser.add_argument("--outputs", type=pathlib.Path)
    parser.add_argument("--self-test", action="store_true")
    arguments = parser.parse_args()
    if arguments.self_test:
        import schemas_self_test  # which imports this file
        return schemas_self_test.run()
    if not arguments.trencher or not arguments.trencher.is_file():
        parser.error("--trencher must name the built program")
    return run(arguments.trencher, arguments.outputs)


if __name__ == "__main__":
    sys.exit(main())
