#!/usr/bin/python3
"""Plays lives of batches and reads every calendar that comes of them by programs that are not ours.
Times must be those of `due` and `when`; nothing that would ring later vanishes without a word."""
import argparse
import datetime
import pathlib
import random
import sys
import tempfile
import zoneinfo

from calendars import DAY, HOUR, MINUTE, Shop, check, failures, moment


def check_life(program, folder):
    shop = Shop(program, folder)
    said = shop.refused("calendar", "-o", "boards.ics")
    check("no batch is open" in said and not (folder / "boards.ics").exists(), f"empty: {said}")
    batch = shop.batch(6, "--promised", "2026-03-30")
    first = shop.calendar()
    check(first.state() == {f"{batch}-sand-1": "confirmed", f"{batch}-promised": "confirmed"},
          f"a new batch: {first.state()}")
    promised = first.of(f"{batch}-promised")
    nine = [datetime.datetime(2026, 3, day, 9, tzinfo=first.zone) for day in (28, 30)]
    check(promised.alarms == nine, f"rings at nine, two days before and that day: {promised.alarms}")
    shop.go("2026-01-06T09:00:00Z").log("sand", batch, "--grit", "120,180")
    for hour in (10, 12):
        shop.go(f"2026-01-06T{hour}:00:00Z").log("raise-grain", batch)
    coats = [shop.go("2026-01-07T09:00:00Z").coat(batch)]
    one = shop.calendar()
    check(one.state() == {f"{batch}-sand-1": "done", f"{batch}-raise-grain-1": "done",
                          f"{batch}-raise-grain-2": "done", f"{batch}-coat-1": "done",
                          f"{batch}-scuff-1": "tentative", f"{batch}-coat-2": "tentative",
                          f"{batch}-rags-{coats[0]}": "confirmed", f"{batch}-promised": "confirmed"},
          f"after a coat: {one.state()}")
    check(one.of(f"{batch}-coat-1").start == moment("2026-01-07T09:00:00Z"), "done when it was")
    check(one.of(f"{batch}-coat-2").start == moment("2026-01-08T09:00:00Z"), "a day after")
    rags = one.of(f"{batch}-rags-{coats[0]}")
    check(rags.start == shop.at and rags.alarms[0] - shop.at <= 10 * MINUTE, f"rags ring at once: {rags}")
    later = shop.go("2026-01-09T12:00:00Z").calendar()
    check(later.of(f"{batch}-coat-2").start == moment("2026-01-08T09:00:00Z"), "what is due stays put")
    check(later.of(f"{batch}-rags-{coats[0]}").alarms[0] > shop.at, "open rags ring anew")

    shop.log("rags-done", batch)
    shop.go("2026-01-09T13:00:00Z").log("scuff", batch)
    coats.append(shop.coat(batch))
    two = shop.calendar()
    check(set(one.events) < set(two.events), "all UIDs are kept")
    check(two.of(f"{batch}-coat-2").start == shop.at and two.state()[f"{batch}-coat-2"] == "done",
          "the coat moves to when it happened")
    check(two.state()[f"{batch}-scuff-1"] == "done", "so does the scuff")
    check(two.state()[f"{batch}-rags-{coats[0]}"] == "cancelled", "rags that were dealt with")
    check(two.of(f"{batch}-coat-1").sequence > one.of(f"{batch}-coat-1").sequence, "the sequence rises")
    shop.go("2026-01-10T14:00:00Z").log("scuff", batch)
    coats.append(shop.coat(batch))
    done = shop.calendar()
    dates = {date["name"]: date for date in shop.read("when", batch)["dates"]}
    for name in ("handle", "pack"):
        check(done.of(f"{batch}-{name}").start == moment(dates[name]["at"]), f"{name} as `when` has it")
    food = done.of(f"{batch}-food-contact")
    check(str(food.day) == dates["food-contact"]["day"], f"{food.day} as `when` has it")
    check([at.astimezone(done.zone).strftime("%F %H:%M") for at in food.alarms] == [f"{food.day} 09:00"],
          "a whole day rings at nine")
    check("smell, tack or softness means not ready" in food.text and
          "label and local rules come first" in food.text, f"food contact defers: {food.text}")

    # The last coat struck: it is due again, and what rested on it is cancelled at its time.
    struck_at = shop.at
    shop.go("2026-01-10T15:00:00Z").run("strike", str(coats[2]), "--why", "of another batch")
    struck = shop.calendar()
    state = struck.state()
    check(state[f"{batch}-coat-3"] == "tentative" and set(done.events) <= set(struck.events),
          f"due again: {state}")
    for name in ("handle", "pack", "food-contact", f"rags-{coats[2]}"):
        check(state[f"{batch}-{name}"] == "cancelled", f"{name} is cancelled: {state}")
    check(struck.of(f"{batch}-pack").start == struck_at, "at the time of the struck step")
    check(struck.of(f"{batch}-food-contact").day == struck_at.date(), "or on its day")
    shop.coat(batch)
    extra = shop.go("2026-01-11T16:00:00Z").coat(batch)
    check(shop.calendar().state()[f"{batch}-coat-4"] == "done", "a coat more than planned")
    shop.run("strike", str(extra), "--why", "twice")
    again = shop.calendar().state()
    check(again[f"{batch}-coat-4"] == "cancelled" and again[f"{batch}-pack"] != "cancelled",
          f"the extra coat alone is gone: {again}")

    # Past and gone: kept, without alarms.
    shop.log("rags-done", batch)
    shop.go("2026-02-10T09:00:00Z").log("inspect", batch, "--sound")
    shop.run("sign-off", batch, "--because", "known")
    shop.run("give", batch, "--to", "A Customer", "--as", "gift", "--market", "uk", "--because", "known")
    closed = shop.calendar()
    kept = closed.state()
    check(kept[f"{batch}-sign-off"] == "done" and kept[f"{batch}-inspect-1"] == "done", f"{kept}")
    for name in ("handle", "pack", "food-contact"):
        check(kept[f"{batch}-{name}"] in ("confirmed", "tentative"), f"{name} stays: {kept}")
        check(not closed.of(f"{batch}-{name}").alarms, f"{name} is past and does not ring")
    text = (folder / "boards.ics").read_text(encoding="utf-8")
    check("Customer" not in text, "no customer is named")
    shop.go("2026-04-20T09:00:00Z")
    check("closed in the last 30 days" in shop.refused("calendar", "-o", "boards.ics"),
          "old batches fade")


def check_parts(program, folder):
    shop = Shop(program, folder)
    batch = shop.batch(6)
    shop.log("sand", batch, "--grit", "180")
    shop.coat(batch, "--pieces", "1-3")
    shop.go("2026-01-05T20:00:00Z").coat(batch, "--pieces", "4-5")
    some = shop.calendar()
    check(some.state()[f"{batch}-raise-grain-1"] == "confirmed", f"piece 6 is behind: {some.state()}")
    coming = some.of(f"{batch}-coat-2")
    check(coming.start == moment("2026-01-06T08:00:00Z") and "pieces 1-3:" in coming.summary,
          f"the earliest group leads: {coming}")
    check("Of pieces 1-3, from Tue 6 Jan 2026 08:00" in coming.text and
          "Of pieces 4-5, from Tue 6 Jan 2026 20:00" in coming.text, f"both stand in it: {coming.text}")
    shop.go("2026-01-06T08:00:00Z").log("scuff", batch, "--pieces", "1-3")
    shop.coat(batch, "--pieces", "1-3")
    mixed = shop.calendar().of(f"{batch}-coat-2")
    check(mixed.start == moment("2026-01-06T20:00:00Z") and "pieces 4-5:" in mixed.summary and
          "Of pieces 1-3, done Tue 6 Jan 2026 08:00" in mixed.text, f"what is needed leads: {mixed}")

    turn = shop.read("split", batch, "--pieces", "6", "--schedule", "hardening-oil", "--finish", "F1",
                     "--why", "darker")["entry"]
    split = shop.calendar()
    way = f"{batch}-w{turn}"
    check(split.state()[f"{way}-raise-grain-1"] == "confirmed", f"its own way: {split.state()}")
    check(split.state()[f"{batch}-raise-grain-1"] == "cancelled", f"not of the batch: {split.state()}")
    shop.log("sand", batch, "--grit", "180", "--pieces", "6")
    own = shop.calendar().state()
    check(own[f"{way}-sand-1"] == own[f"{batch}-sand-1"] == "done", f"counted anew on each way: {own}")
    shop.run("strike", str(turn), "--why", "no")
    struck = shop.calendar().state()
    check(struck[f"{way}-raise-grain-1"] == "cancelled" and struck[f"{batch}-raise-grain-1"] == "confirmed",
          f"back on the batch's way: {struck}")
    shop.run("scrap", batch, "--why", "burnt")
    scrapped = shop.calendar().state()
    check(scrapped[f"{batch}-coat-3"] == "cancelled" and scrapped[f"{batch}-coat-1"] == "done",
          f"all scrapped: {scrapped}")

    other = shop.batch(2)
    sanded = shop.log("sand", other, "--grit", "180")
    before = {thing for thing in shop.calendar().by_thing if thing.startswith(other)}
    shop.run("strike", str(sanded), "--why", "no")
    shop.run("strike", str(sanded - 1), "--why", "no such batch")
    gone = {thing: state for thing, state in shop.calendar().state().items() if thing.startswith(other)}
    check(before <= set(gone) and set(gone.values()) == {"cancelled"}, f"a struck batch: {gone}")


def check_names(program, folder):
    hostile = "Öl, halb; \\n back\\slash: \"q\" " + "漢字🌳é" * 20
    shop = Shop(program, folder, finish=hostile)
    batch = shop.batch()
    shop.coat(batch, "--note", "a;b,c\\" + "ß" * 100)
    read = shop.calendar()
    detail = next(line["detail"] for line in shop.read("due") if line["step"] == "coat")
    check(hostile in detail, "due has the name")
    summary = read.of(f"{batch}-coat-2").summary
    check(hostile in summary and summary.startswith(f"{batch}: coat 2 of 3 from F1 "), f"{summary}")
    check("a;b,c\\" + "ß" * 100 in read.of(f"{batch}-coat-1").text, "a note comes back whole")
    refused = shop.refused("worker", "add", "line\nend")
    check("control" in refused, f"control characters do not enter the book: {refused}")

    # What is replaced, and what is not.
    mine = folder / "mine.ics"
    mine.write_bytes(b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Example//Diary//EN\r\nEND:VCALENDAR\r\n")
    before = mine.read_bytes()
    check("is not replaced" in shop.refused("calendar", "-o", "mine.ics"), "a stranger's file")
    check(mine.read_bytes() == before, "which is as it was")
    check("book itself" in shop.refused("calendar", "-o", "book.db"), "the book")
    shop.refused("calendar", "-o", "nowhere/boards.ics", status=3)


def check_zone(program, folder, zone, change, ahead):
    """Coats round a change of the clocks, done then and due then."""
    change = moment(change)
    shop = Shop(program, folder, zone=zone, at=(change - 10 * DAY).isoformat(), coats=2)
    expected = {}
    for minutes in (-120, -60, -45, -30, -15, 0, 15, 30, 45, 60, 120):
        at = change + minutes * MINUTE
        batch = shop.go(at - 2 * DAY).batch(1)
        shop.go(at - DAY).coat(batch)
        expected[f"{batch}-coat-1"], expected[f"{batch}-coat-2"] = at - DAY, at
        batch = shop.go(at).batch(1, "--promised", str((at + DAY).astimezone(zoneinfo.ZoneInfo(zone)).date()))
        shop.coat(batch)
        expected[f"{batch}-coat-1"] = at
    read = shop.go(change + DAY / 2).calendar()
    for thing, at in expected.items():
        check(read.of(thing).start == at, f"{zone}: {thing} at {read.of(thing).start}, not {at}")
    for thing, event in read.by_thing.items():
        for at in event.alarms if event.day else []:
            check(at.astimezone(read.zone).strftime("%H:%M") == "09:00", f"{zone}: {thing} rings {at}")
    for part, name in read.names:
        check((part == "DAYLIGHT") == (name in ahead), f"{zone}: {name} is {part}")
    # The definitions hold for the whole stretch that they cover.
    at = min(event.start for event in read.events.values())
    while at < max(event.start for event in read.events.values()) + 300 * DAY:
        check(read.offset_at(at) == at.astimezone(read.zone).utcoffset(), f"{zone}: offset at {at}")
        at += 5 * HOUR


def random_words(chance, batch, pieces, entries):
    some = ["--pieces", str(chance.randint(1, pieces))] if chance.random() < 0.4 else []
    kind = chance.choice(["glue-up", "sand", "raise-grain", "coat", "coat", "coat", "scuff", "inspect",
                          "sign-off", "give", "scrap", "split", "take-back", "strike", "strike", "correct",
                          "rags-done"])
    log = ["log", kind, batch, *some]
    own_way = ["--schedule", "hardening-oil", "--finish", "F1"]
    return {"coat": [*log, "--from", "F1", "--temp", "25C", "--rh", "40"],
            "sand": [*log, "--grit", "180"],
            "inspect": [*log, chance.choice(["--sound", "--not-sound"])],
            "rags-done": ["log", kind, batch],
            "sign-off": ["sign-off", batch, *some],
            "give": ["give", batch, *some, "--to", "A Customer", "--as", "gift", "--market", "uk"],
            "scrap": ["scrap", batch, "--pieces", str(pieces), "--why", "split"],
            "split": ["split", batch, *(some or ["--pieces", "1"]), *own_way, "--why", "darker"],
            "take-back": ["take-back", batch, *some, *chance.choice([["--unused"], [], own_way])],
            "strike": ["strike", str(chance.randint(entries - 6, entries)), "--why", "no"],
            "correct": ["correct", str(chance.randint(entries - 4, entries)), "--happened",
                        f"{chance.randint(1, 30)}h ago", "--why", "no"]}.get(kind, log)


def check_random(program, folder, seed):
    """A phone that takes in each file: whatever it would ring for must still be in the next one."""
    chance = random.Random(seed)
    shop = Shop(program, folder, coats=2)
    pieces = chance.randint(1, 4)
    batch = shop.batch(pieces, "--promised", "2026-02-20", *chance.choice([[], ["--glue", "G1"]]))
    phone, entries = shop.calendar().events, shop.read("verify")["entries"]
    for _ in range(30):
        shop.go(shop.at + chance.choice([HOUR, 5 * HOUR, DAY, 3 * DAY]))
        words = random_words(chance, batch, pieces, entries)
        because = [] if words[0] in ("strike", "correct") else ["--because", "known"]
        if shop.attempt(*words, *because).returncode >= 2:
            continue
        before, entries = entries, shop.read("verify")["entries"]
        if entries == before or shop.attempt("calendar", "-o", "none.ics").returncode == 2:
            continue
        read = shop.calendar()
        for uid, event in phone.items():
            check(uid in read.events or not any(at > shop.at for at in event.alarms),
                  f"seed {seed}, after {words}: {uid} is forgotten and rings: {event}")
            check(uid not in read.events or read.events[uid].sequence > event.sequence, f"{uid} is newer")
        phone |= read.events


ZONES = [("Europe/London", "2026-10-25T01:00:00Z", {"BST"}),
         ("Europe/London", "2026-03-29T01:00:00Z", {"BST"}),
         ("America/New_York", "2026-11-01T06:00:00Z", {"EDT"}),
         ("America/New_York", "2026-03-08T07:00:00Z", {"EDT"}),
         ("Europe/Dublin", "2026-10-25T01:00:00Z", {"IST"}),
         ("Europe/Dublin", "2026-03-29T01:00:00Z", {"IST"}),
         ("Australia/Lord_Howe", "2026-04-04T15:00:00Z", {"+11"}),
         ("Australia/Lord_Howe", "2026-10-03T15:30:00Z", {"+11"}),
         ("Asia/Kolkata", "2026-10-25T01:00:00Z", set()),
         ("UTC", "2026-10-25T01:00:00Z", set())]


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--trencher", required=True)
    options.add_argument("--lives", type=int, default=6, help="random ones")
    options = options.parse_args()
    program = str(pathlib.Path(options.trencher).resolve())
    with tempfile.TemporaryDirectory(prefix="trencher-calendar-") as folder:
        work = pathlib.Path(folder)
        check_life(program, work / "life")
        check_parts(program, work / "parts")
        check_names(program, work / "names")
        for seed in range(options.lives):
            check_random(program, work / f"random-{seed}", seed)
        for number, (zone, change, ahead) in enumerate(ZONES):
            check_zone(program, work / f"zone-{number}", zone, change, ahead)
    print(f"{len(failures)} failed" if failures else "the calendars hold")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
