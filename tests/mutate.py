#!/usr/bin/python3
"""Plants small mistakes in src/, one at a time, and sees whether the tests notice.

  mutate.py [--count 50] [--seed 1] [--jobs 2] [--time-limit 60] [--folders domain,engine,…]
            [--work FOLDER] [--out FILE.md]

Works in a copy of the tree with a build folder of its own. A mistake is drawn by the seed: first
the line, then what is done to it. The tests of its own folder run first, then every test program
that the mistake changed, then the run texts; the first that fails, crashes or runs longer than the
limit ends it. What does not compile, or leaves the machine code as it was, does not count and
another is drawn. Status 0 whatever survives; 2 where the tests fail before any mistake is made.
"""
import argparse
import collections
import hashlib
import os
import pathlib
import random
import re
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time

FOLDERS = ["domain", "engine", "book", "exchange", "reference", "commands"]
COPIED = ["CMakeLists.txt", "src", "tests", "schema", "templates", "docs"]
# Building is most of the time, hence the low optimisation; a mistake may well cause warnings.
FLAGS = ["-G", "Ninja", "-DCMAKE_BUILD_TYPE=None", "-DCMAKE_CXX_FLAGS=-O1 -w"]

Mutation = collections.namedtuple("Mutation", "file line before after what")

# Text, its replacement, the name. Blanks on both sides tell an operator from a template's bracket,
# since the formatter sets them.
SWAPS = [
    (r" < ", " <= ", "< to <="), (r" <= ", " < ", "<= to <"),
    (r" > ", " >= ", "> to >="), (r" >= ", " > ", ">= to >"),
    (r" == ", " != ", "== to !="), (r" != ", " == ", "!= to =="),
    (r" \+ ", " - ", "+ to -"), (r" - ", " + ", "- to +"),
    (r" \* ", " / ", "* to /"), (r" / ", " * ", "/ to *"),
    (r" && ", " || ", "and to or"), (r" \|\| ", " && ", "or to and"),
    (r"\bmin\b(?=[(<])", "max", "min to max"), (r"\bmax\b(?=[(<])", "min", "max to min"),
    (r"\btrue\b", "false", "true to false"), (r"\bfalse\b", "true", "false to true"),
    (r"(?<![\w.'\"])0(?![\w.'])", "1", "0 to 1"), (r"(?<![\w.'\"])1(?![\w.'])", "0", "1 to 0"),
]
CONDITION = re.compile(r"\b(?:if|while) \(")
# A call or an assignment that is a line of its own; a declaration has a blank before its name.
STATEMENT = re.compile(r"\s*(?!return\b|throw\b|using\b)[\w*(:][\w:.>()\[\]*-]*"
                       r"( [-+*/|&]?= .*|\(.*\));$")
LITERAL = re.compile(r'''R"(\w*)\(.*?\)\1"|"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)'|'''
                     r"//[^\n]*|/\*.*?\*/", re.DOTALL)


def masked(text):
    """The text with the insides of strings, characters and comments made blank."""
    return LITERAL.sub(lambda found: re.sub(r"[^\n]", "\0", found.group()), text)


def balanced(text):
    """Where the bracket that opens at the start of `text` closes, or -1."""
    depth = 0
    for at, sign in enumerate(text):
        depth += (sign == "(") - (sign == ")")
        if depth == 0:
            return at
    return -1


def changes(line, mask, previous):
    """What may be done to a line: its new text and the name of the change."""
    for pattern, new, what in SWAPS:
        for found in re.finditer(pattern, mask):
            # Text can be joined with + but not taken away.
            if what == "+ to -" and "\0" in mask[found.start() - 1:found.end() + 1]:
                continue
            yield line[:found.start()] + new + line[found.end():], what
    for found in CONDITION.finditer(mask):
        start = found.end() - 1
        end = balanced(mask[start:])
        inside = mask[start:start + end]
        if end > 0 and " = " not in inside and ";" not in inside:
            after = start + end + 1
            yield f"{line[:start]}(!{line[start:after]}){line[after:]}", "condition"
    whole = mask.count("(") == mask.count(")") and previous.endswith((";", "{", "}", ")"))
    if whole and STATEMENT.match(mask):
        yield re.match(r"\s*", line).group() + ";", "statement left out"


def mutations(root, folders):
    """The mutations of each line that has any."""
    lines = []
    for folder in folders:
        for path in sorted((root / "src" / folder).glob("*.cpp")):
            text = path.read_text(encoding="utf-8")
            previous = ";"
            both = zip(text.split("\n"), masked(text).split("\n"))
            for number, (line, mask) in enumerate(both):
                code = mask.replace("\0", "").strip()
                if code and not code.startswith("#") and "static_assert" not in code:
                    found = [Mutation(path.relative_to(root), number, line, new, what)
                             for new, what in changes(line, mask, previous)]
                    if found:
                        lines.append(found)
                    previous = code
    return lines


def limited():
    """Bounds what a program gone wrong can do to the machine."""
    resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
    resource.setrlimit(resource.RLIMIT_FSIZE, (1 << 30, 1 << 30))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def run(words, limit, scratch):
    """Status (None: over the limit) and what was printed. Temporary files go to `scratch`."""
    scratch.mkdir(exist_ok=True)
    process = subprocess.Popen(words, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                               stderr=subprocess.STDOUT, start_new_session=True, preexec_fn=limited,
                               cwd=scratch, env={**os.environ, "TMPDIR": str(scratch)})
    try:
        printed = process.communicate(timeout=limit)[0]
        status = process.returncode
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        printed, status = process.communicate()[0], None
    shutil.rmtree(scratch, ignore_errors=True)
    return status, printed.decode("utf-8", "replace")


class Tree:
    """The copy, its build folder and its test programs."""

    def __init__(self, root, work, jobs, limit):
        self.root, self.build, self.jobs, self.limit = work / "tree", work / "build", jobs, limit
        self.scratch = work / "scratch"
        for name in COPIED:
            if (root / name).is_dir():
                shutil.copytree(root / name, self.root / name, symlinks=False)
            elif (root / name).exists():
                self.root.mkdir(parents=True, exist_ok=True)
                shutil.copy(root / name, self.root / name)
        launcher = ["-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"] if shutil.which("ccache") else []
        subprocess.run(["cmake", "-S", self.root, "-B", self.build, *FLAGS, *launcher], check=True,
                       stdout=subprocess.DEVNULL)
        built, printed = self.make("all")
        if not built:
            sys.exit(f"{printed}\nmutate: the tree does not build")
        self.tests = {p.name: p for p in sorted(self.build.rglob("test_*"))
                      if p.is_file() and not p.suffix and os.access(p, os.X_OK)}
        self.program = self.build / "trencher"
        self.whole = self.hashes()

    def make(self, target):
        done = subprocess.run(["cmake", "--build", self.build, "-j", str(self.jobs),
                               "--target", target], text=True, capture_output=True)
        return done.returncode == 0, done.stdout + done.stderr

    def hashes(self):
        programs = [*self.tests.values(), *([self.program] if self.program.exists() else [])]
        return {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in programs}

    def test(self, name):
        """Nothing where the test program passes, else where it failed."""
        status, printed = run([str(self.tests[name]), "--abort", "--warn", "NoTests"], self.limit,
                              self.scratch)
        if status == 0:
            return None
        if status is None:
            return f"{name} (hung)"
        place = re.search(r"([\w.]+\.cpp:\d+): FAILED", printed)
        return f"{name} {place.group(1) if place else f'(status {status})'}"

    def run_texts(self):
        runs = self.root / "tests" / "runs"
        if not self.program.exists() or not any(runs.glob("*.txt")):
            return None
        status, printed = run([sys.executable, str(self.root / "tests" / "run_texts.py"), "--stop",
                               "--trencher", str(self.program)], self.limit * 2, self.scratch)
        place = re.search(r"--- .*/(\S+\.txt)", printed)
        return None if status == 0 else f"runs {place.group(1) if place else '(hung)'}"

    def killer(self, folder):
        """What notices the mistake in `folder`, if anything, and the result in words."""
        own = f"test_{folder}"
        tried = set()
        if own in self.tests:
            built, printed = self.make(own)
            if not built:
                return self.broken(own, printed)
            tried.add(own)
            if self.hashes()[own] != self.whole[own]:
                if failed := self.test(own):
                    return failed, "killed"
        built, printed = self.make("all")
        if not built:
            return self.broken("a test program", printed)
        changed = [name for name, digest in self.hashes().items() if digest != self.whole[name]]
        if not changed:
            return None, "changed nothing"
        for name in changed:
            if name in self.tests and name not in tried:
                if failed := self.test(name):
                    return failed, "killed"
        if self.program.name in changed:
            if failed := self.run_texts():
                return failed, "killed"
        return None, "survived"

    @staticmethod
    def broken(name, printed):
        # The build lists a program's tests: one that crashes there is noticed.
        if "Error running test executable" in printed:
            return f"{name} (crashed at its start)", "killed"
        return None, "did not compile"

    def try_out(self, mutation):
        path = self.root / mutation.file
        text = path.read_text(encoding="utf-8")
        lines = text.split("\n")
        lines[mutation.line] = mutation.after
        path.write_text("\n".join(lines), encoding="utf-8")
        try:
            return self.killer(mutation.file.parts[1])
        finally:
            path.write_text(text, encoding="utf-8")


def report(rows, tally, arguments):
    """The table as Markdown."""
    cell = lambda text: "`" + text.strip().replace("|", "\\|") + "`"
    counts = ", ".join(f"{n} {what}" for what, n in tally.items())
    lines = [f"Seed {arguments.seed}: {counts}.", "",
             "| place | change | was | became | result | by | s |", "|---|---|---|---|---|---|---|"]
    for mutation, result, by, seconds in rows:
        lines.append(f"| {mutation.file}:{mutation.line + 1} | {mutation.what} "
                     f"| {cell(mutation.before)} | {cell(mutation.after)} "
                     f"| {result} | {by or ''} | {seconds:.0f} |")
    return "\n".join(lines) + "\n"


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--root", type=pathlib.Path,
                        default=pathlib.Path(__file__).resolve().parent.parent)
    parser.add_argument("--count", type=int, default=50, help="mistakes that count")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2, help="of the compiler")
    parser.add_argument("--time-limit", type=float, default=60, help="seconds a test program")
    parser.add_argument("--folders", default=",".join(FOLDERS))
    parser.add_argument("--work", type=pathlib.Path, help="a new folder; default a temporary one")
    parser.add_argument("--out", type=pathlib.Path, help="the table; default standard output")
    arguments = parser.parse_args()

    work = arguments.work or pathlib.Path(tempfile.mkdtemp(prefix="trencher-mutate-"))
    tree = Tree(arguments.root.resolve(), work, arguments.jobs, arguments.time_limit)
    if failed := next(filter(None, map(tree.test, tree.tests)), None) or tree.run_texts():
        print(f"mutate: the tests fail as they stand: {failed}", file=sys.stderr)
        return 2
    chance = random.Random(arguments.seed)
    lines = mutations(tree.root, arguments.folders.split(","))
    chance.shuffle(lines)
    rows, tally = [], collections.Counter()
    for choices in lines:
        if tally["killed"] + tally["survived"] >= arguments.count:
            break
        mutation, start = chance.choice(choices), time.monotonic()
        by, result = tree.try_out(mutation)
        rows.append((mutation, result, by, time.monotonic() - start))
        tally[result] += 1
        print(f"{result}: {mutation.file}:{mutation.line + 1} {mutation.what}",
              f"by {by}" if by else "", flush=True)
    text = report(rows, tally, arguments)
    if arguments.out:
        arguments.out.write_text(text, encoding="utf-8")
    else:
        print(text, end="")
    if not arguments.work:
        shutil.rmtree(work)
    print(f"{tally['killed']} killed, {tally['survived']} survived")
    return 0 if rows else 2


if __name__ == "__main__":
    sys.exit(main())
