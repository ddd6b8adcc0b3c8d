#!/usr/bin/env python3
"""Times trencher beside what does the same with the bare library, in alternation.

    bench.py --trencher BIN --tools DIR --pieces N [N ...] --folder DIR [--only ROW ...]
             [--repeat FACTOR] [--instructions] [--json FILE] [--smoke]

Several sizes: a table of growth behind the rows. README.md says how to read what is printed.
"""
import argparse
import json
import math
import os
import re
import shutil
import statistics
import subprocess
import sys

import rows


def median(runs, which):
    return statistics.median(run[which] for run in runs)


def show(seconds):
    if seconds < 0.1:
        return f"{seconds * 1000:.2f} ms"
    return f"{seconds:.2f} s"


def report(found):
    """One row, as a line."""
    if found.get("skipped"):
        return f"{found['row']:<28} skipped: {found['skipped']}"
    ours, cpu = show(found["wall"]), show(found["cpu"])
    line = f"{found['row']:<28} {ours:>10} (cpu {cpu}, {found['peak'] / 1024:.0f} MB)"
    if "reference" in found:
        line += (
            f"  beside {found['beside']}: {show(found['reference'])} (cpu {show(found['reference_cpu'])})"
            f"  ratio {found['ratio']:.2f}, by cpu {found['ratio_cpu']:.2f}"
        )
    for name, value in found.get("counts", {}).items():
        line += f"  {name} {value}"
    if "goal" in found:
        line += f"  goal {found['goal']}: {'met' if found['met'] else 'not met'}"
    return line


class Bench:
    def __init__(self, options, pieces):
        self.tools = os.path.abspath(options.tools)
        self.sql = os.path.join(os.path.dirname(os.path.abspath(__file__)), "sql")
        self.pieces = pieces
        self.smoke = options.smoke
        self.repeat = options.repeat
        self.count_instructions = options.instructions
        self.folder = os.path.join(os.path.abspath(options.folder), str(pieces))
        if self.smoke:
            shutil.rmtree(self.folder, ignore_errors=True)
        os.makedirs(self.folder, exist_ok=True)
        self.installed = self.path("programs")
        shutil.rmtree(self.installed, ignore_errors=True)
        os.makedirs(self.installed)
        self.trencher = self.install(options.trencher)
        self.book = self.path("book.db")
        if not os.path.exists(self.book):
            print(self.run([self.tool("make_book"), self.book, "--pieces", str(pieces)]).strip(), flush=True)

    def path(self, name):
        return os.path.join(self.folder, name)

    def install(self, program):
        """A copy, written from its beginning to its end as a package's files are. A linker writes here and there, and
        what it leaves in memory takes a tenth longer to start."""
        return shutil.copy(program, self.installed)

    def tool(self, name):
        have = os.path.join(self.installed, name)
        return have if os.path.exists(have) else self.install(os.path.join(self.tools, name))

    def run(self, words, **more):
        done = subprocess.run([str(word) for word in words], capture_output=True, text=True, **more)
        if done.returncode != 0:
            raise SystemExit(f"{' '.join(map(str, words))}\nfailed, status {done.returncode}: {done.stderr}{done.stdout}")
        return done.stdout

    def ask(self, query, book=None):
        return self.run(["sqlite3", "-batch", "-noheader", "-readonly", book or self.book, query]).split("\n")[:-1]

    def query(self, name, **values):
        """The SQL file `name` with words in it replaced, as an argument of the shell."""
        with open(os.path.join(self.sql, name + ".sql"), encoding="utf-8") as file:
            text = file.read()
        for word, value in values.items():
            text = text.replace(word, value)
        path = self.path(name + ".sql")
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        return f".read {path}"

    def copy(self, name):
        shutil.copyfile(self.book, self.path(name))
        return self.path(name)

    def out(self, which):
        with open(self.path(f"out.{which}"), encoding="utf-8", errors="replace") as file:
            return file.read()

    def alternate(self, pairs, ours, reference=None, before=None):
        pairs = 1 if self.smoke else max(1, round(pairs * self.repeat))
        words = [self.tool("timer"), pairs, self.path("out.a"), self.path("out.b")]
        if before:
            words += ["--before", before]
        words += ["--", *map(str, ours)]
        if reference:
            words += ["++", *map(str, reference)]
        return json.loads(self.run(words))

    def instructions(self, words, before):
        """In user space, of one run: what other programs on the machine do not change."""
        if before:
            self.run(["sh", "-c", before])
        done = subprocess.run(
            ["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null", "--trace-children=no", *map(str, words)],
            capture_output=True, text=True)
        return int(re.search(r"Collected : (\d+)", done.stderr).group(1))

    def row(self, name, pairs, ours, reference=None, beside="", goal=None, before=None):
        """goal: the highest ratio of medians that meets it."""
        print(f"... {name}", file=sys.stderr, flush=True)
        timed = self.alternate(pairs, ours, reference, before)
        found = {"row": name, "pieces": self.pieces, "pairs": len(timed["a"])}
        found.update(wall=median(timed["a"], 0), cpu=median(timed["a"], 1), peak=max(run[2] for run in timed["a"]))
        if reference:
            found.update(beside=beside, reference=median(timed["b"], 0), reference_cpu=median(timed["b"], 1))
            found["ratio"] = found["wall"] / max(found["reference"], 1e-9)
            found["ratio_cpu"] = found["cpu"] / max(found["reference_cpu"], 1e-9)
            if self.count_instructions and "@@" not in ours:
                mine, theirs = (self.instructions(words, before) for words in (ours, reference))
                found["counts"] = {"instructions": f"{mine / 1e6:.1f} M beside {theirs / 1e6:.1f} M, ratio {mine / theirs:.2f}"}
            if goal is not None:
                found.update(goal=f"at most {goal}", met=found["ratio"] <= goal)
        return found


def growth(all_found):
    """The same row at several sizes: medians, and the exponent between the first and the last."""
    sizes = sorted({found["pieces"] for found in all_found})
    print(f"\n{'growth':<28}" + "".join(f"{size:>14,}" for size in sizes) + "   exponent   peak at the largest")
    for name in dict.fromkeys(found["row"] for found in all_found):
        by = {found["pieces"]: found for found in all_found if found["row"] == name and "wall" in found}
        if len(by) < 2:
            continue
        first, last = min(by), max(by)
        exponent = math.log(by[last]["wall"] / by[first]["wall"]) / math.log(last / first)
        print(
            f"{name:<28}"
            + "".join(f"{show(by[size]['wall']) if size in by else '':>14}" for size in sizes)
            + f"   {exponent:8.2f}   {by[last]['peak'] / 1024:.0f} MB"
        )


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--trencher", required=True)
    parser.add_argument("--tools", required=True)
    parser.add_argument("--folder", default="build/bench")
    parser.add_argument("--pieces", type=int, nargs="+", default=[10000])
    parser.add_argument("--only", nargs="+", choices=list(rows.ALL), default=list(rows.ALL))
    parser.add_argument("--repeat", type=float, default=1, help="times the usual number of pairs")
    parser.add_argument("--instructions", action="store_true", help="count them by callgrind, too")
    parser.add_argument("--json", help="a file for every figure")
    parser.add_argument("--smoke", action="store_true", help="each thing once, outputs compared")
    options = parser.parse_args()
    os.environ.pop("TRENCHER_BOOK", None)
    os.environ["TZ"] = "Europe/London"  # the machine stands in the workshop of the book
    all_found = []
    for pieces in options.pieces:
        bench = Bench(options, pieces)
        for name in options.only:
            for found in rows.ALL[name](bench):
                found.setdefault("pieces", pieces)
                if options.smoke:  # one run says nothing about a goal
                    found.pop("goal", None)
                all_found.append(found)
                print(report(found), flush=True)
    if len(options.pieces) > 1:
        growth(all_found)
    if options.json:
        with open(options.json, "w", encoding="utf-8") as file:
            json.dump(all_found, file, indent=1)


if __name__ == "__main__":
    main()
