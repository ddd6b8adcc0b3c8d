"""A book with one of nearly everything in it, made through the public commands. All of it is invented."""

import json
import subprocess
from datetime import datetime, timedelta
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
JPEG = ROOT / "docs" / "demo-board.jpg"
LANGUAGES = ("en", "de", "fr", "es")


class Shop:
    """One book and its folder. `run` calls the program; `enter` also reads its JSON."""

    def __init__(self, program, folder, zone="Europe/London"):
        self.program = str(program)
        self.folder = Path(folder)
        self.book = self.folder / "book.db"
        self.env = {"PATH": "/usr/bin:/bin", "HOME": str(folder), "TZ": zone, "LC_ALL": "C.UTF-8",
                    "TRENCHER_BOOK": str(self.book)}
        self.started = datetime.now()

    def ago(self, days, time="10:00"):
        return (self.started - timedelta(days=days)).strftime("%Y-%m-%d ") + time

    def day(self, days):
        return (self.started + timedelta(days=days)).strftime("%Y-%m-%d")

    def run(self, *words, **more):
        return subprocess.run([self.program, *map(str, words)], capture_output=True, env=self.env,
                              cwd=self.folder, stdin=subprocess.DEVNULL, timeout=120, **more)

    def enter(self, *words):
        done = self.run(*words, "--json")
        if done.returncode > 1:
            raise AssertionError("%s: %s" % (" ".join(map(str, words)), done.stderr.decode()))
        return json.loads(done.stdout)

    def id(self, *words):
        return self.enter(*words)["id"]

    def entry(self, *words):
        return self.enter(*words)["entry"]

    def pieces(self, batch):
        found = {}

        def look(value):
            if isinstance(value, dict):
                if str(value.get("id", "")).startswith(batch + "-"):
                    found[value["id"]] = True
                for member in value.values():
                    look(member)
            elif isinstance(value, list):
                for member in value:
                    look(member)

        look(json.loads(self.run("trace", batch, "--json").stdout))
        return sorted(found)


def stock(shop):
    """A workshop with wood, glue, finishes, a product, a mix, papers and loggers."""
    at = ("--at", shop.ago(60))
    shop.enter("start", "--maker", "Quern Lane Boards", "--address", "4 Quern Lane, Eastwold", "--contact",
               "bench@quernlane.example", "--country", "GB", "--market", "uk", "--market", "eu", "--zone",
               "Europe/London", "--units", "metric", *at)
    shop.enter("workshop", "--cross-contact", "tree-nut-walnut", "--responsible",
               "Quayside Agents, 2 Quay Lane, Oldhaven, mail@quayside.example", *at)
    shop.enter("place", "add", "House", "--temp", "19C", "--rh", "50", *at)
    shop.enter("place", "add", "Cupboard", *at)
    by = ("--by", "1", "--at", shop.ago(59))
    shop.enter("worker", "add", "Robin Tallis", "--may-sign-off", *by)
    shop.enter("species", "add", "fold-ash", "--common", "fold ash", "--botanical", "Fraxinus invented",
               "--group", "hardwood", "--source", "own book", *by)
    shop.enter("receive", "wood", "--species", "hard-maple", "--supplier", "Eastwold Timber", "--lot", "ET-1",
               "--dried", "kiln", "--moisture", "7.5", "--origin", "US", *by)
    shop.enter("receive", "wood", "--species", "fold-ash", "--supplier", "Eastwold Timber", "--lot", "ET-2", *by)
    shop.enter("receive", "glue", "--kind", "pva-d3", "--name", "Shop Bond", "--supplier", "Wold Finishes",
               "--lot", "B1", "--clamp", "1h", "--full-cure", "24h", *by)
    shop.enter("product", "add", "finish", "--kind", "mineral-oil", "--name", "Board Oil", "--supplier",
               "Wold Finishes", "--coats", "1", "--recoat-after", "12h", "--handle-after", "12h", "--pack-after",
               "1d", "--food-contact-after", "2d", *by)
    shop.enter("receive", "finish", "--product", "P1", "--lot", "M1", "--amount", "1l", *by)
    shop.enter("receive", "finish", "--kind", "mineral-oil-beeswax", "--name", "Bench Butter", "--supplier",
               "Wold Finishes", "--lot", "BB1", "--amount", "400g", "--coats", "1", "--recoat-after", "12h",
               "--handle-after", "12h", "--pack-after", "1d", "--food-contact-after", "2d", *by)
    shop.enter("receive", "finish", "--kind", "walnut-oil", "--name", "Walnut Oil", "--supplier", "Wold Finishes",
               "--lot", "WN1", "--amount", "250ml", "--coats", "2", "--recoat-after", "24h",
               "--food-contact-after", "21d", *by)
    shop.enter("receive", "other", "--kind", "rubber-feet", "--name", "Small feet", "--supplier", "Fold Fittings",
               "--lot", "RF1", *by)
    shop.enter("receive", "glue", "--kind", "pva-d3", "--name", "Other Bond", "--supplier", "Wold Finishes",
               "--lot", "B2", "--clamp", "1h", "--full-cure", "24h", *by)
    shop.enter("receive", "finish", "--product", "P1", "--lot", "M2", "--amount", "1l", *by)
    shop.enter("mix", "--from", "F1=60ml", "--from", "F2=15g", "--name", "Softened butter", *by)
    shop.enter("open", "F3", "--note", "a note on the tin", *by)
    paper = shop.folder / "paper.txt"
    paper.write_text("Invented paper.\n")
    shop.enter("statement", "F1", "--about", "ingredients", "--complete", "--ingredient", "white mineral oil",
               "--file", paper, "--reference", "21 CFR 172.878", "--dated", shop.day(-90), *by)
    shop.enter("statement", "F2", "--about", "ingredients", "--contains", "bee-product", "--ingredient", "beeswax",
               *by)
    shop.enter("statement", "W1", "--about", "origin", "--reference", "invoice 4471", *by)
    csv = shop.folder / "house.csv"
    csv.write_text("time,temperature (C),humidity (%)\n" + "".join(
        "%sT%02d:00:00Z,19.%d,50\n" % (shop.day(-day), hour, hour % 10)
        for day in range(58, 1, -1) for hour in (6, 18)))
    shop.enter("readings", csv, "--place", "House", "--by", "1")
    rules = shop.folder / "own.toml"
    rules.write_text('market = "eu"\n[[rule]]\nkey = "eu-own"\ncite = "Bylaw 7"\nasks = "A mark."\n'
                     'when = "always"\ncheck = "maker-decides"\nask = "The office"\n'
                     'reviewed = "2026-11-25"\nsource = "a leaflet"\nstanding = "read"\n')
    shop.rules = rules
    shop.enter("rule", "add", rules, "--by", "1")


def boards(shop, customers):
    """Four batches: one left to `customers` (name, contact) in turn, one ordered, one at work, one fresh."""
    def batch(days, pieces, finish, *more, glue="G1"):
        code = shop.enter("batch", "--wood", "W1", "--wood", "W2", "--glue", glue, "--finish", finish,
                          "--schedule", "oil" if finish != "F3" else "hardening-oil", "--pieces", pieces, "--size",
                          "400x250x22mm", "--use", "cutting-board", "--place", "house", *more, "--by", "1", "--at",
                          shop.ago(days))
        return code["id"]

    def log(days, kind, code, *more):
        return shop.entry("log", kind, code, *more, "--by", "1", "--at", shop.ago(days, "18:00"))

    def finished(code, start, finish, glue="G1"):
        log(start, "glue-up", code, "--from", glue + "=70ml", "--temp", "19C", "--rh", "50")
        log(start - 3, "sand", code, "--grit", "120,220")
        log(start - 4, "raise-grain", code, "--rounds", "1")
        return log(start - 5, "coat", code, "--from", finish + "=60ml", "--temp", "19C", "--rh", "50")

    first = batch(50, len(customers) + 3, "F1")
    coat = finished(first, 49, "F1")
    struck = log(43, "scuff", first, "--grit", "320")
    shop.enter("strike", struck, "--why", "entered twice", "--by", "1")
    log(42, "fit", first, "--from", "X1", "--what", "feet on all")
    log(40, "inspect", first, "--sound", "--what", "no smell, a white cloth stays clean")
    shop.enter("correct", coat, "--set", "from=F1=40ml", "--why", "read the mark wrong", "--by", "1")
    shop.enter("sign-off", first, "--by", "1", "--at", shop.ago(38), "--note", "by daylight")
    shop.enter("photograph", first, JPEG, "--by", "1", "--at", shop.ago(38))
    shop.enter("log", "note", first, "a remark on the batch", "--by", "1", "--at", shop.ago(38))
    markets = ("uk", "eu", "de", "us", "ca")
    for number, (name, contact) in enumerate(customers, 1):
        shop.enter("give", first, "--pieces", number, "--to", name, "--contact", contact, "--as", "sale", "--market",
                   markets[number % len(markets)], "--event", "Eastwold market", "--by", "1", "--at",
                   shop.ago(30 - number))
    shop.enter("give", first, "--pieces", len(customers) + 1, "--to-stranger", "--event", "Eastwold market", "--as",
               "sale", "--market", "uk", "--by", "1", "--at", shop.ago(20))
    shop.enter("scrap", first, "--pieces", len(customers) + 2, "--why", "a check opened", "--by", "1")
    pieces = shop.pieces(first)
    shop.enter("take-back", pieces[0], "--place", "House", "--owner-applied", "olive oil it seems", "--by", "1",
               "--at", shop.ago(12))
    log(12, "coat", pieces[0], "--from", "F1=5ml", "--temp", "19C", "--rh", "50")
    shop.enter("sign-off", pieces[0], "--because", "looked over anew", "--by", "1", "--at", shop.ago(11, "09:00"))
    shop.enter("give", pieces[0], "--to", customers[1][0], "--contact", customers[1][1], "--as", "gift", "--market",
               "uk", "--by", "1", "--at", shop.ago(11), "--because", "it is wanted back")
    shop.complaint = shop.entry("complaint", pieces[1], "--severity", "flaw", "--what", "a foot squeaks", "--where", "Oldhaven",
               "--by", "1")
    shop.enter("dealt", shop.complaint, pieces[1], "--how", "new feet", "--by", "1")
    shop.enter("answer", pieces[1], "--about", "milk", "--keep", "--by", "1")
    ordered = batch(20, 3, "F1", "--for", customers[-1][0], "--contact", customers[-1][1], "--promised", shop.day(30))
    finished(ordered, 19, "F1")
    shop.enter("split", ordered, "--pieces", "3", "--schedule", "oil", "--finish", "F2", "--why", "wants wax", "--by",
               "1")
    work = batch(9, 4, "F3")
    finished(work, 8, "F3")
    shop.enter("log", "rags-done", work, "--by", "1", "--at", shop.ago(2))
    log(1, "coat", work, "--from", "F3=5ml", "--temp", "19C", "--rh", "50")
    shop.enter("log", "move", work, "--to", "Cupboard", "--by", "1", "--at", shop.ago(1))
    # Two whose stock is not withdrawn: glued up, and ready with two of its four signed off.
    fresh = batch(4, 2, "F4", glue="G2")
    log(3, "glue-up", fresh, "--from", "G2=20ml", "--temp", "19C", "--rh", "50")
    ready = batch(34, 4, "F4", glue="G2")
    finished(ready, 33, "F4", glue="G2")
    shop.enter("sign-off", ready, "--pieces", "1-2", "--by", "1", "--because", "by daylight")
    shop.enter("withdraw", "F2", "--why", "the supplier found wood dust", "--notice", shop.folder / "paper.txt",
               "--by", "1")
    withdrawal = shop.entry("withdraw", "G1", "--why", "the supplier found grit in it", "--by", "1")
    shop.enter("recall", "reached", pieces[2], "--of", withdrawal, "--how", "by telephone", "--by", "1")
    shop.enter("card", first, "-o", shop.folder / "made-card.pdf", "--by", "1", "--because", "a trial")
    shop.enter("workshop", "hours", "mon-fri", "19:00-21:30,", "sat", "9:00-17:00", "--by", "1")
    shop.enter("workshop", "market-days", shop.day(24), "--name", "Eastwold market", "--by", "1")
    shop.first, shop.ordered, shop.work, shop.fresh, shop.ready = first, ordered, work, fresh, ready
    shop.ready_pieces = shop.pieces(ready)
    shop.first_pieces, shop.withdrawal, shop.coat = pieces, withdrawal, coat
