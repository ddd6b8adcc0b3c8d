#!/usr/bin/python3
"""A lock that is held too long: what is said, and that nothing happens.

  waiting.py --trencher PROGRAM
"""
import argparse
import pathlib
import re
import subprocess
import sys
import tempfile
import time

import workshop
from together import START

# A process of its own: whoever opens and closes the file anew in one process ends its locks.
HOLDER = """
import sqlite3, sys
book = sqlite3.connect(sys.argv[1], isolation_level=None)
book.execute(sys.argv[2])
if sys.argv[2] == 'BEGIN': book.execute('SELECT count(*) FROM entry').fetchone()
print('held', flush=True)
sys.stdin.readline()
"""


class Holder:
    def __init__(self, book, begin):
        self.process = subprocess.Popen([sys.executable, "-c", HOLDER, book, begin], text=True,
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE)

    def __enter__(self):
        self.process.stdout.readline()
        return self.process.pid

    def __exit__(self, *_):
        self.process.communicate("\n")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--trencher", required=True)
    program = parser.parse_args().trencher
    failures = []
    with tempfile.TemporaryDirectory() as folder:
        workshop.run(program, START.split(), folder)
        book = pathlib.Path(folder) / "book.db"

        def waits(words, holder, doing):
            before, began = book.read_bytes(), time.monotonic()
            done = workshop.run(program, words, folder)
            said, seconds = " ".join(done.stderr.decode().split()), time.monotonic() - began
            wanted = (rf"trencher: This command has waited 5 seconds for the book {book}, which "
                      rf"'[^']+' \(process {holder}\) is {doing} in; nothing was written\. Let that "
                      r"end, then do this again\.")
            if done.returncode != 3 or not re.fullmatch(wanted, said) or done.stdout:
                failures.append(f"{words}: {done.returncode} {said}")
            if not 4.5 < seconds < 30:
                failures.append(f"{words}: {seconds:.1f} s")
            if book.read_bytes() != before:
                failures.append(f"{words}: the book has changed")

        with Holder(book, "BEGIN IMMEDIATE") as holder:  # it writes: reading goes on, writing waits
            waits(["place", "add", "Shed"], holder, "writing")
            if workshop.run(program, ["due"], folder).returncode:
                failures.append("due does not read while another writes")
        with Holder(book, "BEGIN EXCLUSIVE") as holder:  # it is about to finish: all wait
            waits(["due"], holder, "writing")
        with Holder(book, "BEGIN") as holder:  # it reads on: writing cannot be finished
            waits(["place", "add", "Shed"], holder, "reading")
        if workshop.run(program, ["place", "add", "Shed"], folder).returncode:
            failures.append("place add does not write after that")
        failures += workshop.verify(program, book)
    for failure in failures:
        print(failure)
    print(f"3 locks held too long; {len(failures)} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
