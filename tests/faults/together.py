#!/usr/bin/python3
"""Eight processes write in one book while others read it.

  together.py --trencher PROGRAM [--writers N] [--entries N] [--backups N]

Each writer enters its notes one after the other, each by a program of its own. Meanwhile readers
export, verify, and list; every one must succeed, and every export be a beginning of the journal
that is there in the end. Backups made meanwhile must verify. In the end every note that was said to
be entered is there once, and the chain is whole.
"""
import argparse
import json
import pathlib
import subprocess
import sys
import tempfile
import threading
import time

import workshop

START = ("start --maker Yard --address Lane --contact none --market uk --zone Europe/London "
         "--units metric")


class Shop:
    def __init__(self, program, folder):
        self.program, self.folder = program, pathlib.Path(folder)
        self.failures, self.counts, self.over = [], {}, False
        self.exports, self.lock = [], threading.Lock()

    def run(self, *words):
        return workshop.run(self.program, words, self.folder)

    def failed(self, sentence):
        with self.lock:
            self.failures.append(sentence)

    def count(self, what):
        with self.lock:
            self.counts[what] = self.counts.get(what, 0) + 1

    def write(self, writer, entries):
        for index in range(entries):
            done = self.run("log", "note", "F1", f"writer {writer} note {index}", "--by", "1")
            if done.returncode:
                self.failed(f"writer {writer}: {done.stderr.decode()}")
            else:
                self.count("entries said to be written")

    def read(self, words):
        while not self.over:
            done = self.run(*words)
            if done.returncode:
                self.failed(f"{' '.join(words)}: {done.stderr.decode()}{done.stdout.decode()[-300:]}")
            self.count("readings")
            if words[0] == "export":
                self.look_at(done.stdout)
            time.sleep(0.2)

    def look_at(self, exported):
        lines = exported.decode().splitlines()
        trailer = json.loads(lines[-1])["trailer"]
        entries = [json.loads(line) for line in lines if line.startswith('{"number"')]
        if trailer["entries"] != len(entries) or trailer["last_hash"] != entries[-1]["hash"]:
            self.failed(f"an export is torn: {trailer} and {len(entries)} entries")
        self.exports.append([entry["hash"] for entry in entries])

    def back_up(self, number):
        for index in range(number):
            target = self.folder / f"backup-{index}.db"
            done = self.run("backup", str(target))
            if done.returncode:
                self.failed(f"backup: {done.stderr.decode()}")
            elif workshop.verify(self.program, target):
                self.failed(f"{target.name}: {workshop.verify(self.program, target)}")
            self.count("backups")
            time.sleep(0.5)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--trencher", required=True)
    parser.add_argument("--writers", type=int, default=8)
    parser.add_argument("--entries", type=int, default=500)
    parser.add_argument("--backups", type=int, default=6)
    wish = parser.parse_args()
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        shop = Shop(wish.trencher, folder)
        shop.run(*START.split())
        shop.run("receive", "finish", "--kind", "mineral-oil", "--name", "Oil", "--supplier", "Wold",
                 "--lot", "1")
        before = len(workshop.entries(shop.folder / "book.db"))
        readers = [threading.Thread(target=shop.read, args=[words])
                   for words in (["export", "-"], ["verify"], ["due"], ["trace", "F1"])]
        writers = [threading.Thread(target=shop.write, args=[writer, wish.entries])
                   for writer in range(wish.writers)]
        writers.append(threading.Thread(target=shop.back_up, args=[wish.backups]))
        for thread in readers + writers:
            thread.start()
        for thread in writers:
            thread.join()
        shop.over = True
        for thread in readers:
            thread.join()
        book = shop.folder / "book.db"
        there = workshop.entries(book)
        hashes = [digest for _, digest in there]
        if len(there) != before + wish.writers * wish.entries:
            shop.failed(f"{len(there) - before} entries are there")
        for line in workshop.verify(wish.trencher, book):
            shop.failed(line)
        for seen in shop.exports:
            if seen != hashes[:len(seen)]:
                shop.failed("an export is no beginning of the journal")
        bodies = [json.loads(line)["body"] for line in shop.run("export", "-").stdout.decode().splitlines()
                  if '"note"' in line]
        if len(set(bodies)) != wish.writers * wish.entries:
            shop.failed(f"{len(set(bodies))} different notes are there")
    for failure in shop.failures[:20]:
        print(failure)
    print(", ".join(f"{count} {what}" for what, count in sorted(shop.counts.items()))
          + f"; {len(shop.failures)} failures; {time.monotonic() - began:.0f} s")
    return 1 if shop.failures else 0


if __name__ == "__main__":
    sys.exit(main())
