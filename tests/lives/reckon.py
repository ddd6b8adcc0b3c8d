"""Reckons what the program should say of a book, slowly and from the exported JSON Lines alone.

It shares no code with the program and asks it nothing. Formulas: the project's notes on curing and
the rules in docs/book-format.md; the kinds' natural contents and the lists of allergens come from
schema/reference. Times are seconds since 1970, waits seconds, temperatures degrees Celsius."""

import csv
import json
import pathlib
from datetime import datetime

from cure import STEPS, Air, Cure, Way

SCHEMA = pathlib.Path(__file__).resolve().parents[2] / "schema/reference"
ANIMAL = "animal-material"
# Which topics the phrases that the lives put on a paper's list of ingredients speak of, by hand.
PHRASES = {"refined walnut oil": {"tree-nut-walnut", "tree-nut"}, "casein": {"milk", ANIMAL},
           "beeswax": {"bee-product", ANIMAL}, "oyster shell": {"molluscs", ANIMAL},
           "raw linseed oil": {"linseed"}, "epoxy resin": {"epoxy"}, "rubber": {"latex"},
           "white mineral oil": set(), "water": set()}


def seconds(text):
    return int(datetime.fromisoformat(text.replace("Z", "+00:00")).timestamp())


def table(name):
    with open(SCHEMA / name, newline="", encoding="utf-8") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


def piece_code(batch, number):
    """With the two check digits of ISO/IEC 7064 MOD 97-10."""
    digits = int(f"{batch.replace('-', '')}{number:02}")
    return f"{batch}-{number:02}-{98 - digits * 100 % 97:02}"


class Entry:
    def __init__(self, number, at, kind, body):
        self.number, self.at, self.kind, self.body = number, at, kind, body

    def names(self, piece):
        return not self.body.get("pieces") or piece in self.body["pieces"]


def effective(lines):
    """The entries that count, each with the body and the time that count."""
    rows = [row for row in map(json.loads, lines) if "kind" in row]
    bodies = {row["number"]: json.loads(row["body"]) for row in rows}
    struck, corrected = set(), {}
    for row in reversed(rows):  # what amends stands behind what it amends
        number, body = row["number"], bodies[row["number"]]
        if number in struck:
            continue
        if row["kind"] == "strike":
            struck.add(body["entry"])
        elif row["kind"] == "correction":
            corrected.setdefault(body["entry"], body)
    out = []
    for row in rows:
        if row["number"] in struck or row["kind"] in ("strike", "correction"):
            continue
        mended = corrected.get(row["number"], {})
        at = seconds(mended.get("happened_at", row["happened_at"]))
        out.append(Entry(row["number"], at, row["kind"], mended.get("body", bodies[row["number"]])))
    return out


class Book:
    def __init__(self, lines):
        self.entries = effective(lines)
        self.finishes, self.allergens = table("finishes.csv"), table("allergens.csv")
        self.batches = {e.body["batch"]: e for e in self.of("batch")}
        self.mixes = {e.body["tin"]: e.body for e in self.of("mix")}
        self.products = {(e.body["product"], e.body.get("version", 1)): e.body
                         for e in self.of("product")}
        self.tins = {e.body["tin"]: self.laid_over(e.body) for e in self.of("tin")}
        self.air = Air(self)

    def of(self, *kinds):
        return [e for e in self.entries if e.kind in kinds]

    def laid_over(self, tin):
        """A tin with its own figures over those of its version of the product."""
        product = self.products.get((tin.get("product"), tin.get("product_version", 1)))
        if not product:
            return tin
        label = dict(product["label"])
        for name, figure in tin["label"].items():
            if isinstance(figure, dict) and (figure["from"] == "label" or name not in label):
                label[name] = figure
        least, most = label.get("recoat_min_s"), label.get("recoat_max_s")
        # A usual longest wait says nothing beside a longer shortest one.
        if least and most and most["from"] == "usual" and most["value"] < least["value"]:
            del label["recoat_max_s"]
        nature = {k: product.get(k) for k in ("kind", "contains", "animal_origin")}
        return {**tin, **nature, "label": label}

    def sources(self, tin):
        """The received tins that a tin comes from: itself, or those of the mix at any depth."""
        if tin not in self.mixes:
            return [tin]
        out = []
        for part in self.mixes[tin]["drawn"]:
            out += [s for s in self.sources(part["tin"]) if s not in out]
        return out

    def on_the_way(self, tin):
        """The tin, and every tin under it, mixes too."""
        parts = self.mixes.get(tin, {}).get("drawn", [])
        return {tin}.union(*(self.on_the_way(part["tin"]) for part in parts))

    def story(self, batch, piece):
        """What happened to one piece, in order."""
        told = self.of(*STEPS, "split", "take-back", "give")
        mine = [e for e in told if e.body["batch"] == batch and e.names(piece)]
        return sorted(mine, key=lambda e: (e.at, e.number))


# ---- Dates

class Piece:
    """One piece's history against its plan, and the dates that follow; `now` is the clock."""

    def __init__(self, book, batch, number, now):
        self.book, self.now = book, now
        self.batch = book.batches[batch].body
        self.story = book.story(batch, number)
        self.way = Way(book, batch, self.story)
        self.glue_ups, self.fitted, self.coats = [], [], []
        self.scuffed, self.returned, self.owner_unknown = False, False, False
        self.plan_by(self.batch["schedule"], self.batch.get("finish", []))
        for e in self.story:
            self.tell(e)

    def plan_by(self, schedule, finish):
        self.finish, self.plan, self.counts_usual = finish, [], False
        for step in (schedule or {"steps": [{"step": "coat", "slot": 1, "count": 1}]})["steps"]:
            if step["step"] == "coat":
                slot = step.get("slot", 0)
                self.plan += [slot] * (step.get("count") or self.coats_by_label(slot))

    def coats_by_label(self, slot):
        figures = [self.book.tins[s]["label"].get("coats") for s in self.sources_of(slot)]
        known = [figure for figure in figures if figure]
        mixed = self.tin_of(slot) in self.book.mixes
        if not known or mixed or known[0]["from"] == "usual":
            self.counts_usual = True
        return max([figure["value"] for figure in known], default=1)

    def tin_of(self, slot):
        return self.finish[slot - 1] if 0 < slot <= len(self.finish) else None

    def sources_of(self, slot):
        return self.book.sources(self.tin_of(slot)) if self.tin_of(slot) else []

    def tell(self, e):
        drawn = [part["tin"] for part in e.body.get("drawn", [])]
        every = lambda tins: [(e.at, source) for tin in tins for source in self.book.sources(tin)]
        other = lambda use: self.book.tins[use[1]]["stock"] == "other"
        # What is no finish or glue, in a coat say, waits for nothing but its own full cure.
        uses = lambda tins: [use for use in every(tins) if not other(use)]
        self.fitted += [use for use in every(drawn) if other(use)]
        if e.kind == "coat":
            slot = self.plan[0] if self.plan else 1
            if self.tin_of(slot) not in drawn:
                others = [n + 1 for n, tin in enumerate(self.finish) if tin in drawn]
                slot = others[0] if others else slot
            if slot in self.plan:
                self.plan.remove(slot)
            self.coats.append(uses(drawn or self.sources_of(slot)))
            self.scuffed = self.returned = False
        elif e.kind == "glue-up":
            self.glue_ups += uses(drawn or self.batch.get("glue", []))
        elif e.kind == "fit":
            self.fitted += uses(drawn)
        elif e.kind in ("scuff", "sand"):
            self.scuffed = bool(self.coats)
        elif e.kind == "split":
            self.plan_by(e.body["schedule"], e.body.get("finish", []))
        elif e.kind == "take-back" and not e.body.get("unused"):
            self.plan_by(e.body.get("schedule"), e.body.get("finish", []))
            self.returned = True
            self.scuffed = False
            self.owner_unknown |= e.body.get("owner_applied") != "nothing"

    def dates(self):
        """By name: (moment or None, guessed); guessed is None where two waits end together."""
        out = {}
        if self.batch.get("glue") or self.glue_ups:
            out["clamps-off"] = self.decide(waits(self.glue_ups, "clamp_s"))
            out["flatten"] = self.decide(waits(self.glue_ups, "full_cure_s"))
        if self.plan and not self.coats:
            out["next-coat"] = self.decide(waits(self.glue_ups, "full_cure_s"))
        elif self.plan:
            due = self.decide(waits(self.coats[-1], "recoat_min_s"))
            out["next-coat"] = surely(due, self.counts_usual)
            limits = [wait for wait in waits(self.coats[-1], "recoat_max_s")
                      if "recoat_max_s" in self.label(wait[1])]
            if limits and not self.scuffed:
                by = self.decide(limits, longest=True)
                out["next-coat-by"] = surely(by, self.counts_usual)
        to_come = self.project() if self.coats else []
        for name in ("handle", "pack", "food-contact"):
            out[name] = None, False
            if not self.coats or self.returned or to_come is None:
                continue
            asked = [wait for coat in self.coats + to_come
                     for wait in waits(coat, name.replace("-", "_") + "_s")]
            if name == "food-contact":
                asked += self.glue_and_fittings()
            unsure = bool(self.plan) or (name == "food-contact" and self.owner_unknown)
            out[name] = surely(self.decide(asked), unsure)
        return out

    def glue_and_fittings(self):
        out = waits(self.glue_ups, "full_cure_s")
        if not out:  # it must have been glued before the first coat
            first = self.coats[0][0][0]
            out = waits([(first, source) for tin in self.batch.get("glue", [])
                         for source in self.book.sources(tin)], "full_cure_s", True)
        return out + [wait for wait in waits(self.fitted, "full_cure_s")
                      if self.label(wait[1])["mechanism"] != "none"]

    def label(self, tin):
        return self.book.tins[tin]["label"]

    def project(self):
        """The coats to come, each as soon as it is due; None where one has no date."""
        out, last = [], self.coats[-1]
        for slot in self.plan:
            due, _ = self.decide(waits(last, "recoat_min_s"))
            if due is None or not self.tin_of(slot):
                return None
            last = [(max(due, self.now), source) for source in self.sources_of(slot)]
            out.append(last)
        return out

    def decide(self, asked, longest=False):
        """The last wait to end, or of longest waits the first. A date is a guess where the wait
        that decides is a usual one, or its air guessed, or where a wait in guessed air is not
        proved over by readings alone. No date where any of them has none."""
        ends = []  # of each wait: when, whether a guess if it decides, those that went by a guess
        for start, tin, field, assumed in asked:
            figure, cure = self.label(tin).get(field), Cure(self.label(tin))
            if not figure:
                return None, False
            end, by_guess = cure.reached(self.way, start, figure["value"], longest)
            if end is None:
                return None, False
            unproved = by_guess and (cure, start, figure["value"])
            ends.append((end, assumed or by_guess or figure["from"] == "usual", unproved))
        if not ends:
            return None, False
        at = (min if longest else max)(end for end, _, _ in ends)
        for cure, start, wait in [unproved for _, _, unproved in ends if unproved]:
            if longest or cure.by_readings(self.way, start, at) < wait:
                return at, True
        deciding = {guess for end, guess, _ in ends if abs(end - at) < 2}
        return at, deciding.pop() if len(deciding) == 1 else None


def waits(uses, field, assumed=False):
    """(start, tin, figure of the label, whether the start is assumed)"""
    return [(start, tin, field, assumed) for start, tin in uses]


def surely(date, guess):
    """The date, marked as guessed where `guess` says so for certain."""
    return (date[0], True) if guess else date


# ---- Contents

def topic(book, about):
    """Ids that are the topic, ids of its family, ids whose 'none of these' covers it."""
    if about == ANIMAL:
        whole = {ANIMAL, "animal-derived"}
        from_animals = {i for i, row in book.allergens.items() if row["animal"] == "yes"}
        return whole | from_animals, set(), whole
    parent = {book.allergens[about]["parent"]} - {""}
    members = {i for i, row in book.allergens.items() if row["parent"] == about}
    return {about} | members, parent, {about} | parent


def would_list(book, statement, about):
    """Whether a complete list of this kind would have to name the topic."""
    if not statement.get("complete"):
        return False
    if statement["about"] == "ingredients":
        return True
    if statement["about"] != "allergens" or about == ANIMAL:
        return False
    market = statement.get("market", "")
    market = "eu" if market == "de" else market.split("-")[0]
    markets = [market] if market else ["us", "eu", "uk", "ca", "anz"]
    return all(book.allergens[about][m] == "listed" for m in markets)


def tin_answer(book, tin_id, about):
    within, wider, denied_by = topic(book, about)
    tin = book.tins[tin_id]
    said = [e.body for e in book.of("statement") if e.body["subject"] == tin_id or (
        e.body["subject"] == tin.get("product") and
        e.body.get("version", 1) == tin.get("product_version", 1))]
    named = set(tin.get("contains") or []).union(*(s.get("contains", []) for s in said))
    if named & within or (about == ANIMAL and tin.get("animal_origin") == "yes"):
        return "contains"
    family_only = bool(named & wider)
    denying = {about} if family_only else denied_by
    if any(denying & set(s.get("declares_none", [])) for s in said):
        return "absent"
    lists = [s for s in said if would_list(book, s, about)]
    hinted = any(about in PHRASES[text] for s in lists for text in s.get("ingredients", []))
    return "absent" if lists and not hinted and not family_only else "open"


def answer(book, batch, number, about):
    within, wider, _ = topic(book, about)
    story = book.story(batch, number)
    used = [e for e in story if e.kind in ("glue-up", "coat", "fit")]
    tins = {s for e in used for part in e.body.get("drawn", []) for s in book.sources(part["tin"])}
    verdicts = {tin_answer(book, tin, about) for tin in tins}
    open_points = "open" in verdicts or not tins
    if book.batches[batch].body.get("glue") and not any(e.kind == "glue-up" for e in used):
        open_points = True
    open_points |= any(e.kind == "fit" and not e.body.get("drawn") for e in used)
    for e in story:
        if e.kind != "take-back" or e.body.get("unused"):
            continue
        applied = e.body.get("owner_applied")
        kind = book.finishes.get(applied)
        if kind:
            nature = set(kind["contains"].split(";"))
            if nature & within or (about == ANIMAL and kind["animal_origin"] == "yes"):
                verdicts.add("contains")
        open_points = True  # whatever its owner says, it lay in another kitchen
    shared = cross_contact(book, book.batches[batch].at, story)
    open_points |= shared is None or bool(shared & (within | wider))
    return "contains" if "contains" in verdicts else "not known" if open_points else "none recorded"


def cross_contact(book, begun, story):
    """What shared rags and brushes touched while the piece was in work, None where nobody said:
    what was declared when the batch was begun and until the last step; failing that, afterwards
    first."""
    last = max([begun] + [e.at for e in story if e.kind in STEPS])
    said = sorted((e.at, e.number, e.body["cross_contact"]) for e in book.of("workshop")
                  if "cross_contact" in e.body)
    before = [ids for at, _, ids in said if at <= begun][-1:]
    during = [ids for at, _, ids in said if begun < at <= last]
    counting = before + during or [ids for _, _, ids in said][:1]
    return set().union(*counting) if counting else None


# ---- Traces

def before(book, batch, number):
    """Ids of the lots, tins and products that reach a piece."""
    out = set(book.batches[batch].body["wood"])
    for e in book.story(batch, number):
        if e.kind in ("glue-up", "coat", "fit"):
            for part in e.body.get("drawn", []):
                out |= book.on_the_way(part["tin"])
    return out | {book.tins[i]["product"] for i in out if book.tins.get(i, {}).get("product")}


def after(book, batch, number):
    """Entries by which a piece left or came back."""
    return {e.number for e in book.story(batch, number) if e.kind in ("give", "take-back")}


def pieces(book):
    return [(code, number) for code, e in book.batches.items()
            for number in range(1, e.body["pieces"] + 1)]


def is_scrapped(book, batch, number):
    return any(e.body["batch"] == batch and e.names(number) for e in book.of("scrap"))


def reached_by(book, tin):
    """Codes of the pieces that hold something out of the tin."""
    return {piece_code(code, number) for code, number in pieces(book)
            if tin in before(book, code, number)}
