#!/usr/bin/python3
"""docs/guide.md: every command line in it is run, at the time that a comment before it gives, in one book,
and prints what stands below it. With --update the outputs are written anew; read the difference."""
import argparse
import difflib
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

from run_texts import FAKETIME

ROOT = pathlib.Path(__file__).resolve().parent.parent
GUIDE = ROOT / "docs/guide.md"
CLOCK = re.compile(r"<!-- (\d{4}-\d\d-\d\d \d\d:\d\d) -->")
FILE = re.compile(r"<!-- file (\S+)\n(.*?)-->", re.DOTALL)
HASH = re.compile(r"\b[0-9a-f]{64}\b")


class Reader:
    def __init__(self, program, folder):
        self.program, self.folder = program, folder
        self.clock = None
        self.count = 0
        shutil.copy(ROOT / "docs/demo-board.jpg", folder / "board.jpg")

    def run(self, line):
        words = shlex.split(line)
        if words[0] == "cat":
            return (self.folder / words[1]).read_text()
        if words[0] != "trencher":
            raise RuntimeError(f"the guide shows '{words[0]}', which this test does not run")
        if not self.clock:
            raise RuntimeError(f"no time stands before: {line}")
        done = subprocess.run([self.program, *words[1:]], cwd=self.folder, stdout=subprocess.PIPE,
                              stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL, text=True, timeout=120,
                              env={"PATH": "/usr/bin:/bin", "HOME": str(self.folder), "LC_ALL": "C.UTF-8",
                                   "TRENCHER_BOOK": "book.db", "TZ": "Europe/London", "LD_PRELOAD": FAKETIME,
                                   "ASAN_OPTIONS": "verify_asan_link_order=0", "FAKETIME": f"@{self.clock}:00"})
        self.count += 1
        return HASH.sub("(hash)", done.stdout)

    def block(self, text):
        """A block of command lines, each with what it prints."""
        out = []
        lines = text.splitlines()
        while lines:
            line = lines.pop(0)
            if not line.startswith("$ "):
                continue
            command = [line]
            while command[-1].endswith("\\"):
                command.append(lines.pop(0))
            printed = self.run(" ".join(part.removesuffix("\\").strip() for part in command).removeprefix("$ "))
            out += command + printed.rstrip("\n").split("\n")
        return "".join(f"{line}\n" for line in out if line or out)

    def guide(self, text):
        """The text with what is really printed."""
        out = []
        for part in re.split(r"(```\n.*?^```\n|<!-- .*?-->)", text, flags=re.DOTALL | re.MULTILINE):
            if clock := CLOCK.fullmatch(part):
                self.clock = clock[1]
            elif file := FILE.fullmatch(part):
                (self.folder / file[1]).write_text(file[2])
            elif part.startswith("```\n$ "):
                part = "```\n" + self.block(part[4:-4]) + "```\n"
            out.append(part)
        return "".join(out)


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--trencher", required=True, type=pathlib.Path)
    options.add_argument("--update", action="store_true")
    options = options.parse_args()
    text = GUIDE.read_text()
    with tempfile.TemporaryDirectory() as folder:
        reader = Reader(options.trencher.resolve(), pathlib.Path(folder))
        real = reader.guide(text)
    if options.update:
        GUIDE.write_text(real)
    elif real != text:
        sys.stdout.writelines(difflib.unified_diff(text.splitlines(True), real.splitlines(True), "docs/guide.md",
                                                   "what the program prints", n=2))
        sys.exit("the guide does not show what the program prints")
    print(f"{reader.count} command lines of the guide print what it shows.")


main()
