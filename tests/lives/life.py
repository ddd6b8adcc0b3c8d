"""Makes a random life of a workshop's book by running the program's commands.

What happens is drawn from one random generator, so that a seed gives the same life again. A life
remembers only what a maker would: which ids the program gave out, and which pieces are still here.
A command that the program refuses (status 2) is passed over; it must have written nothing."""

import json
import random
import sqlite3
import subprocess
import tomllib
from datetime import datetime, timedelta

from reckon import PHRASES, SCHEMA, table

FINISHES, GLUES, OTHERS = table("finishes.csv"), table("glues.csv"), table("others.csv")
SCHEDULES = [tomllib.loads(path.read_text(encoding="utf-8"))
             for path in sorted((SCHEMA.parent / "schedules").glob("*.toml"))]
TOPICS = ("tree-nut", "tree-nut-walnut", "tree-nut-pine", "milk", "bee-product", "linseed",
          "animal-material", "latex", "molluscs", "epoxy")
PLACES = ("Workshop", "Garage")  # the first is there from the start
NAMED = {"tree-nut-walnut": "refined walnut oil", "bee-product": "beeswax", "milk": "casein"}
# Label values never fall on a kind's usual ones, so that two waits seldom end together.
WAITS = {"--recoat-after": ("7h", "13h", "29h"), "--recoat-before": ("50h", "90h"),
         "--handle-after": ("11h", "31h", "55h"), "--pack-after": ("4d", "9d", "17d"),
         "--food-contact-after": ("5d", "12d", "25d"), "--coats": ("1", "2", "3"),
         "--label-temp": ("18C", "23C"), "--label-rh": ("40", "60"), "--lowest-temp": ("8C", "14C")}
LABELS = {"finish": WAITS, "other": {"--full-cure": ("50h", "100h")},
          "glue": {"--clamp": ("2h", "5h"), "--full-cure": ("19h", "33h"),
                   "--lowest-temp": ("7C", "13C")}}
KINDS = {"finish": FINISHES, "glue": GLUES, "other": OTHERS}


def logger_file(name):
    """A logger's readings over some days; all follows from the file's name, START_DAYS.csv."""
    start, days = name.removesuffix(".csv").split("_")
    dice, at = random.Random(name), datetime.strptime(start, "%Y%m%d%H%M")
    end, rows = at + timedelta(days=int(days)), ["time,temperature C,humidity"]
    middle = dice.choice((12, 18, 22))
    while at < end:
        temp, humidity = middle + dice.randrange(-60, 60) / 10, dice.randrange(35, 80)
        rows.append(f"{at:%Y-%m-%d %H:%M},{temp},{humidity}")
        at += timedelta(minutes=dice.randrange(200, 1200))
    return "\n".join(rows) + "\n"


class Broken(Exception):
    """The program did what no command may do: it crashed, or refused and wrote all the same."""


class Book:
    """Runs commands on one book and counts its entries."""

    def __init__(self, program, folder):
        self.program, self.folder, self.path = program, folder, f"{folder}/book.db"
        self.commands, self.refusals, self.count = [], [], 0

    def run(self, *words):
        if words[0] == "readings":
            with open(f"{self.folder}/{words[1]}", "w", encoding="utf-8") as file:
                file.write(logger_file(words[1]))
        return subprocess.run([self.program, *words, "--book", self.path, "--json"],
                              capture_output=True, text=True, timeout=60, check=False,
                              cwd=self.folder)

    def entries(self):
        with sqlite3.connect(f"file:{self.path}?mode=ro", uri=True) as raw:
            count = raw.execute("SELECT count(*) FROM entry").fetchone()[0]
        raw.close()
        return count

    def write(self, *words):
        """The command's JSON; None where it was refused."""
        self.commands.append(words)
        done = self.run(*words)
        count, before = self.entries(), self.count
        self.count = count
        if done.returncode in (0, 1):
            said = json.loads(done.stdout)
            if count <= before and said["entry"] is not None:
                raise Broken(f"status {done.returncode}, but nothing was written: {words}")
            return said
        if done.returncode != 2:
            raise Broken(f"status {done.returncode} of {words}: {done.stderr}")
        if count != before:
            raise Broken(f"refused, but {count - before} entries were written: {words}")
        self.refusals.append((words, done.stderr.strip()))
        return None


class Life:
    def __init__(self, book, seed):
        self.book, self.dice = book, random.Random(seed)
        self.clock = datetime(2024, 1, 8) + timedelta(minutes=self.dice.randrange(700000))
        self.tins = {"finish": [], "glue": [], "other": []}
        self.products, self.batches, self.entries = [], [], []
        self.kinds, self.mixed = {}, []
        self.theme = self.dice.choice(("coats", "mixes", "ways", "papers", "mends", "labels"))
        self.careful = self.chance(0.5)  # copies whole labels, asks for papers, keeps a logger

    # ---- Small helps

    def chance(self, share):
        return self.dice.random() < share

    def wait(self, hours):
        self.clock += timedelta(minutes=self.dice.randrange(7, int(hours * 60)))

    def do(self, *words, what=None):
        at = self.clock
        if words[0] not in ("start", "batch") and what != "glue-up" and self.chance(0.05):
            at -= timedelta(minutes=self.dice.randrange(3000))  # entered late
        said = self.book.write(*map(str, words), "--at", f"{at:%Y-%m-%d %H:%M}")
        if said and said["entry"]:
            self.entries.append((said["entry"], what or words[0]))
        self.wait(3)
        return said

    def some(self, options, share=0.4):
        words = []
        for name, values in options.items():
            if self.chance(share):
                words += [name, self.dice.choice(values)]
        return words

    def copied(self):
        return 0.85 if self.careful else 0.3

    def air(self):
        temp = self.dice.choice((5, 9, 12, 14.5, 17, 19, 20, 21, 22.5, 26, 31))
        rh = self.dice.choice((28, 41, 50, 56, 63, 68, 74, 83, 91, 96))
        return ["--temp", f"{temp}C"] + (["--rh", str(rh)] if self.chance(0.8) else [])

    def maybe_air(self, share):
        return self.air() if self.chance(share) else []

    def here(self, batch):
        return [n for n in range(1, batch["pieces"] + 1) if n not in batch["gone"]]

    def target(self, batch):
        """Words that name the batch, some of its pieces, or one piece by its code."""
        here = self.here(batch)
        if not here:
            return [batch["code"]]
        if self.chance(0.25):
            return [batch["codes"][self.dice.choice(here) - 1]]
        if self.chance(0.4) or len(here) < batch["pieces"]:
            chosen = sorted(self.dice.sample(here, self.dice.randint(1, len(here))))
            return [batch["code"], "--pieces", ",".join(map(str, chosen))]
        return [batch["code"]]

    # ---- What comes in

    def receive(self, stock, kind=None):
        kind = kind or self.dice.choice(list(KINDS[stock]))
        figures = LABELS[stock]
        words = ["--supplier", "Example Supply", "--lot", f"L{self.dice.randrange(999)}"]
        product = None
        if self.chance(0.6 if self.theme == "labels" else 0.2):
            of_kind = [p for p in self.products if p[1:] == (stock, kind)]
            if not of_kind:
                said = self.do("product", "add", stock, "--kind", kind, "--name", kind,
                               *self.some(figures, self.copied()))
                of_kind = [(said["id"], stock, kind)] if said else []
                self.products += of_kind
            product = of_kind[0] if of_kind else None
        words += ["--product", product[0]] if product else ["--kind", kind, "--name", kind]
        words += self.some(figures, 0.1 if product else self.copied())
        said = self.do("receive", stock, *words, what="tin")
        if said:
            self.tins[stock].append(said["id"])
            self.kinds[said["id"]] = kind
            if self.careful and self.chance(0.7):
                subject = product[0] if product else said["id"]
                self.do("statement", subject, "--about", "ingredients", "--ingredient", "water",
                        "--complete", what="statement")

    def slot_tins(self, schedule):
        """For each slot of a schedule a tin of a kind that fits, one that is there or a new one."""
        out = []
        for slot in schedule["slot"]:
            fit = [k for k, row in FINISHES.items() if row["mechanism"] in slot["mechanisms"]]
            there = [t for t in self.tins["finish"] if self.kinds.get(t) in fit]
            while not there or self.chance(0.3):
                self.receive("finish", self.dice.choice(fit))
                there = [t for t in self.tins["finish"] if self.kinds.get(t) in fit]
            out.append(self.dice.choice(there))
        return [word for tin in out for word in ("--finish", tin)]

    def begin(self):
        self.do("start", "--maker", "Example Bench", "--address", "1 Example Lane", "--contact",
                "bench@example.org", "--market", "us", "--market", "eu", "--zone", "UTC",
                "--units", "metric")
        self.do("place", "add", PLACES[1], *self.maybe_air(0.5), what="place")
        if self.chance(0.5):
            self.declare()
        self.do("receive", "wood", "--species", "hard-maple", "--supplier", "Example Timber",
                "--lot", "T1")
        if self.chance(0.8):
            self.receive("glue")
        if self.chance(0.5):
            self.receive("other")
        self.make_batch()

    def make_batch(self):
        schedule = self.dice.choice(SCHEDULES)
        glue = ["--glue", self.tins["glue"][-1]] if self.tins["glue"] else []
        pieces = self.dice.randint(1, 3)
        finish = self.slot_tins(schedule)
        said = self.do("batch", "--wood", "W1", *glue, *finish, "--schedule", schedule["id"],
                       "--pieces", pieces, "--size", "400x250x22mm", "--use", "serving-board",
                       "--place", self.dice.choice(PLACES))
        if said:
            self.batches.append({"code": said["id"], "codes": said["pieces"], "pieces": pieces,
                                 "gone": set()})
            if glue:
                more = self.some({"--from": self.tins["glue"]}, 0.3) + self.maybe_air(0.5)
                self.do("log", "glue-up", said["id"], *more, "--because", "known", what="glue-up")

    # ---- What happens later

    def reading(self):
        if self.chance(0.2):
            self.logger(self.dice.randrange(2, 20), self.dice.choice(PLACES))
            return
        place = self.dice.choice(PLACES)
        for _ in range(self.dice.randint(1, 3)):
            self.do("log", "reading", "--place", place, *self.air(), what="readings")
            self.wait(30)

    def logger(self, days, place):
        start = self.clock - timedelta(days=days)
        self.do("readings", f"{start:%Y%m%d%H%M}_{days}.csv", "--place", place)

    def declare(self):
        self.do("place", "add", self.dice.choice(PLACES), *self.air(), what="place")

    def statement(self):
        subject = self.dice.choice(sum(self.tins.values(), []) + [p[0] for p in self.products])
        about = self.dice.choice(("ingredients", "allergens"))
        ids = [t for t in TOPICS if t != "animal-material"] + ["animal-derived"]
        words = []
        if self.chance(0.3):
            words += ["--contains", self.dice.choice(ids)]
        if self.chance(0.5):
            words += ["--declares-none", ",".join(self.dice.sample(ids, self.dice.randint(1, 6)))]
        if about == "ingredients":
            for text in self.dice.sample(sorted(PHRASES), self.dice.randint(1, 3)):
                words += ["--ingredient", text]
        words += ["--complete"] if self.chance(0.5) else []
        words += ["--market", self.dice.choice(("us", "eu", "de"))] if self.chance(0.3) else []
        self.do("statement", subject, "--about", about, *words, what="statement")

    def cross_contact(self):
        said = ["--no-cross-contact"] if self.chance(0.7) else [
            "--cross-contact", self.dice.choice(("tree-nut-walnut", "milk", "linseed"))]
        self.do("workshop", *said)

    def mix(self):
        stock = self.dice.choice(("finish", "finish", "glue", "other"))
        pool = list(self.tins[stock])
        if self.chance(0.15):
            pool += self.tins["other"]
        while len(pool) < 2:
            self.receive(stock)
            pool = list(self.tins[stock])
        words = []
        for tin in self.dice.sample(pool, min(len(pool), self.dice.randint(2, 3))):
            words += ["--from", f"{tin}={self.dice.choice(('50ml', '20g', '5ml'))}"]
        said = self.do("mix", *words, "--name", "Mixed")
        if said:
            made = {"F": "finish", "G": "glue", "X": "other"}[said["id"][0]]
            self.tins[made].append(said["id"])
            self.mixed.append(said["id"])

    def open_tin(self):
        self.do("open", self.dice.choice(sum(self.tins.values(), [])))

    def another_tin(self):
        if self.products and self.chance(0.6):
            product, stock, kind = self.dice.choice(self.products)
            self.do("product", "change", stock, product, *self.some(LABELS[stock], 0.6))
            self.receive(stock, kind)
        else:
            self.receive(self.dice.choice(("finish", "finish", "glue", "other")))

    def step(self, kind, *more, target=None):
        batch = self.dice.choice(self.batches)
        target = target or self.target(batch)
        self.do("log", kind, *target, *more, "--because", "known", what=kind)

    def drawn(self, tins, least):
        chosen = self.dice.sample(tins, min(len(tins), self.dice.randint(least, 2)))
        there = [tin for tin in tins if tin in self.mixed]
        if there and self.chance(0.7):
            chosen = list({*chosen[1:], self.dice.choice(there)})
        return [word for tin in chosen for word in ("--from", tin)]

    def coat(self, target=None):
        tins = self.drawn(self.tins["finish"], 1) if self.mixed or self.chance(0.5) else []
        self.step("coat", *tins, *self.maybe_air(0.4), target=target)
        self.wait(60)

    def prepare(self):
        kind = self.dice.choice(("sand", "raise-grain", "scuff", "scuff", "inspect"))
        self.step(kind, *(["--sound"] if kind == "inspect" else []))

    def move(self):
        self.step("move", "--to", self.dice.choice(PLACES))

    def fit(self):
        parts = self.drawn(self.tins["other"] + self.tins["glue"], 0)
        self.step("fit", "--what", "four feet", *parts)

    def split(self):
        batch, schedule = self.dice.choice(self.batches), self.dice.choice(SCHEDULES)
        if self.here(batch):
            code = batch["codes"][self.dice.choice(self.here(batch)) - 1]
            if self.chance(0.4):
                self.coat([code])
            self.do("split", code, "--schedule", schedule["id"], *self.slot_tins(schedule))
            if self.chance(0.6):
                self.coat([code])

    def scrap(self):
        batch = self.dice.choice(self.batches)
        if len(self.here(batch)) > 1:
            piece = self.dice.choice(self.here(batch))
            if self.do("scrap", batch["codes"][piece - 1], "--why", "cracked"):
                batch["gone"].add(piece)

    def leave(self):
        """Signed off, given away and, more often than in life, taken back."""
        batch = self.dice.choice(self.batches)
        if not self.here(batch):
            return
        piece = self.dice.choice(self.here(batch))
        code = batch["codes"][piece - 1]
        if not any(what == "coat" for _, what in self.entries) or self.chance(0.3):
            self.coat([code])
        self.do("sign-off", code, "--because", "known")
        if not self.do("give", code, "--to", "Ada Example", "--as", "gift", "--market", "us"):
            return
        batch["gone"].add(piece)
        self.wait(900)
        if self.chance(0.75):
            words = [code, "--place", self.dice.choice(PLACES)]
            if self.chance(0.25):
                words.append("--unused")
            else:
                applied = ("nothing", "walnut-oil", "beeswax", "some oil")
                words += self.some({"--owner-applied": applied}, 0.7)
                if self.chance(0.5):
                    schedule = self.dice.choice(SCHEDULES)
                    words += ["--schedule", schedule["id"], *self.slot_tins(schedule)]
            if self.do("take-back", *words):
                batch["gone"].discard(piece)
                if self.chance(0.5):
                    self.coat([code])

    def correct(self):
        tins, temps = self.tins["finish"], ("8C", "16C", "24C")
        fields = {
            "coat": {"temp": temps, "pieces": ("1", "1-2", ""),
                     "from": [",".join(tins[:2]), *tins]},
            "glue-up": {"temp": temps, "rh": ("45", "80")},
            "readings": {"temp": temps, "rh": ("30", "77", "")},
            "tin": {"recoat-after": ("8h", "35h"), "food-contact-after": ("6d", "40d"),
                    "full-cure": ("60h",),
                    "kind": ("walnut-oil", "mineral-oil", "pva-d3", "epoxy", "shell-inlay")},
            "place": {"temp": temps}, "move": {"to": PLACES}, "scuff": {"pieces": ("1",)},
            "statement": {"contains": ("milk", "tree-nut", ""),
                          "declares-none": ("linseed,epoxy", "tree-nut")},
            "batch": {"place": PLACES, "wood": ("W1",)}}
        able = [(entry, what) for entry, what in self.entries if what in fields]
        if not able:
            return
        entry, what = self.dice.choice(able)
        field, values = self.dice.choice(sorted(fields[what].items()))
        words = ["--set", f"{field}={self.dice.choice(values)}"]
        if self.chance(0.25):
            at = self.clock - timedelta(minutes=self.dice.randrange(6000))
            words = ["--happened", f"{at:%Y-%m-%d %H:%M}"]
        self.do("correct", entry, *words, "--why", "misread", what="correction")

    def strike(self):
        kinds = ("coat", "scuff", "move", "readings", "statement", "correction", "place", "glue-up",
                 "fit", "split", "strike", "workshop", "mix")
        able = [entry for entry, what in self.entries if what in kinds and entry > 3]
        if able:
            self.do("strike", self.dice.choice(able), "--why", "entered twice")

    def live(self):
        self.begin()
        if not self.batches:
            return
        if self.chance(0.2):
            self.make_batch()
        if self.chance(0.6):
            self.cross_contact()
        likely = {self.coat: 5, self.prepare: 1, self.reading: 3, self.declare: 0.7,
                  self.statement: 1, self.mix: 0.5, self.another_tin: 0.5, self.open_tin: 0.3,
                  self.move: 1, self.fit: 0.7, self.split: 0.5, self.scrap: 0.3, self.leave: 0.5,
                  self.correct: 1, self.strike: 0.5, self.cross_contact: 0.3}
        more = {"coats": (self.coat, self.prepare), "mixes": (self.mix, self.coat, self.fit),
                "ways": (self.split, self.leave, self.move), "labels": (self.another_tin,),
                "mends": (self.correct, self.strike), "papers": (self.statement,)}
        for action in more[self.theme]:
            likely[action] += 4
        most = len(self.book.commands) + self.dice.randint(8, 16)
        while len(self.book.commands) < most:
            self.dice.choices(list(likely), list(likely.values()))[0]()
            self.wait(40)
        if self.careful:
            self.clock += timedelta(days=25)
            for place in PLACES:
                self.logger(50, place)
