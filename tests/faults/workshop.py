"""The commands that the fault tests disturb: those of the demo and of a year after it, each with
the folder as it was before.

Everything in them is invented.
"""
import json
import os
import pathlib
import shlex
import shutil
import sqlite3
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]

WRAPPER = """#!/bin/sh
# Keeps what the folder was and what was asked, then asks it.
number=$(ls {cases} | wc -l)
mkdir {cases}/$number
cp -a {out} {cases}/$number/before
for word in "$@"; do printf '%s\\0' "$word"; done > {cases}/$number/words
exec {program} "$@"
"""

# What the demo does not do; {out} is the workshop's folder.
AFTER = [
    "product add finish --kind mineral-oil --name Oil --by 1 --recoat-after 12h "
    "--food-contact-after 2d",
    "receive finish --product P1 --supplier Wold --lot M23 --amount 1l --by 1",
    "product change finish P1 --food-contact-after 3d --by 1",
    "open F6 --by 1",
    "statement F1 --about safety --file {out}/cards-26-001.pdf --by 1",
    "species add yard-plum --common Plum --botanical Prunus --group hardwood --source ours "
    "--pore diffuse --by 1",
    "rule add {out}/rule.toml --by 1",
    "log move 26-002 --to garage --by 1",
    "log reading --place house --temp 18C --rh 51 --by 1",
    "log note 26-002 warped --by 1",
    "split 26-002 --pieces 4 --schedule oil-then-wax --finish F1 --finish F2 --why knots --by 1",
    "dealt 71 --how mended --by 1",
    "withdraw F2 --why recalled --by 1",
    "recall F2 -o {out}/recall --by 1",
    "recall F2 -o {out}/recall --by 1",
    "trace F2 -o {out}/trace.csv",
    "statement show 25 -o {out}/paper",
    "sign-off 26-003 --because ok --by 1",
    "give 26-003 --pieces 1 --to-stranger --event Fair --as sale --market uk --by 1 --because ok",
    "place add Shed --temp 8C --rh 80 --by 1",
    "worker add Finley --by 1",
    "forget 'Ada Winterbourne' --vacuum --even-if-recalled --by 1",
    "import {out}/book.jsonl --book {out}/second.db",
    "import --csv {out}/old --by 1",
    "backup {out}/backup-2.db",
    "export {out}/book-2.jsonl",
    "export --csv {out}/sheets",
]

OLD = {"wood.csv": "when,label,species,supplier,lot\n2025-01-05,plank,white-oak,Yard,7\n",
       "other.csv": "when,label,kind,supplier,lot\n2025-01-05,feet,rubber-feet,Yard,8\n"}

RULE = """market = "uk"
[[rule]]
key = "uk-yard"
cite = "Rules of the invented yard, no 4"
asks = "A list of what each board is made of lies on the stall."
when = "sold at that yard"
check = "ingredients-listed"
ask = "the office of the yard"
reviewed = "2026-11-20"
source = "the leaflet of the yard"
standing = "read"
"""


class Case:
    """A command and the folder before it."""

    def __init__(self, before, words, out):
        self.before, self.words, self.out = before, words, out
        self.name = " ".join(words)[:60].replace(str(out), "")

    def put(self, folder):
        """The folder as before, there; the words that go with it."""
        shutil.copytree(self.before, folder, symlinks=True)
        return [word.replace(str(self.out), str(folder)) for word in self.words]


def environment(folder, **more):
    kept = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    return {**kept, "TZ": "Europe/London", "TRENCHER_BOOK": f"{folder}/book.db",
            "TMPDIR": str(folder), "SQLITE_TMPDIR": str(folder), **more}


def run(program, words, folder, **more):
    return subprocess.run([program, *words], cwd=folder, env=environment(folder, **more),
                          stdin=subprocess.DEVNULL, capture_output=True, timeout=120, check=False)


def scratch():
    """A folder for many small files, in memory where there is room."""
    return tempfile.TemporaryDirectory(dir="/dev/shm" if os.access("/dev/shm", os.W_OK) else None)


def play(program, folder):
    """The cases, played in `folder`, which must stay until they are done with."""
    folder = pathlib.Path(folder)
    cases, out, wrapper = folder / "cases", folder / "out", folder / "wrapper"
    cases.mkdir()
    wrapper.write_text(WRAPPER.format(cases=cases, out=out, program=program))
    wrapper.chmod(0o755)
    told = subprocess.run(["sh", ROOT / "docs/demo.sh"], capture_output=True, check=False,
                          env={**os.environ, "TRENCHER": str(wrapper), "TRENCHER_DEMO": str(out)})
    if told.returncode != 0:
        raise SystemExit(f"the demo failed: {told.stderr.decode()}")
    (out / "rule.toml").write_text(RULE)
    (out / "old").mkdir()
    for name, text in OLD.items():
        (out / "old" / name).write_text(text)
    for line in AFTER:
        words = [word.format(out=out) for word in shlex.split(line)]
        done = subprocess.run([wrapper, *words], cwd=out, env=environment(out),
                              capture_output=True, check=False)
        if done.returncode not in (0, 1):
            raise SystemExit(f"{line}: {done.stderr.decode()}")
    return [Case(path / "before", (path / "words").read_bytes().decode().split("\0")[:-1], out)
            for path in sorted(cases.iterdir(), key=lambda path: int(path.name))]


def entries(book):
    """(number, hash) of every entry, read by another program's library; none where no book is."""
    if not book.exists():
        return []
    with sqlite3.connect(f"file:{book}?mode=ro", uri=True) as there:
        return there.execute("SELECT number, hash FROM entry ORDER BY number").fetchall()


def verify(program, book):
    """The problems that `verify` tells of."""
    done = subprocess.run([program, "verify", "--json", "--book", book], capture_output=True,
                          env=environment(book.parent), check=False)
    if done.returncode not in (0, 1):
        return [done.stderr.decode()]
    return json.loads(done.stdout)["problems"]
