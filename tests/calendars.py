"""A shop in a folder of its own, and the calendars that come of it, read by a library that is not ours
(python3-icalendar), their zones by Python's zoneinfo. For tests/calendar_test.py."""
import collections
import datetime
import glob
import json
import re
import subprocess
import zoneinfo

import icalendar

UTC = datetime.timezone.utc
MINUTE, HOUR, DAY = (datetime.timedelta(**{unit: 1}) for unit in ("minutes", "hours", "days"))
FAKETIME = next(glob.iglob("/usr/lib/*/faketime/libfaketime.so.1"), "")
CLAIMS = re.compile(r"\bsafe|allergen[- ]free|non[- ]?toxic|\bapprov|\bcertif|\bcomplian", re.IGNORECASE)
failures = []


def check(holds, what):
    if not holds:
        failures.append(what)
        print("failed:", what)


def moment(text):
    return datetime.datetime.fromisoformat(text.replace("Z", "+00:00")).astimezone(UTC)


def unescaped(text):
    return re.sub(r"\\(.)", lambda sign: "\n" if sign[1] in "nN" else sign[1], text)


Event = collections.namedtuple("Event", "start end day status sequence summary text alarms busy")


class Calendar:
    """A file, checked line by line and then read by the library."""

    def __init__(self, path, zone):
        raw = path.read_bytes()
        check(raw.endswith(b"\r\n") and not re.search(rb"[^\r]\n|\r[^\n]", raw), "lines end in CR LF")
        for line in raw.split(b"\r\n"):
            check(len(line) <= 75, f"a line has at most 75 octets: {line}")
            try:
                line.decode("utf-8")
            except UnicodeDecodeError:
                check(False, f"a letter is cut: {line}")
        text = raw.decode("utf-8").replace("\r\n ", "")
        check(not CLAIMS.search(text), f"no claim: {CLAIMS.findall(text)}")
        self.zone = zoneinfo.ZoneInfo(zone)
        whole = icalendar.Calendar.from_ical(raw)
        check(whole["VERSION"] == "2.0" and "Trencher" in whole["PRODID"], "version and program")
        zones = whole.walk("VTIMEZONE")
        check([str(z["TZID"]) for z in zones] == [zone], "one zone, the workshop's")
        # Offsets by the definitions in the file alone: from when on (UTC), and how many.
        self.offsets = sorted((part["DTSTART"].dt.replace(tzinfo=UTC) - part["TZOFFSETFROM"].td,
                               part["TZOFFSETTO"].td) for part in zones[0].subcomponents)
        self.names = [(part.name, str(part["TZNAME"])) for part in zones[0].subcomponents]
        # The library takes an escaped backslash before an n for a line end, so texts are read here.
        self.texts = {}
        for part in text.split("BEGIN:VEVENT\r\n")[1:]:
            # The first of a name counts: alarms come last.
            lines = dict(line.split(":", 1) for line in reversed(part.split("\r\n")) if ":" in line)
            self.texts[lines["UID"]] = {name: unescaped(lines[name]) for name in lines}
        self.events = {}
        for event in whole.walk("VEVENT"):
            uid = str(event["UID"])
            check(uid not in self.events, f"{uid} stands twice")
            self.events[uid] = self.read(event)
        self.by_thing = {uid.split("@")[0]: event for uid, event in self.events.items()}

    def utc(self, value):
        """The moment of a date-time by zoneinfo; the file's own definitions must agree."""
        if value.utcoffset() is not None and str(value.tzinfo) in ("UTC", "Etc/UTC"):
            return value.astimezone(UTC)
        wall = value.replace(tzinfo=None)
        by_zone = wall.replace(tzinfo=self.zone, fold=0).astimezone(UTC)
        own = [at for at in {wall.replace(tzinfo=UTC) - offset for _, offset in self.offsets}
               if at + self.offset_at(at) == wall.replace(tzinfo=UTC)]
        check(own and min(own) == by_zone, f"{wall} by the file {own} and by zoneinfo {by_zone}")
        return by_zone

    def offset_at(self, at):
        return max((item for item in self.offsets if item[0] <= at), default=(None, DAY))[1]

    def read(self, event):
        start, end = event["DTSTART"].dt, event["DTEND"].dt
        whole_day = not isinstance(start, datetime.datetime)
        for stamp in ("DTSTAMP", "LAST-MODIFIED"):
            check(event[stamp].dt.utcoffset() == datetime.timedelta(0), f"{stamp} is UTC")
        if whole_day:
            check(end == start + DAY, f"a whole day ends with the next: {start} {end}")
            first = datetime.datetime.combine(start, datetime.time(), self.zone).astimezone(UTC)
        else:
            first, end = self.utc(start), self.utc(end)
            check(end > first, f"ends after it begins: {first} {end}")
        alarms = []
        for alarm in event.walk("VALARM"):
            check(alarm["ACTION"] == "DISPLAY" and alarm["DESCRIPTION"], "an alarm is shown")
            alarms.append(first + alarm["TRIGGER"].dt)
        return Event(first, end, start if whole_day else None, str(event["STATUS"]),
                     int(event["SEQUENCE"]), self.texts[str(event["UID"])]["SUMMARY"],
                     self.texts[str(event["UID"])].get("DESCRIPTION", ""),
                     alarms, event["TRANSP"] == "OPAQUE")

    def of(self, thing):
        check(thing in self.by_thing, f"{thing} is in the calendar: {sorted(self.by_thing)}")
        return self.by_thing.get(thing) or Event(*[None] * 5, "", "", [], None)

    def state(self):
        """Of each event its status, or that it was done."""
        return collections.defaultdict(lambda: "absent", {
            thing: "done" if event.summary.endswith(" done") else event.status.lower()
            for thing, event in self.by_thing.items()})


class Shop:
    def __init__(self, program, folder, zone="Europe/London", at="2026-01-05T08:00:00Z",
                 finish="Tung", coats=3):
        self.program, self.folder, self.zone = program, folder, zone
        folder.mkdir()
        self.at = moment(at)
        self.run("start", "--maker", "Example Boards", "--address", "1 Example Lane", "--contact",
                 "maker@example.org", "--market", "uk", "--zone", zone, "--units", "metric")
        # As warm as counts: waits are the label's.
        self.run("place", "add", "Garage", "--temp", "25C", "--rh", "40")
        self.run("receive", "glue", "--kind", "pva-d3", "--name", "Glue", "--supplier", "Glues", "--lot", "G1",
                 "--clamp", "1h", "--full-cure", "24h")
        self.run("receive", "wood", "--species", "hard-maple", "--supplier", "Timber", "--lot", "M1")
        self.run("receive", "finish", "--kind", "pure-tung-oil", "--name", finish, "--supplier", "Oils",
                 "--lot", "T1", "--coats", str(coats), "--recoat-after", "24h", "--recoat-before", "72h",
                 "--handle-after", "2d", "--pack-after", "7d", "--food-contact-after", "14d")

    def go(self, at):
        self.at = moment(at) if isinstance(at, str) else at
        return self

    def run(self, *words, status=0):
        done = self.attempt(*words)
        # A finding is no failure here.
        check(done.returncode in ((0, 1) if status == 0 else (status,)),
              f"{words} ends with {done.returncode}: {done.stdout}{done.stderr}")
        return done.stdout + done.stderr

    def attempt(self, *words):
        # Loaded by hand: the command faketime shares memory under names that a killed run leaves taken.
        return subprocess.run(
            [self.program, *words], capture_output=True, text=True, cwd=self.folder, timeout=60,
            check=False,
            env={"PATH": "/usr/bin:/bin", "HOME": str(self.folder), "TRENCHER_BOOK": "book.db",
                 "LC_ALL": "C.UTF-8", "TZ": "UTC", "LD_PRELOAD": FAKETIME,
                 "FAKETIME": self.at.strftime("%Y-%m-%d %H:%M:%S"),
                 "ASAN_OPTIONS": "verify_asan_link_order=0"})

    def refused(self, *words, status=2):
        """What is said, in one line."""
        return " ".join(self.run(*words, status=status).split())

    def read(self, *words):
        return json.loads(self.run(*words, "--json"))

    def log(self, *words):
        return self.read("log", *words)["entry"]

    def batch(self, pieces=6, *words):
        return self.read("batch", "--wood", "W1", "--finish", "F1", "--schedule", "hardening-oil",
                         "--pieces", str(pieces), "--size", "400x250x22mm", "--use", "serving-board",
                         "--place", "Garage", *words)["id"]

    def coat(self, batch, *words):
        return self.log("coat", batch, "--from", "F1", "--temp", "25C", "--rh", "40", *words)

    def calendar(self):
        said = self.read("calendar", "-o", "boards.ics")
        read = Calendar(self.folder / "boards.ics", self.zone)
        entries = self.read("verify")["entries"]
        check(said["file"] == "boards.ics" and said["events"] == len(read.events), f"told: {said}")
        check(said["cancelled"] == sum(e.status == "CANCELLED" for e in read.events.values()),
              f"told: {said}")
        for thing, event in read.by_thing.items():
            check(event.sequence == entries, f"{thing}: sequence {event.sequence} of {entries}")
            if event.status == "CANCELLED" or event.summary.endswith(" done"):
                check(not event.alarms and not event.busy, f"{thing} is over and rings")
        self.compare_due(read)
        return read

    def compare_due(self, read):
        """Every dated line of `due` has its event, and what rings is a line of `due`."""
        lines = [line for line in self.read("due") if line["batch"] and line["earliest"]]
        rings = {thing: event for thing, event in read.by_thing.items() if event.alarms}
        for line in lines:
            at = moment(line["earliest"])
            mine = [event for thing, event in rings.items() if is_of(thing, line)]
            # Where pieces stand differently the first of them leads.
            check(any(starts(e, line, at, read.zone) or (e.start < at and line.get("pieces"))
                      for e in mine), f"{line}: {mine}")
            if "pieces" not in line:
                check(all((e.status == "TENTATIVE") == line["guessed"] for e in mine), f"{line}: {mine}")
            if line["latest"] and line["step"] == "coat":
                check(any(moment(line["latest"]) - 2 * HOUR in e.alarms for e in mine),
                      f"{line}: rings two hours before the latest moment")
        for thing, event in rings.items():
            # `due` drops it once it is reached, the evening before its day perhaps.
            reached = thing.endswith("-food-contact") and event.start - DAY - HOUR < self.at
            check(reached or any(is_of(thing, line) and starts(event, line, moment(line["earliest"]), read.zone)
                      for line in lines), f"{thing} rings and is not due: {event}")


def is_of(thing, line):
    return re.fullmatch(rf"{line['batch']}-(w\d+-)?{line['step']}(-\d+)?", thing)


def starts(event, line, at, zone):
    if line["step"] == "promised":
        return event.day == at.astimezone(zone).date()
    if line["step"] == "food-contact":  # the first day that begins from then on
        return datetime.timedelta(0) <= event.start - at < DAY + HOUR
    return event.start == at
