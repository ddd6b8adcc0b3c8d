#!/usr/bin/python3
"""The fourteen of Annex II of Regulation (EU) 1169/2011 and the nine of US law (FALCPA with the FASTER
Act), each by a made board whose finish is said to contain it: asked about all of them, the board
contains that one (and the family that it is of) and is 'not known' for every other, since nothing says
that they are absent; never 'none recorded'."""
import argparse
import json
import pathlib
import subprocess
import sys
import tempfile

EU_14 = ["gluten-cereals", "crustacea", "egg", "fish", "peanut", "soy", "milk", "tree-nut", "celery",
         "mustard", "sesame", "sulphites", "lupin", "molluscs"]
US_9 = ["milk", "egg", "fish", "crustacea", "tree-nut", "wheat", "peanut", "soy", "sesame"]
FAMILY = {"wheat": {"gluten-cereals"}}


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--trencher", required=True)
    program = str(pathlib.Path(options.parse_args().trencher).resolve())
    asked = sorted(set(EU_14 + US_9))
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        book = str(pathlib.Path(folder) / "book.db")

        def run(*words):
            done = subprocess.run([program, *words, "--book", book, "--json"], capture_output=True,
                                  text=True, timeout=60)
            if done.returncode > 1:
                raise RuntimeError(f"{words}: {done.stderr}")
            return json.loads(done.stdout)

        run("start", "--maker", "Example", "--address", "1 Lane", "--contact", "x@example.org",
            "--market", "eu", "--market", "us", "--zone", "Europe/London", "--units", "metric")
        run("receive", "wood", "--species", "hard-maple", "--supplier", "Yard", "--lot", "1",
            "--treated", "no")
        for number, thing in enumerate(asked, 1):
            tin = f"F{number}"
            run("receive", "finish", "--kind", "hardwax-oil", "--name", "Oil", "--supplier", "Oils",
                "--lot", str(number))
            run("statement", tin, "--about", "allergens", "--contains", thing)
            made = run("batch", "--wood", "W1", "--finish", tin, "--schedule", "hardening-oil",
                       "--pieces", "1", "--size", "300x200x20mm", "--use", "cutting-board", "--place",
                       "workshop")
            run("log", "coat", made["id"], "--from", f"{tin}=10ml", "--temp", "20C", "--rh", "50")
            answers = run("answer", made["pieces"][0], "--about", *asked)
            for answer in answers:
                holds = answer["about"] == thing or answer["about"] in FAMILY.get(thing, set())
                want = "contains" if holds else "not known"
                if answer["result"] != want:
                    faults.append(f"{thing}: {answer['about']} is {answer['result']}, not {want}")
            if len(answers) != len(asked):
                faults.append(f"{thing}: {len(answers)} answers to {len(asked)} questions")
    for fault in faults:
        print(fault)
    print(f"{len(asked)} boards, {len(asked)} questions each, {len(faults)} wrong")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
