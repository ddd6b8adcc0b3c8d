#!/usr/bin/python3
"""A book, a backup and an export on a disk that knows neither links nor renaming without replacing,
as many a memory stick.

  no_links.py --trencher PROGRAM --disk LIBRARY
"""
import argparse
import pathlib
import sys
import tempfile

import workshop
from together import START


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--trencher", required=True)
    parser.add_argument("--disk", required=True)
    wish = parser.parse_args()
    failures = []
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)

        def run(*words, status=0):
            done = workshop.run(wish.trencher, words, folder, LD_PRELOAD=wish.disk,
                                DISK_ROOT=str(folder), DISK_HOW="no-links")
            if done.returncode != status:
                failures.append(f"{words}: {done.returncode} {done.stderr.decode()}")

        run(*START.split())
        run("backup", "backup.db")
        run("export", "book.jsonl")
        run("import", "book.jsonl", "--book", "again.db")
        run("export", "--csv", "sheets")
        for name in ("book.db", "backup.db", "again.db"):
            for problem in workshop.verify(wish.trencher, folder / name):
                failures.append(f"{name}: {problem}")
        before = (folder / "backup.db").read_bytes()
        run("backup", "backup.db", status=3)
        run("import", "book.jsonl", "--book", "backup.db", status=3)
        if (folder / "backup.db").read_bytes() != before:
            failures.append("a backup was replaced")
        left = sorted(path.name for path in folder.iterdir())
        if left != ["again.db", "backup.db", "book.db", "book.jsonl", "sheets"]:
            failures.append(f"left behind: {left}")
    for failure in failures:
        print(failure)
    print(f"4 files made; {len(failures)} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
