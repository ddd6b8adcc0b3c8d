#!/usr/bin/python3
"""Takes entries of a full book away, one or a few at a time, rescues what is left, and asks every
command about it: none may fail, none may say 'none recorded' of a board that a lost entry may be
about, and what is written and exported must verify, here and by verify_book.py.

    rescued.py --trencher BIN [--every K] [--seed S]

K: every K-th entry alone (1: each), and as many random handfuls."""
import argparse
import json
import pathlib
import random
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))
import verify_book  # noqa: E402

EXPORT = HERE.parent / "book/old-exports/recall-9b136a9.jsonl"
ABOUT = "milk,egg,peanut,tree-nut,linseed,finish,glue,wood,other,contents,animal-material"
# What a value that is lost would leave behind if it were printed as it stands.
HOLLOW = re.compile(r"\b0 × 0|^, |, ,| as \.|\bfor \.|\(\)", re.M)
failures = []


def fail(what):
    failures.append(what)
    print("failed:", what, flush=True)


class Shop:
    def __init__(self, program, book, folder):
        self.program, self.book, self.folder = program, book, folder
        self.calls = 0
        self.tell = TELL

    def run(self, *words, expected=(0, 1, 2)):
        self.calls += 1
        out = subprocess.run([self.program, *words, "--book", str(self.book)], cwd=self.folder,
                             capture_output=True, text=True, timeout=120, stdin=subprocess.DEVNULL,
                             env={"LC_ALL": "C.UTF-8", "HOME": str(self.folder)})
        if out.returncode == 2 and self.tell:
            print(" ".join(words), "->", " ".join(out.stderr.split()))
        said = out.stdout
        if "-o" in words and words[-1].endswith(".pdf") and out.returncode == 0:
            said += subprocess.run(["pdftotext", str(self.folder / words[-1]), "-"], check=True,
                                   capture_output=True, text=True).stdout
        if HOLLOW.search(said):
            fail("%s: a lost thing stands as a value: %s" % (" ".join(words), HOLLOW.search(said)))
        if out.returncode not in expected:
            fail("%s: status %d: %s%s" % (" ".join(words), out.returncode, out.stdout[-300:],
                                          out.stderr[-300:]))
        return out

    def file(self, suffix):
        self.calls += 1
        return "out-%d.%s" % (self.calls, suffix)

    def json(self, *words, expected=(0, 1)):
        out = self.run(*words, "--json", expected=expected)
        try:
            return json.loads(out.stdout)
        except ValueError:
            return None


def take_out(book, numbers):
    with sqlite3.connect(book) as raw:
        triggers = raw.execute("SELECT name, sql FROM sqlite_master WHERE type='trigger'").fetchall()
        for name, _ in triggers:
            raw.execute("DROP TRIGGER " + name)
        raw.executemany("DELETE FROM entry WHERE number = ?", [(n,) for n in numbers])
        for _, sql in triggers:
            raw.execute(sql)
    raw.close()


def things(book):
    with sqlite3.connect(book) as raw:
        by_class = {}
        for name, kind in raw.execute("SELECT id, class FROM thing ORDER BY id"):
            by_class.setdefault(kind, []).append(name)
        pieces = [code for (code,) in raw.execute("SELECT code FROM piece ORDER BY code")]
    raw.close()
    return by_class, pieces


def entries_of(book, ids):
    with sqlite3.connect(book) as raw:
        out = {one: raw.execute("SELECT entry FROM thing WHERE id = ?", (one,)).fetchone()[0]
               for one in ids}
    raw.close()
    return out


def read_all(shop, by_class, pieces, label, numbers, begun):
    tins = [t for kind in ("finish", "glue", "other") for t in by_class.get(kind, [])]
    for words in (["due"], ["answers"], ["people"], ["complaint"], ["recall", "status"], ["rules"],
                  ["worker"], ["place"], ["product"], ["batch"], ["workshop"], ["species"],
                  ["calendar", "-o", shop.file("ics")], ["chart", "-o", shop.file("pdf")],
                  ["plan", "--ready-by", "2026-12-24"], ["stall-sheet", "-o", shop.file("pdf")]):
        shop.run(*words)
    for batch in by_class.get("batch", []):
        for words in (["when", batch, "--explain"], ["findings", batch],
                      ["findings", batch, "--market", "eu"], ["findings", batch, "--market", "us"],
                      ["offer", batch, "--market", "eu"],
                      ["record", batch, "-o", shop.file("pdf")], ["trace", batch]):
            shop.run(*words)
    for code in pieces[::3]:
        answers = shop.json("answer", code, "--about", ABOUT)
        for answer in answers or []:
            # What was lost before all that an answer rests on cannot bear on it; all that was lost
            # after the batch was begun may.
            if answer["result"] == "none recorded" and max(numbers) >= begun[code[:6]]:
                fail("%s: %s about %s: none recorded" % (label, code, answer["about"]))
        if answers is None:
            fail("%s: no answer about %s" % (label, code))
        shop.run("answer", code, "--about", "milk", "--language", "de", "-o", shop.file("pdf"))
    for code in pieces[:1] + pieces[-1:] + tins + by_class.get("wood", []) + by_class.get("product", []):
        traced = shop.json("trace", code)
        if traced is None or "lost" not in traced:
            fail("%s: the trace of %s does not say that something is lost" % (label, code))


def write_all(shop, by_class, pieces, last):
    by = ("--by", "1")
    batch = (by_class.get("batch") or ["26-001"])[-1]
    tin = (by_class.get("finish") or ["F1"])[0]
    shop.run("worker", "add", "Kim Example", "--may-sign-off", *by)
    shop.run("place", "add", "Attic", "--temp", "19C", "--rh", "50", *by)
    for step in (["sand", "--grit", "120"], ["coat", "--from", tin + "=20ml", "--temp", "20C", "--rh", "50"],
                 ["inspect", "--sound"], ["move", "--place", "attic"], ["rags-done"]):
        shop.run("log", step[0], batch, *step[1:], "--because", "tried", *by)
    shop.run("receive", "wood", "--species", "hard-maple", "--supplier", "S", "--lot", "L", *by)
    shop.run("receive", "finish", "--kind", "pure-tung-oil", "--name", "Oil", "--supplier", "S", "--lot", "9", *by)
    shop.run("sign-off", batch, "--because", "tried", *by)
    shop.run("card", batch, "-o", shop.file("pdf"), *by)
    for code in pieces[:2]:
        shop.run("give", code, "--to", "Jo Example", "--as", "gift", "--market", "uk", "--because", "tried", *by)
        shop.run("take-back", code, "--place", "attic", *by)
        shop.run("complaint", code, "--what", "a crack", "--severity", "flaw", *by)
    shop.run("scrap", pieces[-1], "--why", "split", *by) if pieces else None
    shop.run("withdraw", tin, "--why", "the supplier said so", *by)
    shop.run("recall", tin, "-o", "recall-1")
    shop.run("recall", "--practice", tin)
    shop.run("recall", "status")
    shop.run("due")
    for number in range(1, last + 1, 4):
        shop.run("strike", str(number), "--why", "tried", "--because", "tried", *by)
    shop.run("forget", "Jo Example", *by)


def try_without(program, whole, numbers, folder):
    label = "without " + ", ".join(map(str, numbers))
    hurt, made = folder / "hurt.db", folder / "new.db"
    shutil.copy(whole, hurt)
    take_out(hurt, numbers)
    before = hurt.read_bytes()
    shop = Shop(program, made, folder)
    verdict = subprocess.run([program, "verify", "--book", str(hurt)], capture_output=True, text=True)
    if verdict.returncode != 1 or ("from entry %d on not" % min(numbers) not in
                                   " ".join(verdict.stdout.split()) and min(numbers) > 1
                                   and min(numbers) < LAST):
        fail("%s: verify says %s%s" % (label, verdict.stdout, verdict.stderr))
    rescued = subprocess.run([program, "rescue", str(hurt), "-o", str(made)], capture_output=True, text=True)
    if rescued.returncode != 0:
        fail("%s: rescue: %s%s" % (label, rescued.stdout, rescued.stderr))
        return 0
    if hurt.read_bytes() != before:
        fail(label + ": the damaged file was written to")
    by_class, pieces = things(made)
    begun = entries_of(made, by_class.get("batch", []))
    read_all(shop, by_class, pieces, label, numbers, begun)
    write_all(shop, by_class, pieces, LAST)
    shop.run("verify", expected=(0,))
    if problems := verify_book.verify(str(made)).problems:
        fail("%s: verify_book.py: %s" % (label, problems))
    shop.run("export", "out.jsonl", "--replace", expected=(0,))
    shop.run("export", "--csv", "sheets-%d" % shop.calls, expected=(0,))
    again = Shop(program, folder / "again.db", folder)
    again.run("import", "out.jsonl", expected=(0,))
    again.run("export", "again.jsonl", "--replace", expected=(0,))
    if (folder / "out.jsonl").read_bytes() != (folder / "again.jsonl").read_bytes():
        fail(label + ": the export comes out another")
    if problems := verify_book.verify(str(folder / "out.jsonl")).problems:
        fail("%s: verify_book.py on the export: %s" % (label, problems))
    shop.run("verify", "--against", "out.jsonl", expected=(0,))
    return shop.calls


LAST = 0
TELL = False


def main():
    global LAST, TELL
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--trencher", required=True)
    options.add_argument("--every", type=int, default=1)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--tell", action="store_true", help="print what is refused")
    given = options.parse_args()
    TELL = given.tell
    program = str(pathlib.Path(given.trencher).resolve())
    chance = random.Random(given.seed)
    calls = tries = 0
    with tempfile.TemporaryDirectory() as top:
        whole = pathlib.Path(top) / "whole.db"
        subprocess.run([program, "import", str(EXPORT), "--book", str(whole)], check=True,
                       capture_output=True)
        LAST = sum(1 for line in EXPORT.read_text().splitlines() if line.startswith('{"number"'))
        sets = [[n] for n in range(1, LAST + 1, given.every)]
        sets += [sorted(chance.sample(range(1, LAST + 1), chance.randint(2, LAST // 2)))
                 for _ in range(len(sets))]
        for numbers in sets:
            folder = pathlib.Path(top) / "try"
            folder.mkdir()
            calls += try_without(program, whole, numbers, folder)
            tries += 1
            shutil.rmtree(folder)
    print("%d books rescued, %d commands asked of them, %d failures (seed %d)" %
          (tries, calls, len(failures), given.seed))
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
