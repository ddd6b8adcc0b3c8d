#!/usr/bin/python3
"""Cuts the power, and kills the program, in the middle of every command that writes.

  power_cut.py --trencher PROGRAM --disk LIBRARY [--cuts N] [--kills N] [--seed N] [--self-test]

A cut: a command is run once on a disk that records all it does (failing_disk.cpp); then, for a
moment and a seed, what would lie on the disk after a loss of power (disk.py) is put into a folder.
A kill: the command is run and killed, half of the times just before an operation on the disk, half
of the times at a random moment. After each, the book opens, `verify` finds it whole, its entries are
those before the command or those after it (after it, where the command had said so), and every
other file is as before, whole, or absent.
"""
import argparse
import collections
import pathlib
import random
import shutil
import signal
import subprocess
import sys
import time

import disk
import workshop


class Failed(Exception):
    pass


class Recorded:
    """A case run once: its operations, the entries before and after, the files after."""

    def __init__(self, program, library, case, folder):
        self.case, self.folder = case, folder
        self.words = case.put(folder)
        self.before = workshop.entries(folder / "book.db")
        self.names = set(folder.rglob("*"))
        self.start = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
        trace = folder.parent / (folder.name + ".trace")
        began = time.monotonic()
        done = workshop.run(program, self.words, folder, LD_PRELOAD=library, DISK_ROOT=str(folder),
                            DISK_TRACE=str(trace))
        self.seconds = time.monotonic() - began
        if done.returncode not in (0, 1):
            raise Failed(f"{case.name}: {done.stderr.decode()}")
        self.operations = disk.operations(trace)
        self.kinds = [fields[0].decode() for letter, fields in self.operations if letter == "k"]
        self.count = len(self.kinds)
        self.reports = sum(letter == "r" for letter, _ in self.operations)
        self.after = workshop.entries(folder / "book.db")
        self.end = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
        self.names_after = set(folder.rglob("*"))
        shutil.rmtree(folder)

    def writes(self):
        return any(letter in "wtlnum" for letter, _ in self.operations)

    def check(self, program, reported, said_by_name=False):
        """Fails where what lies in the folder now is neither before nor after."""
        book = self.folder / "book.db"
        if self.before and not book.exists():
            raise Failed("the book is gone")
        untouched = book.exists() and book.read_bytes() == self.start.get(book)
        if book.exists() and (not untouched or book.with_name("book.db-journal").exists()):
            problems = workshop.verify(program, book)
            if problems:
                raise Failed(f"the book is not whole: {problems}")
        now = workshop.entries(book)
        numbers = [number for number, _ in now]
        if said_by_name:  # another run: its entries are stamped otherwise
            fits = now[:len(self.before)] == self.before and len(now) in (len(self.before),
                                                                          len(self.after))
            done = len(now) == len(self.after)
        else:
            fits, done = now in (self.before, self.after), now == self.after
        if not fits:
            raise Failed(f"entries {numbers[-3:]} are neither those before nor those after")
        if reported and not done:
            raise Failed("the command had said that it was done, and its entry is gone")
        self.check_files(program, reported, said_by_name)

    def check_files(self, program, reported, said_by_name):
        for path, after in self.end.items():
            if path.name == "book.db":
                continue
            before = self.start.get(path)
            now = path.read_bytes() if path.exists() else None
            if now == before and not (reported and before != after):
                continue
            if path.suffix == ".db" and now is not None:
                if workshop.verify(program, path):
                    raise Failed(f"{path.name} is half a book")
            elif said_by_name and now is not None:
                self.looks_whole(path, now, after)
            elif now != after:
                raise Failed(f"{path.name} is half there" if now is not None else
                             f"{path.name} is gone")

    @staticmethod
    def looks_whole(path, now, after):
        """Of a file made in another run, with its own time and hashes in it."""
        if now[:4] != after[:4] or now[-4:] != after[-4:] or abs(len(now) - len(after)) > 200:
            raise Failed(f"{path.name} is half there")


def recorded_cases(program, library, scratch):
    """Every command that writes, run once."""
    every = [Recorded(program, library, case, scratch / f"c{index}")
             for index, case in enumerate(workshop.play(program, scratch))]
    return [one for one in every if one.writes()]


def put(files, folder):
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for path, content in files.items():
        pathlib.Path(path).parent.mkdir(parents=True, exist_ok=True)
        pathlib.Path(path).write_bytes(content)


def cut(program, recorded, generator, deaf_to=""):
    """One cut; whether the command had reported by then. `deaf_to`: syncs that the disk ignores,
    'folders' or 'files'."""
    put(recorded.start, recorded.folder)
    there = disk.Disk(recorded.folder)
    moment = generator.randint(0, len(recorded.operations))
    for letter, fields in recorded.operations[:moment]:
        if letter == "s" and there.kind(fields[0]) == deaf_to:
            continue
        there.do(letter, fields)
    reported = there.reports == recorded.reports
    put(there.after_cut(generator), recorded.folder)
    try:
        recorded.check(program, reported)
    except Failed as failure:
        letters = "".join(letter for letter, _ in recorded.operations)
        raise Failed(f"{recorded.case.name}, cut after {moment} of {letters}: {failure}") from None
    finally:
        shutil.rmtree(recorded.folder)
    return reported


def kill(program, library, recorded, generator, counts):
    put(recorded.start, recorded.folder)
    timed = generator.random() < 0.5
    settings = {} if timed else {"LD_PRELOAD": library, "DISK_ROOT": str(recorded.folder),
                                 "DISK_HOW": "kill",
                                 "DISK_AT": str(generator.randint(1, recorded.count))}
    running = subprocess.Popen([program, *recorded.words], cwd=recorded.folder,
                               stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                               stderr=subprocess.DEVNULL,
                               env=workshop.environment(recorded.folder, **settings))
    if timed:
        time.sleep(generator.uniform(0, 1.1 * recorded.seconds))
        running.send_signal(signal.SIGKILL)
    said = running.communicate(timeout=120)[0]
    ended = running.returncode != -signal.SIGKILL
    counts["ended before the kill" if ended else "killed"] += 1
    try:
        recorded.check(program, ended or (bool(said) and recorded.reports == 1), said_by_name=True)
    except Failed as failure:
        raise Failed(f"{recorded.case.name}, killed at {settings.get('DISK_AT', 'a moment')}: "
                     f"{failure}") from None
    finally:
        shutil.rmtree(recorded.folder)


def self_test(wish):
    """A disk that ignores a kind of sync must be noticed."""
    generator, missed = random.Random(wish.seed), []
    with workshop.scratch() as scratch:
        every = recorded_cases(wish.trencher, wish.disk, pathlib.Path(scratch))
        for deaf_to in ("folders", "files"):
            for index in range(1000):
                try:
                    cut(wish.trencher, every[index % len(every)], generator, deaf_to)
                except Failed as failure:
                    print(f"without syncs of {deaf_to}, cut {index + 1}: {failure}")
                    break
            else:
                missed.append(deaf_to)
    print(f"2 deaf disks; {len(missed)} not noticed")
    return 1 if missed else 0


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--trencher", required=True)
    parser.add_argument("--disk", required=True)
    parser.add_argument("--cuts", type=int, default=200)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--all", action="store_true", help="go on after a failure")
    parser.add_argument("--self-test", action="store_true")
    wish = parser.parse_args()
    if wish.self_test:
        return self_test(wish)
    generator, counts, failures = random.Random(wish.seed), collections.Counter(), []
    began = time.monotonic()
    with workshop.scratch() as scratch:
        scratch = pathlib.Path(scratch)
        every = recorded_cases(wish.trencher, wish.disk, scratch)
        operations = sum(one.count for one in every)
        jobs = [("cut", every[i % len(every)]) for i in range(wish.cuts)]
        jobs += [("kill", every[i % len(every)]) for i in range(wish.kills)]
        for what, one in jobs:
            try:
                if what == "cut":
                    counts["cut after the report" if cut(wish.trencher, one, generator)
                           else "cut before it"] += 1
                else:
                    kill(wish.trencher, wish.disk, one, generator, counts)
            except Failed as failure:
                failures.append(str(failure))
                print(failure)
                if not wish.all:
                    break
    print(f"{len(every)} commands that write, {operations} operations on the disk; "
          + ", ".join(f"{count} {what}" for what, count in sorted(counts.items()))
          + f"; {len(failures)} failures; {time.monotonic() - began:.0f} s")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
