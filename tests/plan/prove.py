#!/usr/bin/env python3
"""Plans of random shops, held against Debian's z3.

A random problem (fixed seeds) goes to plan_tool, which answers with the engine's plan. What a plan
must keep and what better means is written down here anew as SMT-LIB 2, from the words of
src/engine/plan.h and not from its code, and z3 is asked twice: is this plan one that keeps
everything (it must be), and is there a better one (there must be none)? The bounds that the engine
gives when it has hardly searched are held against the best plan, so proved.
"""
import argparse
import json
import random
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor


def sittings_of(rng, days, scale):
    out = []
    for day in range(-2, days):
        for _ in range(rng.choice([0, 1, 1, 1, 2])):
            begin = day * scale + rng.randrange(0, scale - 2)
            out.append([begin, begin + rng.randint(3, max(4, scale // 3))])
    out.sort()
    apart = []
    for begin, until in out:
        if apart and begin <= apart[-1][1]:
            apart[-1][1] = max(apart[-1][1], until)
        else:
            apart.append([begin, until])
    return apart


def batch_of(rng, longest_sitting, scale, rack, days):
    tasks = []
    for k in range(rng.choice([1, 2, 3, 3, 4, 5])):
        task = {"length": rng.randint(1, max(1, longest_sitting * 2 // 3)),
                "wait": rng.choice([0, 0, rng.randint(0, scale), rng.randint(scale, 2 * scale)]),
                "cure": rng.choice([0, 0, rng.randint(0, 3 * scale)]), "after_cure": 0}
        if k and rng.random() < 0.15:
            task["back"] = rng.randint(1, k)
            between = sum(t["length"] + t["wait"] for t in tasks[k - task["back"]:])
            task["longest"] = between + task["wait"] + task["length"] + rng.randint(0, 2 * scale)
        tasks.append(task)
    if len(tasks) > 1 and rng.random() < 0.5:
        tasks[-1].update(after_cure=1, cure=0)
    batch = {"tasks": tasks, "not_before": rng.choice([0, rng.randint(0, 2 * scale)]),
             "cured": rng.choice([0, rng.randint(0, days * scale // 2)]),
             "ready_by": rng.randint(days * scale // 6, days * scale * rng.choice([1, 3])), "boards": rng.randint(1, max(1, rack)),
             "drying": rng.randint(0, scale)}
    if rng.random() < 0.1:
        batch["first_done_by"] = batch["not_before"] + rng.randint(scale, 3 * scale)
    coats = len(tasks) - (1 if tasks[-1]["after_cure"] else 0)
    kind = rng.random()
    if kind < 0.6:
        batch["onto_rack"] = rng.randrange(coats)
        batch["last_on_rack"] = rng.randrange(batch["onto_rack"], coats)
    elif kind < 0.75:
        batch["last_on_rack"] = rng.randrange(coats)
    elif kind < 0.85:
        batch["off_rack"] = rng.randint(0, 3 * scale)
    else:
        batch["boards"] = 0
    return batch


def random_problem(seed):
    rng = random.Random(seed)
    scale = rng.choice([10, 20, 60])
    days = rng.randint(6, 14)
    sittings = sittings_of(rng, days, scale) or [[0, scale]]
    longest = max(until - begin for begin, until in sittings)
    rack = rng.randint(1, 6)
    batches = [batch_of(rng, longest, scale, rack, days) for _ in range(rng.randint(1, 4))]
    if len(batches) > 1 and rng.random() < 0.2:
        batches[-1] = dict(batches[0])
    # A long last sitting, so that what is late still finds a place.
    sittings.append([days * scale + scale, days * scale + 200 * scale])
    return {"sittings": sittings, "batches": batches, **({"rack": rack} if rng.random() < 0.8 else {})}


def minute(number):
    return str(number) if number >= 0 else f"(- {-number})"


class Script:
    """The problem as SMT-LIB 2."""

    def __init__(self, problem):
        self.lines = ["(set-logic QF_LIA)"]
        self.firsts, self.stays, spans = [], [], []
        lates, counts = [], []
        for b, batch in enumerate(problem["batches"]):
            tasks = batch["tasks"]
            ends = []
            for k, task in enumerate(tasks):
                begin = f"b{b}_{k}"
                self.lines.append(f"(declare-const {begin} Int)")
                ends.append(f"(+ {begin} {task['length']})")
                spans.append((begin, task["length"]))
                fits = [f"(and (>= {begin} {minute(s)}) (<= {ends[k]} {minute(u)}))" for s, u in problem["sittings"]]
                self.say("(or " + " ".join(fits) + ")")
                if k == 0:
                    self.say(f"(>= {begin} {minute(batch['not_before'])})")
                    if "first_done_by" in batch:
                        self.say(f"(<= {ends[k]} {minute(batch['first_done_by'])})")
                    continue
                self.say(f"(>= {begin} (+ {ends[k - 1]} {task['wait']}))")
                if "longest" in task:
                    self.say(f"(<= {ends[k]} (+ b{b}_{k - task['back']} {task['longest']}))")
            cures = [f"(+ {end} {task['cure']})" for end, task in zip(ends, tasks)] + [minute(batch["cured"])]
            for k, task in enumerate(tasks):
                if task["after_cure"]:
                    for cure in [c for c, t in zip(cures[:k], tasks) if t["cure"] > 0] + cures[-1:]:
                        self.say(f"(>= b{b}_{k} {cure})")
            self.lines += [f"(declare-const ready{b} Int)", f"(declare-const late{b} Int)"]
            self.say("(and " + " ".join(f"(>= ready{b} {c})" for c in cures) + ")")
            self.say("(or " + " ".join(f"(= ready{b} {c})" for c in cures) + ")")
            self.say(f"(= late{b} (ite (> ready{b} {batch['ready_by']}) (- ready{b} {batch['ready_by']}) 0))")
            lates.append(f"late{b}")
            counts.append(f"(ite (> late{b} 0) 1 0)")
            self.firsts.append(f"b{b}_0")
            self.stays.append(self.stay(batch, b, ends))
        for i, (a, length_a) in enumerate(spans):
            for c, length_c in spans[:i]:
                self.say(f"(or (<= (+ {a} {length_a}) {c}) (<= (+ {c} {length_c}) {a}))")
        if "rack" in problem:
            self.keep_rack(problem)
        self.late, self.lateness, self.begun = (self.total(t) for t in (counts, lates, self.firsts))

    @staticmethod
    def total(terms):
        return f"(+ 0 {' '.join(terms)})"

    def say(self, what):
        self.lines.append(f"(assert {what})")

    @staticmethod
    def stay(batch, b, ends):
        if batch["boards"] == 0:
            return None
        begin = f"b{b}_{batch['onto_rack']}" if "onto_rack" in batch else None
        if "last_on_rack" in batch:
            return begin, f"(+ {ends[batch['last_on_rack']]} {batch['drying']})"
        return (begin, minute(batch["off_rack"])) if "off_rack" in batch else None

    def keep_rack(self, problem):
        # Whenever somebody comes onto it, it holds all that stand there then.
        for b, stay in enumerate(self.stays):
            if not stay or not stay[0]:
                continue
            there = [minute(problem["batches"][b]["boards"])]
            for other, its in enumerate(self.stays):
                if other == b or not its:
                    continue
                came = f"(<= {its[0]} {stay[0]})" if its[0] else "true"
                there.append(f"(ite (and {came} (< {stay[0]} {its[1]})) {problem['batches'][other]['boards']} 0)")
            self.say(f"(<= {self.total(there)} {problem['rack']})")

    def ask(self, *more):
        text = "\n".join(self.lines + [f"(assert {m})" for m in more] + ["(check-sat)"])
        run = subprocess.run(["z3", "-in", "-T:300"], input=text, capture_output=True, text=True)
        return run.stdout.strip()


def begins_of(answer):
    return [f"(= b{b}_{k} {minute(at)})" for b, begins in enumerate(answer["begins"]) for k, at in enumerate(begins)]


def keeps(script, answer):
    """What is wrong with a plan and its figures, however good it is."""
    figures = [f"(= {script.late} {answer['late']})", f"(= {script.lateness} {answer['lateness']})",
               f"(= {script.begun} {minute(answer['begun'])})"]
    said = script.ask(*begins_of(answer), *figures)
    return None if said == "sat" else f"the plan does not keep the rules or its figures are wrong: {said}"


def bettered(script, answer):
    """Whether there is a better plan."""
    late = f"(= {script.late} {answer['late']})"
    lateness = f"(= {script.lateness} {answer['lateness']})"
    better = (f"(or (< {script.late} {answer['late']}) (and {late} (< {script.lateness} {answer['lateness']})) "
              f"(and {late} {lateness} (> {script.begun} {minute(answer['begun'])})))")
    said = script.ask(better)
    return None if said == "unsat" else f"there is a better plan: {said}"


def bounds(best, hurried):
    """What is wrong with the bounds, given the best plan."""
    if "none" in hurried or "none" in best:
        return None
    if hurried["least_late"] > best["late"] or hurried["least_lateness"] > best["lateness"]:
        return f"a bound is above the best plan: {hurried}"
    rank = lambda a: (a["late"], a["lateness"], -a["begun"])
    return None if rank(hurried) >= rank(best) else f"a hurried plan is better than the best: {hurried}"


def prove(problem, answer, hurried):
    """What is wrong with the answers; nothing where z3 proves them."""
    script = Script(problem)
    if "none" in answer:  # 0 and 1: a task longer than any sitting, a batch larger than the rack
        return None if answer["none"] in (0, 1) or script.ask() == "unsat" else "z3 has a plan where the engine has none"
    if not answer["best"]:
        return "the engine did not prove its plan"
    return keeps(script, answer) or bettered(script, answer) or bounds(answer, hurried) or (
        "none" not in hurried and keeps(script, hurried)) or None


def breaches(problem, begins):
    """What a plan breaks, looked at minute by minute; for shops too large for z3."""
    out, spans, stays = [], [], []
    for batch, at in zip(problem["batches"], begins):
        tasks = batch["tasks"]
        ends = [a + t["length"] for a, t in zip(at, tasks)]
        if at[0] < batch["not_before"]:
            out.append("begun too early")
        for k, task in enumerate(tasks):
            if not any(s <= at[k] and ends[k] <= u for s, u in problem["sittings"]):
                out.append("outside every sitting")
            if k and at[k] < ends[k - 1] + task["wait"]:
                out.append("a shortest wait")
            if k and "longest" in task and ends[k] > at[k - task.get("back", 1)] + task["longest"]:
                out.append("a longest wait")
            if task["after_cure"] and at[k] < max([e + t["cure"] for e, t in zip(ends[:k], tasks)], default=0):
                out.append("the cure")
        spans += zip(at, ends)
        if "onto_rack" in batch:
            stays.append((at[batch["onto_rack"]], ends[batch["last_on_rack"]] + batch["drying"], batch["boards"]))
    spans.sort()
    out += ["two tasks at once" for (_, end), (begin, _) in zip(spans, spans[1:]) if begin < end]
    for came, *_ in stays:
        if sum(boards for a, b, boards in stays if a <= came < b) > problem.get("rack", 10**9):
            out.append("the rack")
    return out


def large_shop(seed):
    """Forty batches of six tasks over eight weeks of evenings and Saturdays."""
    rng = random.Random(seed)
    day = 1440
    sittings = [[d * day + 19 * 60, d * day + 21 * 60 + 30] if d % 7 < 5 else [d * day + 540, d * day + 1020]
                for d in range(700) if d % 7 != 6]
    batches = []
    for _ in range(40):
        boards = rng.randint(2, 8)
        tasks = [{"length": min(150, 20 * boards), "wait": 0, "cure": 0, "after_cure": 0}]
        for coat in range(4):
            tasks.append({"length": 6 * boards, "wait": rng.choice([720, 1440]), "cure": 10 * day, "after_cure": 0})
            if coat and rng.random() < 0.1:
                tasks[-1]["longest"] = 4 * day
        tasks.append({"length": 3 * boards, "wait": 0, "cure": 0, "after_cure": 1})
        batches.append({"tasks": tasks, "not_before": 0, "cured": 0, "boards": boards, "onto_rack": 1,
                        "last_on_rack": 4, "drying": day, "ready_by": rng.randint(2, 8) * 7 * day})
    return {"sittings": sittings, "batches": batches, "rack": rng.choice([24, 40, 60])}


def large_shops(tool):
    """What is wrong with the plans of large shops and their bounds."""
    problems = [large_shop(seed) for seed in range(8)]
    for seed, (problem, answer) in enumerate(zip(problems, answers_of(tool, problems))):
        if "none" in answer:
            yield f"large shop {seed}: no plan"
            continue
        wrong = breaches(problem, answer["begins"])
        late = [max(0, max(a + t["length"] + t["cure"] for a, t in zip(at, b["tasks"])) - b["ready_by"])
                for b, at in zip(problem["batches"], answer["begins"])]
        if (sum(x > 0 for x in late), sum(late)) != (answer["late"], answer["lateness"]):
            wrong.append("its figures")
        if answer["least_late"] > answer["late"] or answer["least_lateness"] > answer["lateness"]:
            wrong.append("its bounds")
        if wrong:
            yield f"large shop {seed}: {sorted(set(wrong))}"


def answers_of(tool, problems, *words):
    run = subprocess.run([tool, *words], input="\n".join(json.dumps(p) for p in problems) + "\n",
                         capture_output=True, text=True, check=True)
    answers = [json.loads(line) for line in run.stdout.splitlines()]
    assert len(answers) == len(problems)
    return answers


def self_test(problems, answers):
    """A plan that could begin a minute later, and one with two tasks at once, must be noticed."""
    noticed = asked = 0
    for problem, answer in zip(problems, answers):
        if "none" in answer:
            continue
        script = Script(problem)
        worse = dict(answer, begun=answer["begun"] - 1)
        # The last batch's last task where its first is, or in no sitting.
        begins = [list(of) for of in answer["begins"]]
        begins[-1][-1] = begins[-1][0] if len(begins[-1]) > 1 else -10**6
        broken = dict(answer, begins=begins)
        broken["begun"] = sum(of[0] for of in begins)
        asked += 3 if len(begins[-1]) > 1 else 2
        noticed += len(begins[-1]) > 1 and bool(breaches(problem, begins))
        noticed += (bettered(script, worse) is not None) + (keeps(script, broken) is not None)
    print(f"{noticed} of {asked} planted faults noticed")
    return noticed == asked


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--tool", required=True)
    parser.add_argument("--cases", type=int, default=260)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--self-test", action="store_true")
    options = parser.parse_args()
    problems = [random_problem(seed) for seed in range(options.seed, options.seed + options.cases)]
    answers = answers_of(options.tool, problems)
    if options.self_test:
        sys.exit(0 if self_test(problems[:20], answers[:20]) else 1)
    hurried = answers_of(options.tool, problems, "hurried")
    with ThreadPoolExecutor(options.jobs) as pool:
        wrong = list(pool.map(prove, problems, answers, hurried))
    for seed, (fault, answer) in enumerate(zip(wrong, answers), options.seed):
        if fault:
            print(f"seed {seed}: {fault}\n  {answer}")
    wrong += large_shops(options.tool)
    for fault in wrong[options.cases:]:
        print(fault)
    planned = sum("none" not in a for a in answers)
    late = sum(a.get("late", 0) > 0 for a in answers)
    unsearched = sum(not h.get("best", True) for h in hurried)
    print(f"{len(answers)} shops, {planned} with a plan, {late} of them with a late batch; "
          f"{sum(map(bool, wrong))} not proved; bounds of {unsearched} compared")
    sys.exit(1 if any(wrong) or planned < 200 else 0)


if __name__ == "__main__":
    main()
