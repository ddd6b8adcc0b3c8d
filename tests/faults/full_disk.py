#!/usr/bin/python3
"""Fails every operation on the disk in turn, in every command that writes.

  full_disk.py --trencher PROGRAM --disk LIBRARY [--every N] [--seed N]

Each operation that failing_disk.cpp sees (a file opened for writing, made, written, cut, synced,
named, removed) fails once or from then on: the disk is full (what needs room fails), fails (EIO),
is read-only (EROFS), or is gone (reading fails too). Then the command must have ended with status 3
and one sentence, the book be as before and whole once the disk is well again, every other file be
as before, whole or absent, and nothing be left that was not there; or the command must have done
all that it does on a good disk, where the fault was one that takes nothing away.
`--every N` takes every Nth fault only, beginning at the seed.
"""
import argparse
import collections
import pathlib
import re
import shutil
import sys
import time

import power_cut
import workshop

HOWS = [("full", False), ("io", True), ("io", False), ("read-only", False), ("gone", False)]
# Names that nobody asked for, beside those that somebody did.
DRAFT = re.compile(r"\.new-[0-9a-f]{8}(-journal)?$|\.[a-zA-Z0-9]{6}(/|$)|-journal$|^etilqs_")
MESSAGE = re.compile(r"trencher: [^\n]+(\n[^\n]+)*\n")


class Failed(Exception):
    pass


def check(program, recorded, done, stuck):
    """`stuck`: the disk takes no name away either, so that what was begun may stay."""
    folder = recorded.folder
    if done.returncode in (0, 1):
        recorded.check(program, reported=True, said_by_name=True)
        left = names(folder, recorded.names_after)
        if left and not stuck:
            raise Failed(f"status {done.returncode} and left behind: {left}")
        return "went through"
    if done.returncode != 3:
        raise Failed(f"status {done.returncode}: {done.stderr.decode()}")
    said = done.stderr.decode()
    if not MESSAGE.fullmatch(said) or not said.rstrip().endswith("."):
        raise Failed(f"not one clear sentence: {said!r}")
    recorded.check(program, reported=False, said_by_name=True)
    book = folder / "book.db"
    if workshop.entries(book) != recorded.before:
        raise Failed(f"status 3, and something was written: {said}")
    left = names(folder, recorded.names)
    if stuck:  # a paper that is whole may stay, too
        left = [name for name in left if not DRAFT.search(name) and name not in
                [str(path.relative_to(folder)) for path in recorded.names_after]]
    if left:
        raise Failed(f"left behind: {left} ({said})")
    return "refused"


def names(folder, known):
    return sorted(str(path.relative_to(folder)) for path in set(folder.rglob("*")) - known)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--trencher", required=True)
    parser.add_argument("--disk", required=True)
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--show", action="store_true", help="the sentences, and how often each came")
    wish = parser.parse_args()
    counts, sentences, failures = collections.Counter(), collections.Counter(), []
    began = time.monotonic()
    with workshop.scratch() as scratch:
        scratch = pathlib.Path(scratch)
        turn = wish.seed
        every = power_cut.recorded_cases(wish.trencher, wish.disk, scratch)
        for one in every:
            for at in range(1, one.count + 1):
                for how, once in HOWS:
                    turn += 1
                    if turn % wish.every:
                        continue
                    power_cut.put(one.start, one.folder)
                    stuck = one.kinds[at - 1] == "remove" or (how != "full" and not once)
                    settings = {"DISK_ONCE": "1"} if once else {}
                    done = workshop.run(wish.trencher, one.words, one.folder, LD_PRELOAD=wish.disk,
                                        DISK_ROOT=str(one.folder), DISK_AT=str(at), DISK_HOW=how,
                                        **settings)
                    try:
                        counts[check(wish.trencher, one, done, stuck)] += 1
                    except (Failed, power_cut.Failed) as failure:
                        failures.append(failure)
                        print(f"{one.case.name}: {one.kinds[at - 1]} {at}, {how}{' once' if once else ''}: {failure}")
                    if done.returncode == 3:
                        text = " ".join(done.stderr.decode().split())
                        sentences[re.sub(r"/dev/shm\S+|/tmp/\S+", "PATH", text)] += 1
                    shutil.rmtree(one.folder)
    if wish.show:
        for text, count in sentences.most_common():
            print(f"{count:6} {text}")
    print(f"{len(every)} commands that write; " +
          ", ".join(f"{count} {what}" for what, count in sorted(counts.items())) +
          f"; {len(sentences)} different sentences; {len(failures)} failures; "
          f"{time.monotonic() - began:.0f} s")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
