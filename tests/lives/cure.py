"""The air around a piece and how what is on it cures in it, reckoned anew for the lives.

Formulas and constants from the project's notes on curing. Times are seconds since 1970, waits
seconds, temperatures degrees Celsius, humidities per cent."""

import bisect
import math

DAY = 86400
FARTHEST = 3653 * DAY  # a wait that is not over after ten years is never over
STEPS = ("glue-up", "fit", "sand", "raise-grain", "coat", "scuff", "inspect", "move")


class Air:
    """Readings and declared conditions of every place."""

    def __init__(self, book):
        rows, self.declared = {}, {}
        for e in book.entries:
            if e.kind == "readings":
                for at, temp, *rh in e.body["samples"]:
                    rows[e.body["place"], at] = (temp, rh[0] if rh else None)
            elif e.kind in STEPS and "temp_mc" in e.body and e.body.get("place"):
                rows[e.body["place"], e.at] = (e.body["temp_mc"], e.body.get("rh_permille"))
        self.points = {}  # by place and quantity: sorted times, values
        for (place, at), (temp, rh) in sorted(rows.items()):
            for what, value in (("temp", temp / 1000), ("rh", rh and rh / 10)):
                if what == "temp" or rh is not None:
                    times, values = self.points.setdefault((place, what), ([], []))
                    times.append(at)
                    values.append(value if value is not None else 0.0)
        for e in sorted(book.of("place"), key=lambda e: (e.at, e.number)):
            for what, name, unit in (("temp", "temp_mc", 1000), ("rh", "rh_permille", 10)):
                if name in e.body:
                    self.declared.setdefault((e.body["place"], what), []).append(
                        (e.at, e.body[name] / unit))

    def changes(self):
        """Every moment at which what is known of some place changes."""
        return ({at for times, _ in self.points.values() for at in times} |
                {at for statements in self.declared.values() for at, _ in statements})

    def span(self, place, what, a, b, higher_is_worse):
        """Value at a, value at b, whether that is a guess; no reading lies between a and b."""
        times, values = self.points.get((place, what), ([], []))
        i = bisect.bisect_right(times, a)
        before = (times[i - 1], values[i - 1]) if i > 0 else None
        after = (times[i], values[i]) if i < len(times) else None
        if before and after and after[0] - before[0] <= DAY:
            slope = (after[1] - before[1]) / (after[0] - before[0])
            return (before[1] + slope * (a - before[0]), before[1] + slope * (b - before[0]), False)
        statements = self.declared.get((place, what))
        if statements:
            said = statements[0][1]  # the first holds for the time before it too
            for at, value in statements:
                if at <= a:
                    said = value
            return said, said, True
        beside = [point[1] for point in (before, after) if point]
        if not beside:
            return None, None, True
        worse = max(beside) if higher_is_worse else min(beside)
        return worse, worse, True


class Way:
    """Where one piece was, and the air along its way."""

    def __init__(self, book, batch, story):
        self.air = book.air
        entry = book.batches[batch]
        self.stays = [(-math.inf, entry.body["place"])]
        self.stays += [(e.at, e.body["place"]) for e in story
                       if e.kind in ("move", "take-back") and e.body.get("place")]
        self.first = min([entry.at] + [e.at for e in story]) - DAY
        self.known = {}

    def stretches(self, worse):
        """(from, to, temperatures, humidities) over ten years; worse: 'damp', 'dry', 'warm'."""
        if worse in self.known:
            return self.known[worse]
        cuts = {at for at in self.air.changes() | {at for at, _ in self.stays} if at > self.first}
        cuts = [self.first] + sorted(cuts) + [self.first + 2 * FARTHEST]
        out = []
        for a, b in zip(cuts, cuts[1:]):
            place = [place for at, place in self.stays if at <= a][-1]
            out.append((a, b, self.air.span(place, "temp", a, b, worse == "warm"),
                        self.air.span(place, "rh", a, b, worse != "dry")))
        self.known[worse] = out
        return out


# ---- Curing

ACTIVATION = {"oxidative": 60e3, "two-part": 60e3, "moisture-glue": 60e3, "coalescing": 50e3,
              "water-glue": 50e3, "solvent-evaporation": 45e3}


class Cure:
    """How one tin cures, by its label."""

    def __init__(self, label):
        figure = lambda name: label[name]["value"] if name in label else None
        self.mechanism = label["mechanism"]
        self.q = ACTIVATION.get(self.mechanism, 0) / 8.314
        self.reference = 20 if figure("reference_mc") is None else figure("reference_mc") / 1000
        rh = figure("reference_permille")
        self.reference_rh = min(95.0, 50 if rh is None else rh / 10)
        self.lowest = None if figure("lowest_mc") is None else figure("lowest_mc") / 1000
        water = self.mechanism in ("coalescing", "water-glue") or (
            self.mechanism == "solvent-evaporation" and label.get("water_borne"))
        self.damp = ("water" if water else "dry" if self.mechanism == "moisture-glue" else
                     "air" if self.mechanism in ("oxidative", "solvent-evaporation") else None)

    def humidity(self, rh):
        rh = 65 if rh is None else rh
        if self.damp == "air":
            return 1 if rh <= 65 else 0 if rh > 85 else 1 - 0.5 * (rh - 65) / 20
        if self.damp == "water":
            return 0 if rh >= 95 else min(1, (100 - rh) / (100 - self.reference_rh))
        return min(1, rh / 50) if self.damp == "dry" else 1

    def warmth(self, temp):
        return math.exp(self.q * (1 / (self.reference + 273.15) - 1 / (temp + 273.15)))

    def rate(self, temp, rh, longest):
        if longest:  # heat shortens a longest wait, nothing lengthens it
            return 1 if temp is None else max(1, self.warmth(temp))
        if temp is None:
            return 1 if rh is None else self.humidity(rh)
        if self.lowest is not None and temp < self.lowest:
            return 0
        return min(1, self.warmth(temp)) * self.humidity(rh)

    def is_guess(self, temp, rh, longest):
        by_temp = self.q > 0 or (self.lowest is not None and not longest)
        return by_temp and temp[2] or (self.damp is not None and not longest and rh[2])

    def parts(self, way, start, longest=False):
        """(from, to, rate as a function of time, constant, guessed) from `start` on."""
        worse = "warm" if longest else "dry" if self.damp == "dry" else "damp"
        for a, b, temp, rh in way.stretches(worse):
            if b <= start:
                continue

            def rate(t, a=a, b=b, temp=temp, rh=rh):
                at = lambda span: None if span[0] is None else (
                    span[0] + (span[1] - span[0]) * (t - a) / (b - a))
                return self.rate(at(temp), at(rh), longest)
            constant = temp[0] == temp[1] and rh[0] == rh[1]
            yield max(a, start), b, rate, constant, bool(self.is_guess(temp, rh, longest))

    def reached(self, way, start, wait, longest=False):
        """When the wait is over, None for never; and whether some air on the way was guessed."""
        if wait <= 0:
            return start, False
        need, guessed = wait, False
        for a, b, rate, constant, guess in self.parts(way, start, longest):
            guessed = guessed or guess
            if a - start > FARTHEST:
                break
            gain = rate(a) * (b - a) if constant else area(rate, a, b)
            if gain < need - 1e-6 or gain == 0:
                need -= gain
                continue
            if constant:
                return a + need / rate(a), guessed
            low, high = a, b
            while high - low > 1:
                middle = (low + high) / 2
                low, high = (low, middle) if area(rate, a, middle) >= need else (middle, high)
            return high, guessed
        return None, guessed

    def by_readings(self, way, start, end):
        """The cure until `end` that rests on readings alone."""
        total = 0
        for a, b, rate, constant, guess in self.parts(way, start):
            b = min(b, end)
            if b > a and not guess:
                total += rate(a) * (b - a) if constant else area(rate, a, b)
        return total


def area(rate, a, b):
    """Simpson's rule, halving wherever the middle does not confirm the ends, down to a second."""
    pieces = max(1, round((b - a) / 7200))
    edges = [a + (b - a) * i / pieces for i in range(pieces + 1)]
    return sum(simpson(rate, x, y, rate(x), rate(y)) for x, y in zip(edges, edges[1:]))


def simpson(rate, a, b, at_a, at_b):
    middle = (a + b) / 2
    at_middle = rate(middle)
    if abs(at_a + at_b - 2 * at_middle) < 1e-4 or b - a < 2:
        return (b - a) * (at_a + 4 * at_middle + at_b) / 6
    return simpson(rate, a, middle, at_a, at_middle) + simpson(rate, middle, b, at_middle, at_b)
