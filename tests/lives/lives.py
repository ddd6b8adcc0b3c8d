#!/usr/bin/python3
"""Random lives of a book: whatever its entries, the program's answers, dates and traces are those
that a slow reckoning (reckon.py) finds in the exported journal.

    lives.py --trencher BIN --lives N --seed S [--jobs 2]   N lives, from seed S on
    lives.py --trencher BIN --seed S --shrink               one life, less what it differs without
    lives.py --trencher BIN --self-test                     altered journals must differ"""

import argparse
import collections
import concurrent.futures
import json
import pathlib
import random
import shlex
import sys
import tempfile
import time

sys.dont_write_bytecode = True  # the sources' folder stays as it is
from life import TOPICS, Book, Broken, Life
import reckon

MEMORY = "/dev/shm" if pathlib.Path("/dev/shm").is_dir() else None  # lives need no disk
ABOUT = ("--about", ",".join(TOPICS))
NEAR = 120  # seconds
LOTS = ("wood", "glue", "finish", "other", "mix", "product")


def live(program, seed, folder):
    book = Book(program, folder)
    life = Life(book, seed)
    life.live()
    return book


def export(book):
    path = book.path + ".jsonl"
    done = book.run("export", path)
    if done.returncode:
        raise Broken(f"export: {done.stderr}")
    return pathlib.Path(path).read_text(encoding="utf-8").splitlines()


def said_by_program(book, lines):
    """What the program answers, by question: the JSON, or the sentence of its refusal; and when."""
    reckoned, said = reckon.Book(lines), {}

    def ask(*words):
        done = book.run(*words)
        said[words] = json.loads(done.stdout) if done.returncode in (0, 1) else done.stderr.strip()

    whole = len(lines) % 2  # asked by the batch or piece by piece, an answer is the same
    for batch in reckoned.batches if whole else ():
        ask("answer", batch, *ABOUT)
    for batch, number in reckon.pieces(reckoned):
        code = reckon.piece_code(batch, number)
        if not reckon.is_scrapped(reckoned, batch, number):
            ask("when", code)
            if not whole:
                ask("answer", code, *ABOUT)
        ask("trace", code)
    tins = sorted(set(reckoned.tins) | set(reckoned.mixes))
    for tin in random.Random(len(lines)).sample(tins, min(2, len(tins))):
        ask("trace", tin)
    return said, time.time()


def nodes(tree):
    for node in tree:
        yield node
        yield from nodes(node.get("nodes", []))


def moment(at):
    return at and time.strftime("%Y-%m-%d %H:%M:%S", time.gmtime(at))


class Comparison:
    """Where the reckoning of some lines and what the program said part, as sentences."""

    def __init__(self, lines, said, now):
        self.book, self.said, self.now, self.found = reckon.Book(lines), said, now, []
        for batch, number in reckon.pieces(self.book):
            code = reckon.piece_code(batch, number)
            if not reckon.is_scrapped(self.book, batch, number):
                asked = ("answer", batch if ("answer", batch, *ABOUT) in said else code, *ABOUT)
                self.look(asked, self.answers, code, batch, number)
                self.look(("when", code), self.dates, code, batch, number)
            self.look(("trace", code), self.trace, code, batch, number)
        for words in said:
            if words[0] == "trace" and "-" not in words[1]:
                self.look(words, self.reached, words[1])

    def look(self, words, compare, *more):
        told = self.said.get(words, "the program knows no such piece")
        if isinstance(told, str):
            self.found.append(f"{' '.join(words[:2])}: {told}")
        else:
            compare(told, *more)

    def expect(self, what, mine, theirs):
        if mine != theirs:
            self.found.append(f"{what}: reckoned {mine}, the program says {theirs}")

    def answers(self, rows, code, batch, number):
        """A batch whose pieces all went one way has one row a topic, else each piece has."""
        theirs = {(row["piece"], row["about"]): row["result"] for row in rows}
        for about in TOPICS:
            mine = reckon.answer(self.book, batch, number, about)
            self.expect(f"answer {code} about {about}", mine,
                        theirs.get((code, about), theirs.get((batch, about))))

    def dates(self, told, code, batch, number):
        mine = reckon.Piece(self.book, batch, number, self.now).dates()
        theirs = {row["name"]: row for row in told["dates"]}
        self.expect(f"when {code}, dates", sorted(mine), sorted(theirs))
        for name in mine.keys() & theirs.keys():
            at, guessed = mine[name]
            other = theirs[name]["at"] and reckon.seconds(theirs[name]["at"])
            if not at or not other or abs(at - other) > NEAR:
                self.expect(f"when {code}, {name}", moment(at), moment(other))
            elif guessed is not None:
                self.expect(f"when {code}, {name}, guessed", guessed, theirs[name]["guessed"])

    def trace(self, told, code, batch, number):
        mine = reckon.before(self.book, batch, number)
        lots = {node["id"] for node in nodes(told["before"]) if node["class"] in LOTS}
        self.expect(f"trace {code}, before", sorted(mine), sorted(lots))
        mine = reckon.after(self.book, batch, number)
        ways = {e.number for e in self.book.of("give", "take-back")}
        entries = {entry for node in nodes(told["after"]) for entry in node["entries"]} & ways
        self.expect(f"trace {code}, after", sorted(mine), sorted(entries))

    def reached(self, told, tin):
        pieces = {node["id"] for node in nodes(told["after"]) if node["class"] == "piece"}
        mine = reckon.reached_by(self.book, tin)
        self.expect(f"trace {tin}, pieces", sorted(mine), sorted(pieces))


def differences(lines, said, now):
    return Comparison(lines, said, now).found


def check(program, seed, commands=None):
    """Commands, refusals with their sentences, and differences of one life; of the given commands,
    where there are any."""
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        book = Book(program, folder)
        try:
            if commands is None:
                Life(book, seed).live()
            else:
                for words in commands:
                    book.write(*words)
            lines = export(book)
            found = differences(lines, *said_by_program(book, lines))
            if book.run("verify").returncode:
                found.append("verify: the state is not what follows from the journal")
        except Broken as broken:
            found = [str(broken)]
        return book.commands, book.refusals, found


def shrink(program, commands):
    """Leaves out what is not needed for a difference; the rest may be refused, since ids move."""
    kept = list(commands)
    for i in reversed(range(1, len(commands))):
        fewer = kept[:i] + kept[i + 1:]
        if check(program, 0, fewer)[2]:
            kept = fewer
    return kept


# ---- Self-test: alterations of the journal, each of which some life must notice

def drop_from_mix(kind, body, row):
    return kind == "mix" and len(body["drawn"]) > 1 and body["drawn"].pop()


def coat_a_day_later(kind, body, row):
    if kind == "coat":
        later = time.gmtime(reckon.seconds(row["happened_at"]) + 86400)
        row["happened_at"] = time.strftime("%Y-%m-%dT%H:%M:%SZ", later)
    return kind == "coat"


def another_place(kind, body, row):
    if kind in ("batch", "move"):
        body["place"] = "garage" if body["place"] == "workshop" else "workshop"
    return kind in ("batch", "move")


def another_piece(kind, body, row):
    return kind in ("coat", "fit") and "pieces" in body and not body.update(pieces=[99])


def other_air(kind, body, row):
    declared = kind == "place" and "temp_mc" in body
    return declared and not body.update(temp_mc=12000 if body["temp_mc"] > 14000 else 20000)


def another_version(kind, body, row):
    version = body.get("product_version") if kind == "tin" else None
    return version and not body.update(product_version=1 if version > 1 else 2)


def loses(member, *kinds):
    return lambda kind, body, row: kind in kinds and body.pop(member, None) is not None


def undone(of):
    return lambda kind, body, row: kind == of and not body.update(entry=0)


ALTERATIONS = {
    "a tin less in a mix": drop_from_mix, "a coat a day later": coat_a_day_later,
    "another place": another_place, "a coat of another piece": another_piece,
    "other declared air": other_air, "a correction undone": undone("correction"),
    "a strike undone": undone("strike"),
    "a statement that denies nothing": loses("declares_none", "statement"),
    "an open ingredient list": loses("complete", "statement"),
    "nothing said of shared rags": loses("cross_contact", "workshop"),
    "a fitting from no tin": loses("drawn", "fit"),
    "another version of a product": another_version,
    "a board that came back used": loses("unused", "take-back"),
    "no word of the owner": loses("owner_applied", "take-back")}


def altered(lines, change):
    """Each line to which the alteration applies, altered alone."""
    for i, line in enumerate(lines):
        row = json.loads(line)
        if "kind" in row:
            body = json.loads(row["body"])
            if change(row["kind"], body, row):
                row["body"] = json.dumps(body)
                yield lines[:i] + [json.dumps(row)] + lines[i + 1:]


def self_test(program, seed):
    unnoticed = dict(ALTERATIONS)
    for number in range(seed, seed + 60):
        with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
            book = live(program, number, folder)
            lines = export(book)
            said = said_by_program(book, lines)
        for name in list(unnoticed):
            for other in altered(lines, unnoticed[name]):
                try:
                    found = differences(other, *said)
                except KeyError:  # no journal that the program could have written
                    continue
                if found and not differences(lines, *said):
                    print(f"seed {number}, {name}: {found[0]}")
                    del unnoticed[name]
                    break
        if not unnoticed:
            return 0
    print("not noticed:", ", ".join(unnoticed))
    return 1


def main():
    options = argparse.ArgumentParser(description=__doc__,
                                      formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--trencher", required=True)
    options.add_argument("--lives", type=int, default=100)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--jobs", type=int, default=1)
    options.add_argument("--shrink", action="store_true")
    options.add_argument("--refusals", action="store_true", help="print what was refused")
    options.add_argument("--self-test", action="store_true")
    given = options.parse_args()
    program = str(pathlib.Path(given.trencher).resolve())
    if given.self_test:
        return self_test(program, given.seed)
    if given.shrink:
        commands = shrink(program, check(program, given.seed)[0])
        show(given.seed, commands, *check(program, given.seed, commands)[1:])
        return 1
    commands, refused, differing, sentences = 0, 0, 0, collections.Counter()
    seeds = range(given.seed, given.seed + given.lives)
    with concurrent.futures.ProcessPoolExecutor(given.jobs) as pool:
        lived = pool.map(check, [program] * len(seeds), seeds)
        for seed, (done, refusals, found) in zip(seeds, lived):
            commands += len(done)
            refused += len(refusals)
            sentences.update(f"{' '.join(words[:2])}: {sentence}" for words, sentence in refusals)
            if found:
                differing += 1
                show(seed, done, refusals, found)
    for sentence, count in sentences.most_common() if given.refusals else []:
        print(count, sentence)
    print(f"{given.lives} lives from seed {given.seed}: {commands} commands, {refused} refused, "
          f"{differing} lives differ")
    if refused * 4 > commands:
        print("Too many commands were refused for the lives to say much.")
        return 1
    return 1 if differing else 0


def show(seed, commands, refusals, found):
    refused = [words for words, _ in refusals]
    print(f"--- seed {seed}")
    for words in commands:
        print(("# refused: " if words in refused else "") + "trencher " + shlex.join(words))
    for difference in found:
        print("DIFFERS", difference)


if __name__ == "__main__":
    sys.exit(main())
