#!/usr/bin/python3
"""Completions: what may stand next, with the ids and codes of the book, in bash, zsh and fish."""
import argparse
import pathlib
import shlex
import subprocess
import sys
import tempfile

SCRIPTS = pathlib.Path(__file__).resolve().parent.parent / "src/completions"
SHOP = """
start --maker 'Example Boards' --address '1 Example Lane' --contact a@example.org --market uk \
--zone Europe/London --units metric
place add 'Drying cupboard'
receive wood --species hard-maple --supplier 'Eastwold Timber' --lot 1 --by 1
receive finish --kind mineral-oil --name 'Board Oil' --supplier S --lot M2 --by 1
batch --wood W1 --finish F1 --schedule oil --pieces 2 --size 400x250x22mm --use cutting-board --place workshop --for 'A. Person'
worker add 'Robin Tallis'
"""
# What is typed; what must be offered; what must not.
CASES = [
    ("", ["start", "log", "export"], ["complete", "--book"]),
    ("re", ["receive", "record", "rescue"], ["log"]),
    ("log ", ["coat", "rags-done"], ["26-001"]),
    ("log coat ", ["{batch}"], ["F1"]),
    ("log coat {batch} --from ", ["F1"], ["W1", "{batch}"]),
    ("log coat {batch} --te", ["--temp"], ["--rh"]),
    ("receive finish --kind pure", ["pure-tung-oil"], ["mineral-oil", "pva-d3"]),
    ("receive glue --kind ", ["pva-d3"], ["mineral-oil"]),
    ("receive wood --treated ", ["yes", "no"], ["F1"]),
    ("batch --wood ", ["W1"], ["F1"]),
    ("batch --use cutting-board --schedule ", ["oil-then-wax"], ["cutting-board"]),
    ("give {batch} --as ", ["gift", "private-gift"], ["uk"]),
    ("give {batch} --market ", ["us-ca", "anz"], ["gift"]),
    ("give {batch} --to ", ["A. Person"], ["{batch}"]),
    ("answer {batch} --about milk tree-n", ["tree-nut-walnut"], ["milk"]),
    ("answer ", ["{batch}", "{piece}"], ["F1"]),
    ("trace ", ["{piece}", "F1", "W1"], []),
    ("withdraw ", ["F1", "W1"], ["{batch}"]),
    ("log move {batch} --to ", ["drying-cupboard", "workshop"], ["{batch}"]),
    ("worker add --by ", ["1", "2"], ["F1"]),
    ("--json allergens sul", ["sulphites"], ["milk"]),
    ("card {batch} --language ", ["en", "fr"], ["a4"]),
    ("due --", ["--book", "--json"], ["--at"]),
    ("nonsense ", [], ["start", "26-001"]),
    ("species hard-maple ", [], ["hard-maple"]),
]
FILES = ["card {batch} -o ", "readings ", "rescue "]

failures = []


def check(holds, told):
    if not holds:
        failures.append(told)
        print("FAILED:", told)


def words_of(typed):
    return shlex.split(typed) + ([""] if typed == "" or typed.endswith(" ") else [])


class Shell:
    """What one shell offers behind `trencher …`, by the script that is installed for it."""

    def __init__(self, name, program, folder):
        self.name, self.folder = name, folder
        self.environment = {"PATH": f"{program.parent}:/usr/bin:/bin", "HOME": str(folder), "LC_ALL": "C.UTF-8",
                            "TRENCHER_BOOK": "book.db", "TERM": "dumb"}

    def offered(self, typed):
        done = subprocess.run(self.command(typed), cwd=self.folder, env=self.environment, capture_output=True,
                              text=True, timeout=60)
        check(not done.stderr, f"{self.name}: '{typed}': {done.stderr}")
        return done.stdout.splitlines()

    def command(self, typed):
        words = shlex.join(["trencher", *words_of(typed)])
        count = len(words_of(typed))
        if self.name == "bash":
            return ["bash", "--norc", "-c", f"compopt() {{ echo files; }}; . {SCRIPTS}/trencher.bash; COMP_WORDS=({words}); "
                    f"COMP_CWORD={count}; _trencher; for word in \"${{COMPREPLY[@]}}\"; do eval echo $word; done"]
        if self.name == "zsh":
            return ["zsh", "-f", "-c", f"words=({words}); CURRENT={count + 1}; _files() {{ echo files }}; "
                    "_describe() { print -rl -- ${described%%:*} }; "
                    f"offer() {{ source {SCRIPTS}/_trencher }}; offer"]
        line = "trencher " + typed
        return ["fish", "--no-config", "-c", f"source {SCRIPTS}/trencher.fish; complete -C {shlex.quote(line)} | "
                "string replace -r '\\t.*' ''"]


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--trencher", required=True, type=pathlib.Path)
    program = options.parse_args().trencher.resolve()
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        environment = {"PATH": "/usr/bin:/bin", "TRENCHER_BOOK": "book.db", "HOME": str(folder)}
        for line in SHOP.replace("\\\n", "").strip().splitlines():
            done = subprocess.run([program, *shlex.split(line)], cwd=folder, env=environment, capture_output=True,
                                  text=True)
            check(done.returncode in (0, 1), f"{line}: {done.stderr}")
        batch = subprocess.run([program, "complete", "--", "when", ""], cwd=folder, env=environment,
                               capture_output=True, text=True).stdout.split("\t")[0]
        pieces = subprocess.run([program, "complete", "--", "answer", batch + "-"], cwd=folder, env=environment,
                                capture_output=True, text=True).stdout
        names = {"batch": batch, "piece": pieces.split("\t")[0]}
        check(len(pieces.splitlines()) == 2, f"the boards of a batch: {pieces}")
        before = (folder / "book.db").read_bytes()
        (folder / "a-file").touch()
        for shell in (Shell(name, program, folder) for name in ("bash", "zsh", "fish")):
            for typed, wanted, others in CASES:
                typed, wanted, others = (typed.format(**names), [word.format(**names) for word in wanted],
                                         [word.format(**names) for word in others])
                offered = shell.offered(typed)
                for word in wanted:
                    check(word in offered, f"{shell.name}: '{typed}' does not offer {word}: {offered[:8]}")
                for word in others:
                    check(word not in offered, f"{shell.name}: '{typed}' offers {word}")
            for typed in FILES:
                offered = shell.offered(typed.format(**names))
                check({"files", "a-file"} & set(offered), f"{shell.name}: '{typed}' offers no files: {offered[:5]}")
        check((folder / "book.db").read_bytes() == before, "completing has changed the book")
        # Without a book the words of the program are offered, its ids are not, and nothing is made.
        environment["TRENCHER_BOOK"] = "none.db"
        for words, offers in ((["rec"], True), (["when", ""], False)):
            done = subprocess.run([program, "complete", "--", *words], cwd=folder, env=environment, capture_output=True,
                                  text=True)
            check(done.returncode == 0 and bool(done.stdout) == offers and not done.stderr, f"without a book: {words}: {done}")
        check(not (folder / "none.db").exists(), "completing has made a book")
    if failures:
        sys.exit(f"{len(failures)} failures")
    print(f"{len(CASES) + len(FILES)} lines completed in bash, zsh and fish.")


main()
