#!/usr/bin/python3
"""Imports a logger's file that does not fit into the memory the program is given, and checks what
the book then holds by its export; a fault in a late line, or a kill in the midst, leaves the book
as it was; the bar on a terminal is drawn over in place and wiped.

  huge_readings_test.py --trencher PROGRAM [--megabytes N]"""
import argparse
import datetime
import json
import os
import pathlib
import pty
import re
import resource
import signal
import subprocess
import sys
import tempfile
import time

MEMORY = 48_000_000  # bytes of data; held whole, the file's cells and samples take many times that
BAR = re.compile(r"(reading \S+  \[)(#*)(\.*)(\]  )( {0,2}\d+) %")
START = datetime.datetime(2025, 1, 1)
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)
        print("failed:", what)


def rows(count):
    """Moment (seconds, UTC), thousandths of a degree, tenths of a per cent; every 20 seconds."""
    start = int(START.replace(tzinfo=datetime.timezone.utc).timestamp())
    for i in range(count):
        humidity = None if i % 50 == 7 else 300 + i * 31 % 500
        yield start + 20 * i, 15000 + i * 7919 % 9000 // 10 * 10, humidity


def write_file(path, megabytes, fault_in=None):
    """About so many megabytes, day first, which only its later lines tell. Returns the count."""
    count = megabytes * 1_000_000 // 33
    with open(path, "w", encoding="utf-8") as out:
        out.write("Time,Temperature (°C),Humidity %\n")
        for number, (at, temp, rh) in enumerate(rows(count), 2):
            moment = datetime.datetime.fromtimestamp(at, datetime.timezone.utc)
            shown = "" if rh is None else f"{rh / 10:.1f}"
            degrees = "warm" if number == fault_in else f"{temp / 1000:.2f}"
            out.write(f"{moment:%d/%m/%Y %H:%M:%S}Z,{degrees},{shown}\n")
    return count


class Shop:
    """A folder with a book, and one for temporary files."""

    def __init__(self, program, folder):
        self.program, self.folder = program, pathlib.Path(folder)
        self.temporary = self.folder / "temporary"
        self.temporary.mkdir()
        self.environment = {"PATH": "/usr/bin:/bin", "HOME": folder, "LC_ALL": "C.UTF-8",
                            "TRENCHER_BOOK": "book.db", "TMPDIR": str(self.temporary)}
        self.run("start", "--maker", "Example Boards", "--address", "1 Example Lane", "--contact",
                 "maker@example.org", "--market", "uk", "--zone", "Europe/London", "--units",
                 "metric")

    def run(self, *words, memory=None):
        """Status, output, error text."""
        # The shadow memory of a build with sanitizers is no sign of what the program takes.
        sanitized = b"__asan_init" in self.program.read_bytes()
        limit = None if memory is None or sanitized else (
            lambda: resource.setrlimit(resource.RLIMIT_DATA, (memory, memory)))
        done = subprocess.run([self.program, *words], cwd=self.folder, env=self.environment,
                              stdin=subprocess.DEVNULL, capture_output=True, text=True,
                              preexec_fn=limit, timeout=600)
        return done.returncode, done.stdout, done.stderr

    def on_terminal(self, *words, kill_at=101):
        """Status, and what a terminal was sent as standard error; killed at so many per cent."""
        ours, theirs = pty.openpty()
        process = subprocess.Popen([self.program, *words], cwd=self.folder, env=self.environment,
                                   stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                                   stderr=theirs)
        os.close(theirs)
        sent = b""
        while True:
            try:
                part = os.read(ours, 4096)
            except OSError:  # nobody writes to it any more
                break
            sent += part
            drawn = BAR.findall(sent.decode("utf-8", "ignore"))
            if drawn and int(drawn[-1][4]) >= kill_at:
                process.kill()
                break
        os.close(ours)
        return process.wait(), sent.decode()

    def exported(self):
        self.run("export", "export.txt")
        path = self.folder / "export.txt"
        text = path.read_text(encoding="utf-8")
        path.unlink()
        return text

    def left_behind(self):
        return sorted(path.name for path in [*self.folder.glob("book*"), *self.temporary.iterdir()]
                      if path.name != "book.db")


def screen(sent):
    """The lines that a terminal shows after this was sent: CR goes back, LF goes down."""
    lines, column = [""], 0
    for part in re.split(r"([\r\n])", sent):
        if part == "\n":
            lines.append("")
        elif part != "\r":
            lines[-1] = lines[-1][:column].ljust(column) + part + lines[-1][column + len(part):]
        column = 0 if part in ("\r", "\n") else column + len(part)
    return [line.rstrip() for line in lines]


def check_bar(sent, seconds, name):
    drawn = BAR.findall(sent)
    parts = [int(number) for *_, number in drawn]
    check(len(parts) >= 5, f"{name}: the bar is drawn: {len(parts)} times")
    check(len(parts) <= seconds * 10 + 1, f"{name}: {len(parts)} times in {seconds:.1f} s")
    check(parts == sorted(parts), f"{name}: it only grows: {parts}")
    for start, full, rest, _, number in drawn:
        length = len(full) + len(rest)
        check(length == 40 and abs(len(full) / length - int(number) / 100) < 0.04,
              f"{name}: {number} % is {len(full)} of {length}")
    for line in re.split("[\r\n]", sent):
        check(len(line) < 80, f"{name}: a line of {len(line)} columns")


def main():
    options = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    options.add_argument("--trencher", type=lambda path: pathlib.Path(path).resolve(),
                         required=True)
    options.add_argument("--megabytes", type=int, default=20)
    given = options.parse_args()
    try:
        for end in pty.openpty():
            os.close(end)
    except OSError as fault:
        print(f"skipped: this system gives no pseudo-terminal ({fault})")
        return 77
    with tempfile.TemporaryDirectory(prefix="trencher-huge-") as folder:
        shop = Shop(given.trencher, folder)
        count = write_file(shop.folder / "log.csv", given.megabytes)
        write_file(shop.folder / "faulty.csv", given.megabytes, fault_in=count)
        before = shop.exported()

        # A fault in the last line but one, on a terminal.
        begun = time.monotonic()
        status, sent = shop.on_terminal("readings", "faulty.csv")
        check_bar(sent, time.monotonic() - begun, "faulty.csv")
        check(status == 2, f"a fault: status {status}")
        said = " ".join(screen(sent)).strip()
        check(said == f"trencher: faulty.csv, line {count}, column 'Temperature (°C)': 'warm' is no "
              "number such as 20.5.", f"the bar is wiped before the sentence: {said}")
        check(shop.exported() == before, "a fault in a late line leaves the book as it was")

        # Killed while it reads, and while it writes.
        for percent in (30, 90):
            status, _ = shop.on_terminal("readings", "log.csv", kill_at=percent)
            check(status == -signal.SIGKILL, f"killed at {percent} %: status {status}")
            check(shop.exported() == before, f"killed at {percent} %, the book is as it was")
            check(not shop.left_behind(), f"killed at {percent} %, left: {shop.left_behind()}")

        # In little memory, and not on a terminal.
        status, out, err = shop.run("readings", "log.csv", "--json", memory=MEMORY)
        check(status == 0 and not err, f"imported in {MEMORY} bytes: status {status}: {err}")
        if status == 0:
            result = json.loads(out)
            check(result["samples"] == count, f"{result['samples']} samples of {count}")
            check(len(result["entries"]) == -(-count // 4096), "entries of at most 4096")
        journal = [json.loads(line) for line in shop.exported().splitlines()]
        bodies = [json.loads(entry["body"]) for entry in journal if entry.get("kind") == "readings"]
        check({body["file_name"] for body in bodies} == {"log.csv"}, "the file's name is kept")
        check(all(len(body["samples"]) <= 4096 for body in bodies), "at most 4096 in an entry")
        held = (tuple(sample) for body in bodies for sample in body["samples"])
        wanted = ((at, temp) if rh is None else (at, temp, rh) for at, temp, rh in rows(count))
        check(all(a == b for a, b in zip(held, wanted)) and not next(held, None)
              and not next(wanted, None), "the book holds the file's samples and no others")

        # Once more, on a terminal: nothing new, and the bar is gone.
        after = shop.exported()
        begun = time.monotonic()
        status, sent = shop.on_terminal("readings", "log.csv")
        check_bar(sent, time.monotonic() - begun, "log.csv")
        check(status == 0 and screen(sent) == [""], f"the bar is wiped: {screen(sent)}")
        check(shop.exported() == after, "the file once more adds nothing")
        check(not shop.left_behind(), f"left behind: {shop.left_behind()}")
    print(f"huge readings: {len(failures)} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
