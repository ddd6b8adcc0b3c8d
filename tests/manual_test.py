#!/usr/bin/python3
"""The manual: every example of the help runs in a prepared book, docs/reference.md is what the program
declares, the pages are correct for groff, and every command has one."""
import argparse
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

import json_commands
from run_texts import FAKETIME

ROOT = pathlib.Path(__file__).resolve().parent.parent
CLOCK = "@2026-12-02 12:00:00"

# An invented workshop in which every example makes sense.
PREPARED = r"""
start --maker 'Example Boards' --address '1 Example Lane' --contact a@example.org --country GB --market uk \
 --zone Europe/London --units metric --at '2026-01-02 09:00'
place add Garage --temp 18C --rh 55 --at '2026-01-02 09:00'
place add House --temp 20C --rh 50 --at '2026-01-02 09:00'
workshop hours mon-sun 8:00-18:00
receive wood --species hard-maple --supplier 'Eastwold Timber' --lot 1 --moisture 8 --treated no --at '2026-01-03 09:00'
receive wood --species black-walnut --supplier 'Eastwold Timber' --lot 2 --moisture 8 --treated no --at '2026-01-03 09:00'
receive glue --kind pva-d3 --name 'Shop Bond' --supplier 'Wold Finishes' --lot B1 --full-cure 24h --clamp 1h \
 --amount 1l --at '2026-01-03 09:00'
receive finish --kind mineral-oil --name 'Board Oil' --supplier 'Wold Finishes' --lot M22 --amount 2l \
 --recoat-after 12h --food-contact-after 2d --handle-after 12h --pack-after 1d --coats 1 --at '2026-01-03 09:00'
receive finish --kind mineral-oil-beeswax --name 'Board Butter' --supplier 'Wold Finishes' --lot BB7 --amount 1l \
 --at '2026-01-03 09:00'
receive other --kind rubber-feet --name Feet --supplier 'Fold Fittings' --lot R2 --at '2026-01-03 09:00'
product add finish --kind pure-tung-oil --name 'Plain Tung' --supplier 'Wold Finishes' --food-contact-after 30d
batch --wood W1 --glue G1 --finish F1 --schedule oil --pieces 4 --size 400x250x22mm --use cutting-board \
 --place garage --at '2026-01-04 09:00'
log glue-up 26-001 --from G1=110ml --temp 18C --rh 55 --at '2026-01-04 10:00'
log sand 26-001 --grit 80,120,180,220 --at '2026-01-06 10:00'
log coat 26-001 --from F1=60ml --temp 18C --rh 55 --at '2026-01-07 10:00'
log inspect 26-001 --sound --what 'no smell' --at '2026-01-10 10:00'
statement F1 --about food-contact --market uk --reference 'sheet 1' --at '2026-01-10 11:00'
sign-off 26-001 --pieces 1-3 --at '2026-01-11 10:00'
give 26-001 --pieces 1 --to 'Ada Winterbourne' --as gift --market uk --at '2026-01-12 10:00'
photograph 26-001 board.jpg --at '2026-01-12 11:00'
"""
# Examples that hold in a book in which more has happened.
STAGES = {"log glue-up": "log glue-up", "log ": "log coat", "sign-off": "sign-off"}  # where the preparing ends for them
FIRST = {
    "log rags-done": "receive finish --kind pure-tung-oil --name T --supplier S --lot 1\nlog coat 26-001 --from F3=9ml",
    "plan": "workshop market-days 2026-12-19",
    "import book.jsonl": "export book.jsonl",
    "verify --against": "backup book-march.db",
    "complaint": "complaint 26-001-01-50 --what 'a splinter' --severity flaw",
}
COMPLAINT = "complaint 26-001-01-50 --what 'a splinter' --severity flaw --json"
SKIPPED = {"tour": "plays the whole demo; tests/demo_test.py does"}

failures = []


def check(holds, told):
    if not holds:
        failures.append(told)
        print("FAILED:", told)


class Shop:
    def __init__(self, program, folder):
        self.program, self.folder = program, folder
        shutil.copy(ROOT / "docs/demo-board.jpg", folder / "board.jpg")
        (folder / "notice.pdf").write_text("invented")
        (folder / "logger.csv").write_text("time,temperature (°C),humidity (%)\n2026-02-01T10:00:00Z,11.5,60\n")
        (folder / "market-rules.toml").write_text(json_commands.OWN_RULES)

    def run(self, line):
        words = shlex.split(line)
        return subprocess.run([self.program, *words], cwd=self.folder, capture_output=True, text=True,
                              env={"PATH": "/usr/bin:/bin", "HOME": str(self.folder), "TZ": "UTC",
                                   "TRENCHER_BOOK": "book.db", "LC_ALL": "C.UTF-8", "LD_PRELOAD": FAKETIME,
                                   "ASAN_OPTIONS": "verify_asan_link_order=0", "FAKETIME": CLOCK})

    def prepare(self, until=None):
        for line in PREPARED.strip().replace("\\\n", "").splitlines():
            if until and line.startswith(until):
                return
            done = self.run(line)
            check(done.returncode in (0, 1), f"prepared: {line}: {done.stderr}")


def run_examples(program, pages):
    examples = subprocess.run([pages, "--examples"], capture_output=True, text=True, check=True).stdout
    with tempfile.TemporaryDirectory() as prepared:
        shop = Shop(program, pathlib.Path(prepared))
        shop.prepare()
        count = 0
        for example in examples.splitlines():
            if example in SKIPPED:
                continue
            with tempfile.TemporaryDirectory() as folder:
                copy = pathlib.Path(folder)
                shutil.copytree(prepared, copy, dirs_exist_ok=True)
                one = Shop(program, copy)
                stage = next((until for begins, until in STAGES.items() if example.startswith(begins)), None)
                if stage:
                    (copy / "book.db").unlink()
                    one.prepare(stage)
                if example == "start" or example.startswith("start "):
                    (copy / "book.db").unlink()
                for begins, lines in FIRST.items():
                    for line in lines.splitlines() if example.startswith(begins) else ():
                        done = one.run(line)
                        check(done.returncode in (0, 1), f"before '{example}': {line}: {done.stderr}")
                if example.startswith("dealt"):
                    number = re.search(r'"entry": (\d+)', one.run(COMPLAINT).stdout)[1]
                    example = example.replace("12", number)
                elif example.startswith(("correct", "strike")):
                    example = re.sub(r"\b12\b", "15", example, count=1)
                done = one.run(example)
                if example == "start":
                    check(done.returncode == 2 and "--maker is missing" in done.stderr,
                          f"start without a terminal: {done.stderr}")
                else:
                    check(done.returncode in (0, 1), f"the example '{example}' is refused: {done.stderr}")
                count += 1
    return count


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--trencher", required=True, type=pathlib.Path)
    options.add_argument("--pages", required=True, type=pathlib.Path)
    options = options.parse_args()
    program, pages = options.trencher.resolve(), options.pages.resolve()
    count = run_examples(program, pages)
    reference = subprocess.run([pages, "--reference"], capture_output=True, text=True, check=True).stdout
    check(reference == (ROOT / "docs/reference.md").read_text(),
          "docs/reference.md is not what the program declares: trencher_pages --reference > docs/reference.md")
    commands = re.findall(r"^  ([a-z-]+) +\S", subprocess.run([program, "--help"], capture_output=True,
                                                               text=True, check=True).stdout, re.MULTILINE)
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run([pages, folder, "0.0.0"], check=True)
        made = sorted(path.name for path in pathlib.Path(folder).iterdir())
        check(made == sorted(["trencher.1"] + [f"trencher-{name}.1" for name in commands]),
              f"pages for other commands than there are: {made}")
        for page in pathlib.Path(folder).iterdir():
            said = subprocess.run(["groff", "-man", "-Tutf8", "-Kutf8", "-ww", "-rLL=78n", page],
                                  capture_output=True, text=True)
            check(said.returncode == 0 and not said.stderr, f"groff on {page.name}: {said.stderr}")
            plain = re.sub(r"\x1b\[[0-9;]*m|.\x08", "", said.stdout)
            check("SYNOPSIS" in plain and "NOTES" in plain, f"{page.name} lacks a part")
            if page.name != "trencher.1":
                check("EXAMPLES" in plain, f"{page.name} shows no example")
    if failures:
        sys.exit(f"{len(failures)} failures")
    print(f"{count} examples run, {len(made)} pages, the reference is the program's.")


main()
