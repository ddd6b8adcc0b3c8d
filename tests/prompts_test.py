#!/usr/bin/env python3
"""Questions on a terminal: answered by number and by name, '?' explains, what will not do is asked
again, Ctrl-C and the end of input leave the book as it is. Through a pseudo-terminal."""
import argparse
import os
import pathlib
import pty
import re
import select
import signal
import subprocess
import sys
import tempfile
import time

failures = []


def check(holds, told):
    if not holds:
        failures.append(told)
        print("FAILED:", told)


class Session:
    """One run of the program with a terminal on every side."""

    def __init__(self, program, folder, *words, zone="Europe/London"):
        self.ours, theirs = pty.openpty()
        environment = {"PATH": "/usr/bin:/bin", "HOME": str(folder), "LC_ALL": "C.UTF-8",
                       "TRENCHER_BOOK": "book.db", "TZ": zone}
        self.process = subprocess.Popen([program, *words], cwd=folder, env=environment,
                                        stdin=theirs, stdout=theirs, stderr=theirs,
                                        start_new_session=True, preexec_fn=own_terminal)
        os.close(theirs)
        self.all = self.unread = ""

    def read(self, seconds):
        """What comes next; nothing at the end."""
        if not select.select([self.ours], [], [], seconds)[0]:
            return ""
        try:
            part = os.read(self.ours, 65536).decode("utf-8", "replace").replace("\r", "")
        except OSError:  # nobody writes to it any more
            return ""
        self.all += part
        self.unread += part
        return part

    def expect(self, pattern):
        """All up to where the pattern was first seen."""
        until = time.monotonic() + 10
        while not (found := re.search(pattern, self.unread)):
            if not self.read(1) and (self.process.poll() is not None or time.monotonic() > until):
                check(False, f"no '{pattern}' in: {self.unread!r}")
                return ""
        before, self.unread = self.unread[:found.end()], self.unread[found.end():]
        return before

    def answer(self, pattern, text):
        before = self.expect(pattern)
        os.write(self.ours, (text + "\n").encode())
        return before

    def key(self, byte):
        os.write(self.ours, byte)

    def end(self):
        """Status, and what was printed since the last question."""
        while self.read(5):
            pass
        try:
            status = self.process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            check(False, f"still waits for something: {self.unread!r}")
            self.process.kill()
            status = self.process.wait()
        os.close(self.ours)
        return status, self.unread


def own_terminal():
    import fcntl
    import termios
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


class Shop:
    def __init__(self, program, folder):
        self.program, self.folder = program, folder
        self.book = folder / "book.db"

    def ask(self, *words, **more):
        return Session(self.program, self.folder, *words, **more)

    def run(self, *words):
        done = subprocess.run([self.program, *words], cwd=self.folder, capture_output=True, text=True,
                              env={"PATH": "/usr/bin:/bin", "TRENCHER_BOOK": "book.db"})
        check(done.returncode == 0, f"{words}: {done.stderr}")
        return done.stdout


def begins(shop):
    talk = shop.ask("start")
    head = talk.answer("Your name or the workshop's: ", "?")
    check("? explains a question" in head, f"no word on how to answer: {head!r}")
    told = talk.answer("Your name or the workshop's: ", "Example Boards")
    check("as it stands on cards" in told and "Ctrl-C" in told, f"? explains nothing: {told!r}")
    talk.answer("Postal address: ", "1 Example Lane")
    talk.answer("Mail, phone or site for customers: ", "maker@example.org")
    talk.answer(r"Time zone, as Europe/London \[Europe/London\]: ", "Europe/Lodon")
    told = talk.answer(r"Time zone, as Europe/London \[Europe/London\]: ", "")
    check("Did you mean 'Europe/London'" in told, f"a wrong zone passes: {told!r}")
    talk.answer(r"Country of the workshop, two letters \[GB\]: ", "")
    told = talk.answer(r"blanks between \[uk\]: ", "uk, 3")
    check("  3  eu " in told and "the European Union" in told, f"markets are not shown: {told!r}")
    told = talk.answer(r"Number or name \[metric\]: ", "9")
    told = talk.answer(r"Number or name \[metric\]: ", "?")
    check("'9' is not known" in told, f"no ninth: {told!r}")
    told = talk.answer(r"Number or name \[metric\]: ", "1")
    check("An empty line stands for metric." in told, f"the usual is not explained: {told!r}")
    status, said = talk.end()
    check(status == 0 and "A new book for Example Boards" in said, f"start: {status} {said!r}")
    settings = shop.run("workshop")
    check(re.search(r"Markets +uk, eu\n", settings), f"markets by name and number: {settings}")
    check(re.search(r"Country +GB\n", settings) and "Europe/London" in settings, f"{settings}")


def other_country(shop, zone, country, market, units):
    talk = shop.ask("start", "--maker", "A", "--address", "B", "--contact", "c@example.org", zone=zone)
    talk.answer(r"Time zone, as Europe/London \[" + zone + r"\]: ", "")
    talk.answer(r"Country of the workshop, two letters \[" + country + r"\]: ", "")
    talk.answer(r"blanks between \[" + market + r"\]: ", "")
    talk.answer(r"Number or name \[" + units + r"\]: ", "")
    check(talk.end()[0] == 0, f"start in {zone}: {talk.all!r}")


def stocks(shop):
    talk = shop.ask("receive")
    talk.answer("Number or name: ", "1")  # wood
    told = talk.answer("Number or name: ", "hard mapel")
    check("hard-maple" in told, f"species are not shown: {told!r}")
    told = talk.answer("Number or name: ", "BLACK walnut")
    check("Did you mean 'hard-maple'" in told, f"wrong species: {told!r}")
    talk.answer("Whom it came from: ", "Example Timber")
    talk.answer("The supplier's lot or invoice: ", "L1")
    status, said = talk.end()
    check(status == 0 and "W1: Black walnut" in said, f"receive wood: {status} {said!r}")
    shop.run("receive", "wood", "--species", "hard-maple", "--supplier", "Example Timber", "--lot", "L2")
    shop.run("receive", "finish", "--kind", "mineral-oil", "--name", "Oil", "--supplier", "S", "--lot", "2")
    shop.run("receive", "glue", "--kind", "pva-d3", "--name", "Glue", "--supplier", "S", "--lot", "3")


def batches(shop):
    talk = shop.ask("batch", "--glue", "G1")
    told = talk.answer("blanks between: ", "2 W1")
    check(re.search(r"1  W1  Black walnut, from Example Timber, lot L1", told), f"lots: {told!r}")
    told = talk.answer("Number or name: ", "?")
    schedule = re.search(r"(\d+)  oil  ", told)
    check(schedule, f"schedules: {told!r}")
    talk.answer("Number or name: ", schedule[1] if schedule else "1")
    talk.answer("blanks between: ", "oil")
    talk.answer("blanks between: ", "F1")
    talk.answer("How many boards: ", "six")
    told = talk.answer("How many boards: ", "2")
    check("'six'" in told, f"a number of boards: {told!r}")
    talk.answer("Size of one board, as 400x250x22mm: ", "400x250")
    talk.answer("Size of one board, as 400x250x22mm: ", "400x250x22mm")
    talk.answer("Number or name: ", "cutting-board")
    status, said = talk.end()
    check(status in (0, 1) and "26-" in said or "001" in said, f"batch: {status} {said!r}")
    body = shop.run("batch", "--json")
    check('"W2"' in body and body.index('"W2"') < body.index('"W1"'), f"order of lots: {body}")


def left_off(shop):
    before = shop.book.read_bytes()
    talk = shop.ask("sign-off")
    told = talk.expect("Number or name: ")
    check("2 boards, cutting board, " in told, f"a batch without words: {told!r}")
    talk.key(b"\x03")
    status, _ = talk.end()
    check(status == -signal.SIGINT, f"Ctrl-C: {status}")
    check(shop.book.read_bytes() == before, "Ctrl-C changed the book")
    check(not list(shop.folder.glob("book.db-*")), "Ctrl-C left a file beside the book")
    talk = shop.ask("receive", "glue")
    talk.answer("Number or name: ", "pva-d3")
    talk.expect("Name on the label: ")
    talk.key(b"\x04")
    status, said = talk.end()
    check(status == 2 and "--name is missing" in said, f"end of input: {status} {said!r}")
    check(shop.book.read_bytes() == before, "the end of input changed the book")
    # Entries are named by their own numbers, never by their place in the list.
    talk = shop.ask("strike", "--why", "x")
    told = talk.expect("Number: ")
    check(re.search(r"\n  8 +batch begun", told) and "  1  8" not in told, f"entries: {told!r}")
    talk.key(b"\x03")
    talk.end()
    check(shop.book.read_bytes() == before, "asking for an entry changed the book")


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--trencher", required=True, type=pathlib.Path)
    program = options.parse_args().trencher.resolve()
    with tempfile.TemporaryDirectory() as folder:
        shop = Shop(program, pathlib.Path(folder))
        begins(shop)
        stocks(shop)
        batches(shop)
        left_off(shop)
    for place in (("America/Denver", "US", "us", "us"), ("Europe/Paris", "FR", "eu", "metric"),
                  ("Australia/Sydney", "AU", "anz", "metric")):
        with tempfile.TemporaryDirectory() as folder:
            other_country(Shop(program, pathlib.Path(folder)), *place)
    if failures:
        sys.exit(f"{len(failures)} failures")
    print("Prompts answered, explained, refused and left off as they should.")


main()
