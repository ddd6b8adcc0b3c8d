#!/usr/bin/python3
"""Hostile text on every way in and every way out (issue 7, item 6).

    hostile_text_test.py --trencher BIN [--full] [--part typed|files|book|honest]

typed   every hostile string of hostile.py through every option and word of every writing command that
        `--help` lists: refused with one harmless sentence and status 2, the book's bytes untouched; or
        accepted, and then stored as it was typed and printed harmlessly.
files   the same in rule files, a logger's file, kept papers, an import, and in the names of files.
book    an export whose free texts are hostile, hashed and sealed anew, imported: every reading command, on
        the terminal and as JSON, and every paper, sheet and calendar, read back by other programs.
honest  names and notes of honest makers look right on every way out.
"""

import argparse
import json
import os
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
import icalendar  # noqa: E402
from hostile import COUNTS, DOUBTFUL, HONEST, REFUSED, Fault  # noqa: E402
from hostile_books import book  # noqa: E402
from hostile_files import files  # noqa: E402
from hostile_honest import honest  # noqa: E402
from hostile_typed import FULL, typed  # noqa: E402
from shop import Shop, boards, stock  # noqa: E402

CUSTOMERS = [("Ada Winterbourne", "ada@winterbourne.example"), ("Bo Tarn", "bo@tarn.example"),
             ("Cy Oakley", "cy@oakley.example")]


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--trencher", required=True, type=Path)
    parser.add_argument("--full", action="store_true", help="every string through every option, as in the long run")
    parser.add_argument("--part", choices=["typed", "files", "book", "honest"])
    options = parser.parse_args()
    program = options.trencher.resolve()
    FULL[0] = options.full
    with tempfile.TemporaryDirectory(prefix="trencher-hostile-") as folder:
        shop = Shop(program, folder)
        stock(shop)
        boards(shop, CUSTOMERS)
        shop.person = json.loads(shop.run("people", "--json").stdout)[0]["id"]
        shop.run("calendar", "-o", "d.ics")
        shop.events = len(icalendar.Calendar.from_ical((shop.folder / "d.ics").read_bytes()).walk("VEVENT"))
        os.unlink(shop.folder / "d.ics")
        try:
            for part in [options.part] if options.part else ["files", "book", "honest", "typed"]:
                {"typed": lambda: typed(shop), "files": lambda: files(shop), "book": lambda: book(shop, program),
                 "honest": lambda: honest(shop, program)}[part]()
        except Fault as fault:
            print("FAILED: %s" % fault)
            return 1
        finally:
            print("hostile strings: %d to be refused, %d doubtful, %d honest" % (len(REFUSED), len(DOUBTFUL), len(HONEST)))
            print(", ".join("%s %d" % (what, number) for what, number in COUNTS.items()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
