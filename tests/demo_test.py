#!/usr/bin/python3
"""Plays docs/demo.sh with a built program and checks what comes out by programs that are not ours:
papers by qpdf, pdftotext and zbarimg, the book by verify_book.py, words by the list of claims that
are never made. A byte flipped in the book is named by `trencher verify`."""
import argparse
import json
import os
import pathlib
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile

from claims_test import Claims

HERE = pathlib.Path(__file__).resolve().parent
CLAIMS = Claims(HERE.parent / "schema/reference/never-said.csv")
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)
        print("failed:", what)


def run(*words, env=None, cwd=None):
    return subprocess.run(words, capture_output=True, text=True, env=env, cwd=cwd, timeout=300)


def check_cards(pdf, codes, work):
    for page in sorted(work.glob("*.png")):
        page.unlink()
    run("pdftoppm", "-r", "200", "-png", str(pdf), str(work / "page"))
    read = run("zbarimg", "-q", "--raw", *map(str, sorted(work.glob("page*.png"))))
    check(set(read.stdout.split()) == set(codes), f"{pdf.name}: QR codes {read.stdout.split()}")
    text = run("pdftotext", "-layout", str(pdf), "-").stdout
    for code in codes:
        check(f"Piece {code}" in text, f"{pdf.name}: {code} is printed beside its QR code")
    check("Local rules and a doctor’s word come first" in text, f"{pdf.name}: defers")


def tampered(program, book, work, name, change):
    """A copy of the book changed by `change` (on a raw connection) must not be called unaltered."""
    copy = work / f"tampered-{name}.db"
    shutil.copy(book, copy)
    with sqlite3.connect(copy) as raw:
        change(raw)
    raw.close()
    verdict = run(program, "verify", "--book", str(copy))
    check(verdict.returncode == 1, f"verify notices {name}: {verdict.stdout}{verdict.stderr}")
    return verdict.stdout


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--trencher", required=True)
    program = str(pathlib.Path(options.parse_args().trencher).resolve())
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        out = work / "demo"
        env = {"PATH": os.environ["PATH"], "HOME": folder, "LC_ALL": "C.UTF-8", "TRENCHER": program,
               "TRENCHER_DEMO": str(out)}
        for _ in range(2):  # the second starts afresh
            demo = run("sh", str(HERE.parent / "docs/demo.sh"), env=env)
            check(demo.returncode == 0, f"the demo ends with {demo.returncode}: {demo.stderr}")
        for needed in ("trencher due", "trencher when", "trencher findings", "trencher answer",
                       "trencher correct", "trencher strike", "trencher scrap",
                       "trencher take-back", "trencher mix", "trencher trace", "trencher plan",
                       "trencher chart", "trencher calendar", "trencher photograph",
                       "trencher stall-sheet enter", "trencher rules", "trencher offer",
                       "yours to decide", "The book is unaltered"):
            check(needed in demo.stdout, f"the demo shows '{needed}'")
        for pdf in out.glob("*.pdf"):
            check(str(pdf) in demo.stdout, f"the demo names {pdf.name}")
        codes = re.findall(r"\b\d\d-\d{3}-\d\d-\d\d\b", demo.stdout)
        batches = sorted({code[:6] for code in codes})
        check(len(batches) == 3, f"three batches: {batches}")
        papers = sorted(out.glob("*.pdf"))
        check(len(papers) == 12, f"twelve papers: {papers}")
        # Ready to be packed is before food may touch it, and the chart must not say otherwise.
        for packed, told in (([], True), (["--packed"], False)):
            chart = work / "chart.pdf"
            drawn = run(program, "chart", "--book", str(out / "book.db"), "-o", str(chart), "--draft",
                        "schedule=oil finish=F1 pieces=2 place=house", *packed)
            check(drawn.returncode == 0, f"a chart is drawn: {drawn.stderr}")
            words = " ".join(run("pdftotext", str(chart), "-").stdout.split())
            check(("food" in words) == told, f"the chart {packed} speaks of food contact: {words}")
        on_paper = ""
        for pdf in papers:
            checked = run("qpdf", "--check", str(pdf))
            check(checked.returncode == 0, f"qpdf accepts {pdf.name}: {checked.stdout}")
            on_paper += run("pdftotext", str(pdf), "-").stdout
        for batch in (batches[0], batches[-1]):
            trace = run(program, "trace", batch, "--json", "--book", str(out / "book.db")).stdout
            own = [node["id"] for node in json.loads(trace)["after"] if node["what"] != "scrapped"]
            check_cards(out / f"cards-{batch}.pdf", own, work)
        check((out / "papers").is_dir() and any(
            kept.read_bytes() == (out / "declaration.txt").read_bytes()
            for kept in (out / "papers").iterdir()), "a supplier's paper comes back byte for byte")
        pictures = run("pdfimages", "-list", str(out / f"record-{batches[0]}.pdf")).stdout
        check("jpeg" in pictures, f"the record shows the photograph: {pictures}")
        record = run("pdftotext", "-layout", str(out / f"record-{batches[0]}.pdf"), "-").stdout
        check("entered twice" in record and "read the mark on the bottle wrong" in record,
              "the record tells of the strike and the correction")
        check(not any(name in on_paper for name in ("Winterbourne", "bakehouse.example", "Garrow")),
              "customers are on no paper")
        for claim in CLAIMS.found_in(demo.stdout + on_paper):
            check(False, f"a claim is made: {claim}")

        book = out / "book.db"
        second = run("/usr/bin/python3", str(HERE / "verify_book.py"), str(book))
        check(second.returncode == 0, f"verify_book.py: {second.stdout}{second.stderr}")
        said = run(program, "verify", "--book", str(book), "--json").stdout
        last = re.search(r'"last_hash": "([0-9a-f]{64})"', said).group(1)
        check(last in second.stdout, "both programs give the same last hash")

        exported = work / "book.jsonl"
        check(run(program, "export", str(exported), "--book", str(book)).returncode == 0, "export")
        again = work / "again.db"
        check(run(program, "import", str(exported), "--book", str(again)).returncode == 0, "import")
        check(run(program, "export", str(work / "2.jsonl"), "--book", str(again)).returncode == 0, "export")
        check(exported.read_bytes() == (work / "2.jsonl").read_bytes(), "export and import round-trip")
        check(run("/usr/bin/python3", str(HERE / "verify_book.py"), str(exported)).returncode == 0,
              "verify_book.py accepts the export")

        body = tampered(program, book, work, "a byte of the journal", lambda raw: raw.executescript(
            "DROP TRIGGER entry_is_never_altered;"
            "UPDATE entry SET body = replace(body, 'ET-311', 'ET-312') WHERE body LIKE '%ET-311%';"))
        check("Entry 9" in body, f"the entry is named: {body}")
        vault = tampered(program, book, work, "a byte of the vault", lambda raw: raw.executescript(
            "DROP TRIGGER person_is_never_altered; UPDATE person SET name = name || 's' WHERE name LIKE 'Ada%';"))
        check("person" in vault, f"the vault is named: {vault}")
        state = tampered(program, book, work, "a byte of the state", lambda raw: raw.executescript(
            "UPDATE piece SET signed_off = 3 WHERE number = 4;"))
        check("'piece'" in state, f"the table is named: {state}")
    print(f"{'1 failed' if failures else 'the demo holds'}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
