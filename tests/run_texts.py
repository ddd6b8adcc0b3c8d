#!/usr/bin/python3
"""Runs whole commands as the text files of tests/runs/ tell, and compares all that comes back.

  run_texts.py --trencher PROGRAM [--update] [--stop] [--jobs N] [--json-outputs FOLDER] [FILE.txt ...]
  run_texts.py --self-test

A file begins with a comment that says why it is there. Then, command by command:

  # comment                 may stand before any command
  @ 2026-03-02 18:00:00     stops the clock there (UTC) for the commands that follow
  $ trencher due --json     words as a shell splits them, and nothing else of a shell
  < text                    a line of standard input
  text                      a line of standard output
  ! text                    a line of standard error
  = 2                       the exit status, where it is not 0

Expected lines may hold {hex64}, {hex32} and {any}. A line of output that begins with a sign of
this table, or that is the last and blank, has a \\ before it; {no newline} ends output without a
line end.
Each file runs in a folder of its own with TRENCHER_BOOK=book.db and little else in the environment.
"""
import argparse
import concurrent.futures
import contextlib
import difflib
import glob
import json
import os
import pathlib
import re
import shlex
import signal
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
FAKETIME = next(iter(glob.glob("/usr/lib/*/faketime/libfaketime.so.1")), "")
SIGNS = tuple("#@$<!=\\")
PLACES = {"{hex64}": "[0-9a-f]{64}", "{hex32}": "[0-9a-f]{32}", "{any}": ".*"}
NO_NEWLINE = "{no newline}"


class Malformed(Exception):
    pass


class Command:
    """A command, the lines before it, and what it is expected to print."""

    def __init__(self, before, words, clock):
        self.before, self.words, self.clock = before, words, clock
        self.stdin, self.stdout, self.stderr, self.status = [], [], [], 0


def parse(text):
    """The commands of a file and the lines after the last one."""
    if not text.startswith("# "):
        raise Malformed("the first line must be a comment that says why the file is there")
    commands, before, clock = [], [], None
    for line in text.removesuffix("\n").split("\n"):
        sign, rest = line[:1], line[2:]
        if sign in SIGNS and sign != "\\" and line[1:2].strip():
            raise Malformed(f"'{line}' has no blank after its sign; output that begins so has a \\")
        if sign in ("", "#", "@"):
            before.append(line)
            clock = rest.strip() if sign == "@" else clock
            continue
        if sign == "$":
            if not shlex.split(rest):
                raise Malformed("a command has no words")
            commands.append(Command(before, rest, clock))
            before = []
            continue
        # Blank lines turn out to be output when more of it follows.
        if not commands or any(before):
            raise Malformed(f"'{line}' must follow its command at once")
        command = commands[-1]
        command.stdout += before
        before = []
        if sign == "<":
            command.stdin.append(rest)
        elif sign == "!":
            command.stderr.append(rest)
        elif sign == "=":
            if not rest.isdigit():
                raise Malformed(f"'{line}' is no exit status; output that begins so has a \\")
            command.status = int(rest)
        else:
            command.stdout.append(line[1:] if sign == "\\" else line)
    if not commands:
        raise Malformed("there is no command in it")
    return commands, before


def written(command, stdout, stderr, status):
    """The command with these results, as the file's lines."""
    lines = [*command.before, f"$ {command.words}"]
    lines += [f"< {line}" if line else "<" for line in command.stdin]
    for index, line in enumerate(stdout):
        last_blank = not line and index + 1 == len(stdout)
        lines.append("\\" + line if last_blank or line.startswith(SIGNS) else line)
    lines += [f"! {line}" if line else "!" for line in stderr]
    return lines + ([f"= {status}"] if status else [])


def lines_of(output):
    text = output.decode("utf-8", "backslashreplace")
    lines = text.split("\n")
    last = lines.pop()
    return lines + [last + NO_NEWLINE] if last else lines


def fits(expected, actual):
    pattern = re.escape(expected)
    for place, form in PLACES.items():
        pattern = pattern.replace(re.escape(place), form)
    return re.fullmatch(pattern, actual) is not None


def merged(expected, actual, update):
    """The actual lines; where an expected one fits, that one, so that its places stay."""
    out, start = [], 0
    for line in actual:
        at = next((i for i in range(start, len(expected)) if fits(expected[i], line)), None)
        if at is not None:
            out.append(expected[at])
            start = at + 1
        elif update:
            line = re.sub(r"\b[0-9a-f]{64}\b", "{hex64}", line)
            out.append(re.sub(r"\b[0-9a-f]{32}\b", "{hex32}", line))
        else:
            out.append(line)
    return out


def run(command, program, folder, limit):
    """Standard output, standard error and status."""
    words = shlex.split(command.words)
    if words[0] == "trencher":
        words[0] = str(program)
    environment = {"PATH": "/usr/bin:/bin", "HOME": folder, "TRENCHER_BOOK": "book.db",
                   "LC_ALL": "C.UTF-8", "TZ": "UTC",
                   # faketime is loaded first, which a build with sanitizers would refuse.
                   "ASAN_OPTIONS": "verify_asan_link_order=0"}
    if command.clock:
        # Loaded by hand: the command faketime shares memory under names that a killed run leaves taken.
        environment |= {"LD_PRELOAD": FAKETIME, "FAKETIME": command.clock}
    given = "".join(f"{line}\n" for line in command.stdin).encode()
    try:
        process = subprocess.Popen(words, cwd=folder, env=environment, stdin=subprocess.PIPE,
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                   start_new_session=True)
    except OSError as error:
        return b"", f"{error}\n".encode(), 127
    try:
        return *process.communicate(given, timeout=limit), process.returncode
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
        return b"", f"stopped after {limit} s\n".encode(), process.returncode


def keep_json_output(kept, command, out, status):
    """What a command with --json printed, word for word, for schemas_test.py."""
    words = shlex.split(command.words)
    if words[0] == "trencher" and "--json" in words:
        kept.append({"command": command.words, "status": status, "output": out.decode("utf-8", "backslashreplace")})


def check(path, program, update, limit, json_outputs=None):
    """Nothing where the file passes, else what is wrong with it."""
    text = path.read_text(encoding="utf-8")
    try:
        commands, after = parse(text)
    except (Malformed, ValueError) as error:  # the latter: a quote that is not closed
        return f"{path}: {error}\n"
    expected, actual, kept = [], [], []
    with tempfile.TemporaryDirectory(prefix="trencher-run-") as folder:
        for command in commands:
            out, err, status = run(command, program, folder, limit)
            keep_json_output(kept, command, out, status)
            expected += written(command, command.stdout, command.stderr, command.status)
            actual += written(command, merged(command.stdout, lines_of(out), update),
                              merged(command.stderr, lines_of(err), update), status)
    if json_outputs:
        (json_outputs / f"{path.stem}.json").write_text(json.dumps(kept), encoding="utf-8")
    if expected == actual:
        return None
    if update:
        path.write_text("\n".join([*actual, *after]) + "\n", encoding="utf-8")
        print(f"{path}: updated")
        return None
    diff = difflib.unified_diff(expected, actual, str(path), "what came", lineterm="")
    return "".join(f"{line}\n" for line in diff)


def check_all(paths, program, update=False, stop=False, jobs=1, limit=20, json_outputs=None):
    """Prints what is wrong and the count; the exit status."""
    passed = failed = 0
    with concurrent.futures.ThreadPoolExecutor(jobs) as pool:
        for wrong in pool.map(lambda path: check(path, program, update, limit, json_outputs), paths):
            passed, failed = passed + (not wrong), failed + bool(wrong)
            print(wrong or "", end="")
            if wrong and stop:
                pool.shutdown(cancel_futures=True)
                break
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


FAKE = r"""#!/bin/sh
case $1 in
  good) echo out; echo; echo '= sign'; echo; echo err >&2; exit 3 ;;
  echo) cat ;;
  clock) date '+%F %T' ;;
  environment) echo "$TRENCHER_BOOK $TZ $LC_ALL ${SECRET-none}"; pwd ;;
  id) echo "id 0123456789abcdef0123456789abcdef" ;;
  bare) printf end ;;
  hang) sleep 60 ;;
esac
"""
GOOD = "# why\n\n$ trencher good\nout\n\n\\= sign\n\\\n! err\n= 3\n"
# Name, text, whether it passes.
CASES = [
    ("right", GOOD, True),
    ("wrong output", GOOD.replace("out", "other"), False),
    ("missing output", GOOD.replace("out\n", ""), False),
    ("surplus output", GOOD.replace("out", "out\nmore"), False),
    ("blank line at the end not told", GOOD.replace("\\\n", ""), False),
    ("wrong status", GOOD.replace("= 3", "= 2"), False),
    ("status not told", GOOD.replace("= 3\n", ""), False),
    ("wrong error text", GOOD.replace("! err", "! other"), False),
    ("error text not told", GOOD.replace("! err\n", ""), False),
    ("surplus error text", GOOD.replace("! err", "! err\n! err"), False),
    ("error text told as output", GOOD.replace("! err", "err"), False),
    ("second command wrong", GOOD + "\n# next\n$ trencher bare\nend\n", False),
    ("second command right", GOOD + "\n# next\n$ trencher bare\nend{no newline}\n", True),
    ("input", "# why\n$ trencher echo\n< a  b\n<\na  b\n\\\n", True),
    ("clock", "# why\n@ 2026-03-02 18:00:00\n$ trencher clock\n2026-03-02 18:00:00\n", True),
    ("wrong clock", "# why\n@ 2026-03-02 18:00:01\n$ trencher clock\n2026-03-02 18:00:00\n", False),
    ("environment", "# why\n$ trencher environment\n"
     "book.db UTC C.UTF-8 none\n{any}/trencher-run-{any}\n", True),
    ("place", "# why\n$ trencher id\nid {hex32}\n", True),
    ("wrong place", "# why\n$ trencher id\nid {hex64}\n", False),
    ("half a place", "# why\n$ trencher id\nid{hex32}\n", False),
    ("hanging", "# why\n$ trencher hang\n", False),
    ("other program", "# why\n$ printf '%s\\n' 'a b' c\na b\nc\n", True),
    ("no such program", "# why\n$ no-such-program\n", False),
    ("no blank after a sign", "# why\n$ trencher good\n!err\n", False),
    ("open quote", "# why\n$ trencher 'good\n", False),
    ("no words", "# why\n$\n", False),
    ("no status", GOOD.replace("= 3", "= three"), False),
    ("no reason", "$ trencher bare\nend{no newline}\n", False),
    ("no command", "# why\n", False),
    ("output before a command", "# why\nout\n$ trencher good\n", False),
]
NEVER_RIGHT = CASES[[case for case, *_ in CASES].index("no blank after a sign"):]


def self_test():
    os.environ["SECRET"] = "seen"
    wrong = []
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        fake, path = folder / "fake", folder / "case.txt"
        fake.write_text(FAKE)
        fake.chmod(0o755)
        for case, text, passes in CASES:
            path.write_text(text)
            if (check(path, fake, False, 1) is None) != passes:
                wrong.append(f"{case}: should have {'passed' if passes else 'failed'}")
            if case != "hanging" and (case, text, passes) not in NEVER_RIGHT:
                with contextlib.redirect_stdout(None):
                    check(path, fake, True, 1)
                if check(path, fake, False, 1) is not None or (passes and path.read_text() != text):
                    wrong.append(f"{case}: updating did not mend it, or changed what was right")
        with contextlib.redirect_stdout(None):
            statuses = [check_all([], fake), check_all([path], fake)]
            path.write_text(GOOD)
            statuses.append(check_all([path], fake))
        if statuses != [1, 1, 0]:
            wrong.append(f"none found, one wrong, all right: statuses {statuses}")
    print("".join(f"{line}\n" for line in wrong), end="")
    print(f"run_texts self-test: {len(CASES) + 1 - len(wrong)} passed, {len(wrong)} failed")
    return 1 if wrong else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--trencher", type=lambda path: pathlib.Path(path).resolve())
    parser.add_argument("--update", action="store_true", help="write what came into the files")
    parser.add_argument("--stop", action="store_true", help="stop at the first that fails")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--json-outputs", type=pathlib.Path, metavar="FOLDER",
                        help="write what commands with --json printed there, a file for each text")
    parser.add_argument("--self-test", action="store_true")
    parser.add_argument("files", nargs="*", type=pathlib.Path)
    arguments = parser.parse_args()
    if arguments.self_test:
        return self_test()
    if not arguments.trencher or not arguments.trencher.is_file():
        parser.error("--trencher must name the built program")
    if arguments.json_outputs:
        arguments.json_outputs.mkdir(parents=True, exist_ok=True)
    return check_all(arguments.files or sorted((HERE / "runs").glob("*.txt")), arguments.trencher,
                     arguments.update, arguments.stop, arguments.jobs, json_outputs=arguments.json_outputs)


if __name__ == "__main__":
    sys.exit(main())
