#!/usr/bin/python3
"""Whatever a command prints with --json fits its schema in docs/schemas, and no schema goes further
than what is printed.

  schemas_test.py --trencher PROGRAM [--outputs FOLDER] [--report]
  schemas_test.py --self-test

FOLDER holds what `run_texts.py --json-outputs FOLDER` wrote; without it the run texts are run here.
Then the demo's book is played, and each command of json_commands.py on it. It fails where

- an output does not fit its schema, or a command that failed has printed something;
- a command of the program has no schema, or a schema belongs to no command;
- a schema is not valid, or laxer than they all are (json_schemas.py says how);
- a file, a branch or a member of a schema occurs in no output, or a member that may be left out
  never is, but for those that EXCEPTIONS gives a reason for.
"""
import argparse
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
from json_schemas import COMMON, Schemas, at

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent
# Places that no output shows, or members that every one has: with the reason why that must be so.
EXCEPTIONS = {}
# Those of json_commands.WRITING that take no --by.
READERS = {"when", "plan", "due", "trace", "answers", "rules", "rescue"}


class Outputs:
    """Judges outputs, and counts."""

    def __init__(self, schemas):
        self.schemas, self.count, self.wrong = schemas, 0, []

    def take(self, where, words, status, output):
        self.count += 1
        wrong = self.schemas.wrong_output(words, status, output)
        if wrong:
            self.wrong.append(f"{where}: trencher {shlex.join(words)}\n    {wrong}")


def take_run_texts(outputs, folder):
    for text in sorted((HERE / "runs").glob("*.txt")):
        kept = folder / f"{text.stem}.json"
        if not kept.is_file():
            outputs.wrong.append(f"{kept} is missing; run_texts.py --json-outputs writes it")
            continue
        for one in json.loads(kept.read_text(encoding="utf-8")):
            outputs.take(text.name, shlex.split(one["command"])[1:], one["status"], one["output"])


class Shop:
    """The demo's book, and commands on it."""

    def __init__(self, program, folder, outputs):
        self.program, self.folder, self.outputs = program, folder, outputs
        self.out = folder / "demo"
        self.out.mkdir()
        self.names = {"out": str(self.out), "root": str(ROOT)}
        self.environment = {"PATH": os.environ["PATH"], "HOME": str(folder), "LC_ALL": "C.UTF-8",
                            "TRENCHER": str(program), "TRENCHER_BOOK": str(self.out / "book.db"),
                            "TZ": "Europe/London", "root": str(ROOT), "out": str(self.out)}
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
        self.names["paper"] = next(row["entry"] for row in self.ask("statement", "show", "F1") if "file_name" in row)
        self.names["hash"] = self.ask("verify")["last_hash"]

    def play(self, lines, *more):
        for line in lines.strip().splitlines():
            kept = re.match(r"(\w+)=(entry|id): ", line)
            try:
                words = [word.format(**self.names) for word in shlex.split(line[kept.end():] if kept else line)]
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
                self.names |= {f"{kept[1]}_{i}": code for i, code in enumerate(value.get("pieces", ()), 1)}


def commands_of(program):
    """The names that the program lists."""
    said = subprocess.run([program, "--help"], capture_output=True, text=True, check=True).stdout
    return re.findall(r"^  ([a-z-]+) +\S", said, re.MULTILINE)


def missing_schemas(schemas, commands):
    for command in commands:
        if command not in schemas.files:
            yield f"the command {command} has no schema in docs/schemas"
    for name in schemas.files:
        if name not in (COMMON, "version") and not any(
                name == command or name.startswith(f"{command}-") for command in commands):
            yield f"{name}.json belongs to no command"


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
    wrong = list(schemas.wrong_forms()) + list(missing_schemas(schemas, commands_of(program)))
    with tempfile.TemporaryDirectory(prefix="trencher-schemas-") as work:
        work = pathlib.Path(work)
        if folder is None:
            folder = work / "outputs"
            folder.mkdir()
            run_texts.check_all(sorted((HERE / "runs").glob("*.txt")), program, jobs=2, json_outputs=folder)
        take_run_texts(outputs, folder)
        shop = Shop(program, work, outputs)
        shop.learn_names()
        for name, text in zip(("hurt.jsonl", "nameless.jsonl"), json_commands.hurt((shop.out / "book.jsonl").read_text())):
            (work / name).write_text(text)
        (work / "rules.toml").write_text(json_commands.OWN_RULES)
        shop.play(json_commands.READING)
        shop.play(json_commands.WRITING, "--by", "1")
    wrong += outputs.wrong
    wrong += unused(schemas, EXCEPTIONS)
    print("".join(f"{line}\n" for line in wrong), end="")
    print(f"{outputs.count} outputs, {len(schemas.files)} files of schemas, {len(wrong)} wrong")
    return 1 if wrong else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--trencher", type=lambda path: pathlib.Path(path).resolve())
    parser.add_argument("--outputs", type=pathlib.Path)
    parser.add_argument("--self-test", action="store_true")
    arguments = parser.parse_args()
    if not arguments.trencher or not arguments.trencher.is_file():
        parser.error("--trencher must name the built program")
    return run(arguments.trencher, arguments.outputs)


if __name__ == "__main__":
    sys.exit(main())
