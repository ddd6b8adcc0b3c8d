"""Every command as --help lists it, a call of each that is accepted, and a book that is put back."""

import os
import re
import shutil
import subprocess

from shop import ROOT


def subcommands():
    """Words that a command takes first, as its source says: --help does not list them."""
    found = set()
    for file in (ROOT / "src" / "commands").glob("*.cpp"):
        for words in re.findall(r"choose_if\(\s*\{([^}]*)\}", file.read_text()):
            found.update((file.name, word) for word in re.findall(r'"([a-z-]+)"', words))
    return {word for _, word in found}


def help_of(shop, words):
    return shop.run(*words, "--help").stdout.decode()


def commands(shop):
    """Every command with its options, {words: (writes, [options], [words])}."""
    found = {}

    def walk(words):
        text = help_of(shop, words)
        parts = re.search(r"\n[^\n]*: ([a-z, -]+)\. Each has its own --help", text)
        if parts:
            for part in parts.group(1).split(", "):
                walk(words + (part,))
            return
        usage = text.split("\n")[0]
        positional = re.findall(r" ([A-Z]{2,}(?:…|\|\w+)?|STEP=MINUTES…)", usage[len("trencher ") +
                                                                          len(" ".join(words)):])
        options = re.findall(r"^  (-[-\w]+) \S", text, re.M)
        found[words] = ("--because" in options, options, positional)

    for name in re.findall(r"^  ([a-z-]+) ", help_of(shop, ()), re.M):
        walk((name,))
    for words in SUBCOMMANDS:
        walk(words)
    return found


SUBCOMMANDS = [("worker", "add"), ("place", "add"), ("product", "add", "glue"), ("product", "add", "finish"),
               ("product", "add", "other"), ("product", "change", "glue"), ("product", "change", "finish"),
               ("product", "change", "other"), ("species", "add"), ("statement", "show"),
               ("stall-sheet", "enter"), ("people", "export"), ("recall", "status"), ("recall", "reached"),
               ("recall", "no-answer"), ("recall", "destroyed"), ("recall", "returned"), ("recall", "close"),
               ("workshop", "hours"), ("workshop", "days-off"), ("workshop", "market-days"), ("workshop", "rack"),
               ("workshop", "minutes")]


def bases(s):
    """For each writing command a call that is accepted, without --by: words, then options."""
    first, work, pieces = s.first, s.work, s.first_pieces
    here, ready = s.ready_pieces[0], s.ready
    tin = ["--name", "N", "--supplier", "S", "--lot", "L"]
    out = {
        "start": ["--maker", "M", "--address", "A", "--contact", "c@x.example", "--market", "uk", "--zone",
                  "Europe/London", "--units", "metric", "--country", "GB", "--book", "new.db"],
        "workshop": ["--maker", "M"], "worker": [], "place": [], "product": [],
        "receive wood": ["--species", "hard-maple", "--supplier", "S", "--lot", "L"],
        "receive glue": ["--kind", "pva-d3", *tin], "receive finish": ["--kind", "mineral-oil", *tin],
        "receive other": ["--kind", "rubber-feet", *tin],
        "mix": ["--from", "F1=5ml", "--from", "F3=5ml", "--name", "N"], "open": ["F5"],
        "statement": ["F1", "--about", "ingredients", "--ingredient", "I"],
        "batch": ["--wood", "W1", "--finish", "F1", "--schedule", "oil", "--pieces", "2", "--size", "300x200x20mm",
                  "--use", "cutting-board", "--place", "house", "--for", "N", "--contact", "C"],
        "log glue-up": [s.fresh, "--from", "G2=5ml", "--temp", "19C", "--rh", "50"],
        "log fit": [s.fresh, "--from", "X1", "--what", "W"], "log sand": [s.fresh, "--grit", "120"],
        "log raise-grain": [s.fresh, "--rounds", "1"],
        "log coat": [s.fresh, "--from", "F4=5ml", "--temp", "19C", "--rh", "50"],
        "log scuff": [work, "--grit", "320"], "log inspect": [s.fresh, "--sound", "--what", "W"],
        "log move": [s.fresh, "--to", "Cupboard"], "log reading": ["--place", "house", "--temp", "19C", "--rh", "50"],
        "log rags-done": [work], "log note": [first, "T"], "readings": ["more.csv", "--place", "House"],
        "sign-off": [ready, "--pieces", "3", "--because", "B"],
        "give": [here, "--to", "N", "--contact", "C", "--as", "sale", "--market", "uk", "--because", "B"],
        "photograph": [first, s.folder / "board.jpg"],
        "stall-sheet": ["-o", "s.pdf", "--event", "E", "--on", s.day(1)], "scrap": [here, "--why", "W"],
        "split": [ready, "--pieces", "4", "--schedule", "oil", "--finish", "F1", "--why", "W", "--because", "B"],
        "take-back": [pieces[2], "--place", "House", "--owner-applied", "walnut it seems"],
        "card": [first, "-o", "c.pdf", "--because", "B"],
        "answer": [pieces[1], "--about", "milk", "--ingredient", "I", "--keep"],
        "withdraw": ["F3", "--why", "W"], "recall": ["G1", "-o", "recall", "--risk", "R", "--do", "D"],
        "complaint": [pieces[1], "--severity", "flaw", "--what", "W", "--where", "H"],
        "forget": ["Cy Oakley", "--even-if-recalled"], "correct": [s.coat, "--set", "temp=20C", "--why", "W"],
        "strike": [s.coat, "--why", "W", "--because", "B"], "dealt": [s.complaint2, pieces[1], "--how", "H"],
        "import": ["--csv", s.folder / "old", "--because", "B"], "species": [], "rule": ["add", s.folder / "more.toml"],
        "worker add": ["N"], "place add": ["N"], "product add glue": ["--kind", "pva-d3", "--name", "N", "--supplier",
                                                                     "S"],
        "product add finish": ["--kind", "mineral-oil", "--name", "N", "--supplier", "S"],
        "product add other": ["--kind", "rubber-feet", "--name", "N", "--supplier", "S"],
        "product change finish": ["P1", "--name", "N"], "product change glue": ["P2", "--name", "N"],
        "product change other": ["P3", "--name", "N"],
        "species add": ["own-ash", "--common", "C", "--botanical", "B", "--group", "hardwood", "--source", "S",
                        "--health", "H", "--health-source", "S"],
        "statement show": ["F1"], "stall-sheet enter": [here + "=N/C", "--event", "E", "--market", "uk", "--because",
                                                        "B"],
        "recall status": [s.withdrawal], "recall close": [s.withdrawal, "--why", "W", "--because", "B"],
        "workshop hours": ["mon-fri", "19:00-21:30"], "workshop days-off": [s.day(40)],
        "workshop market-days": [s.day(40), "--name", "N"], "workshop rack": ["12"], "workshop minutes": ["sand=20"],
    }
    for how in ("reached", "no-answer", "destroyed", "returned"):
        out["recall " + how] = [pieces[3 if how != "returned" else 2], "--of", s.withdrawal, "--how", "H"]
    return {tuple(name.split()): [str(word) for word in words] for name, words in out.items()}


class Bench:
    """A shop whose book is put back after each call that changed it."""

    def __init__(self, shop):
        self.shop = shop
        self.kept = shop.book.read_bytes()
        self.stamp = self.now()
        self.files = set(os.listdir(shop.folder))

    def call(self, words):
        raw = [word if isinstance(word, bytes) else str(word).encode() for word in words]
        return subprocess.run([self.shop.program.encode(), *raw], capture_output=True, env=self.shop.env,
                              cwd=self.shop.folder, stdin=subprocess.DEVNULL, timeout=60)

    def now(self):
        there = self.shop.book.stat()
        return there.st_mtime_ns, there.st_size, there.st_ino

    def untouched(self):
        return self.now() == self.stamp or self.shop.book.read_bytes() == self.kept

    def again(self):
        if not self.untouched():
            self.shop.book.write_bytes(self.kept)
            self.stamp = self.now()
        for name in set(os.listdir(self.shop.folder)) - self.files:
            path = self.shop.folder / name
            shutil.rmtree(path) if path.is_dir() and not path.is_symlink() else path.unlink()

    def new_names(self):
        return set(os.listdir(self.shop.folder)) - self.files


def with_option(base, option, value):
    """`base` with that option set to `value`, in the one word that takes any beginning."""
    words = list(base)
    while option in words:
        at = words.index(option)
        del words[at:at + 2]
    text = value if isinstance(value, bytes) else value.encode()
    joint = b"=" if option.startswith("--") else b""
    return words + [option.encode() + joint + text]


# A hostile text is only a beginning of what these take; it is put where it belongs in it.
SHAPED = {("correct", "--set"): b"temp="}
