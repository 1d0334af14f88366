#!/usr/bin/env python3
"""Makes problem files of any size, of the kinds that a class can be of.

    benches/made.py KIND STEPS [--seed N] [--plan FILE]

prints a problem file of KIND (one of those below) with so many steps, the same for the same seed and version of Python. --plan writes the plan that
the problem was built around, a solution file without its figures: an order and set-ups.

How it is made: movements are drawn (both-sided, one-sided as a pair, or in a series of two to four that is done on one side and then on the
other), put into an order that keeps the phases
(next always the one of a few that is entered at the least cost), some of them joined to blocks, and given set-ups that carry values over where they can. Then demands are drawn, and their
figures are those that this plan just keeps, with the slack of the kind. So every problem that is made has an order, however large it is; nothing
is known of the best one. All data is invented but for the rates of `fatigue`: Frey-Law, Looft and Heitsman 2012, doi
10.1016/j.jbiomech.2012.04.018, table 1 (grip, trunk).

| kind | what is hard about it |
| --- | --- |
| calm | half of the steps both-sided, few demands, hardly a clock |
| packed | every kind of demand but `same` and `neighbours`, some soft; breathers |
| tight | the clock binds: many long recoveries over many steps, narrow windows, half a per cent of slack |
| springs-heavy | 16 spring values, ranges of up to eight of them with penalties, most steps in series |
| week | breathers, series, a reset of the machine at the end, many soft demands |
| studio | facets that are reached from some postures only, straps that do not halt the class, breathers, series, `neighbours`, a reset of some facets |
| sides | like studio, nearly all steps one-sided, wide spring ranges, the same springs on both sides |

These are our own: they share their names and what is hard about them with other problem files of such kinds, not their numbers. Fewer movements are
joined to blocks, so more orders are left to look at, and the figures of the demands come from one plan that is not a good one: take the curves for
how cost grows, not for how long a class of so many steps takes.
"""

import argparse
import itertools
import json
import math
import random

# One-sided steps, series among them, blocks that join the one before; how many regions, windows; slack of the whole; parts of the kind.
KINDS = {
    "calm": {"sided": 0.5, "series": 0.0, "join": 0.0, "regions": 0, "windows": 0, "slack": 0.10},
    "packed": {"sided": 0.75, "series": 0.2, "join": 0.2, "regions": 4, "windows": 1, "slack": 0.03, "breathers": 2, "soft": 0.2, "packed": True},
    "tight": {"sided": 0.45, "series": 0.0, "join": 0.0, "regions": 5, "windows": 2, "slack": 0.01, "tight": True},
    "springs-heavy": {"sided": 0.8, "series": 0.6, "join": 0.4, "regions": 1, "windows": 0, "slack": 0.05, "springs": 16, "wide": True},
    "week": {"sided": 0.8, "series": 0.5, "join": 0.3, "regions": 2, "windows": 1, "slack": 0.04, "breathers": 3, "soft": 0.6, "reset": 5},
    "studio": {"sided": 0.8, "series": 0.4, "join": 0.3, "regions": 3, "windows": 0, "slack": 0.03, "breathers": 2, "soft": 0.4, "reset": 2, "reach": True},
    "sides": {"sided": 0.9, "series": 0.4, "join": 0.2, "regions": 3, "windows": 1, "slack": 0.04, "breathers": 1, "soft": 0.3, "reset": 4, "reach": True, "wide": True, "same": True},
}
POSTURES = ["supine", "supine, feet in the straps", "prone", "seated", "kneeling", "standing", "side-lying, left", "side-lying, right"]
FACETS = [("springs", None), ("foot bar", 4), ("box", 3), ("straps", 5), ("head rest", 2)]
# How often a movement does not care about a facet, and the cost of a change of it.
ANY = [0.1, 0.3, 0.3, 0.4, 0.9]
CHANGE = [None, (360, 600), (600, 1080), (360, 720), (240, 240)]
REACH = [[3, 4], [3, 4, 5], [5], [0, 3, 4, 5], None]
RATES = [("grip", 0.0098, 0.00064, 30), ("trunk", 0.00755, 0.00075, 15)]


def closed(rows):
    """The same costs with no detour shorter."""
    for via, a, b in itertools.product(range(len(rows)), repeat=3):
        rows[a][b] = min(rows[a][b], rows[a][via] + rows[via][b])
    return rows


class Made:
    def __init__(self, kind, steps, seed):
        self.kind, self.how = kind, KINDS[kind]
        self.die = random.Random(f"{kind} {steps} {seed}")
        self.n = steps
        self.postures = self.ways()
        self.loads, self.facets = self.machine()
        self.steps, self.blocks, self.demands = [], [], []
        self.movements()
        self.start = {"setup": [0] * len(FACETS), "posture": self.die.choice([None, 1, 5])}
        self.end = None
        if reset := self.how.get("reset"):
            self.end = {"setup": [0 if f < reset else None for f in range(len(FACETS))], "posture": None}
        self.plan()
        self.demand()

    def ways(self):
        n = len(POSTURES)
        costs = [[0] * n for _ in range(n)]
        for a in range(n):
            for b in range(a):
                near = self.die.random() < 0.4
                costs[a][b] = costs[b][a] = self.die.randrange(300, 700, 50) if near else self.die.randrange(900, 1900, 50)
        return closed(costs)

    def machine(self):
        every = [(h, m, l) for h in range(4) for m in range(2) for l in range(2)]
        every.sort(key=lambda v: 2 * v[0] + 1.5 * v[1] + v[2])
        springs = every[: self.how.get("springs", 12)]
        loads = [2 * h + 1.5 * m + l for h, m, l in springs]
        facets = []
        for f, (name, count) in enumerate(FACETS):
            if count is None:
                apart = lambda u, v: sum(abs(a - b) for a, b in zip(u, v))
                change = [[0 if u == v else 500 + 120 * apart(u, v) for v in springs] for u in springs]
                values = [f"{h} heavy, {m} medium, {l} light" for h, m, l in springs]
            else:
                least, most = CHANGE[f]
                change = closed([[0 if u == v else self.die.randint(least, most) for v in range(count)] for u in range(count)])
                values = [f"{name} {v}" for v in range(count)]
            reach = REACH[f] if self.how.get("reach") else None
            stop = not (self.how.get("reach") and name == "straps")
            facets.append({"name": name, "values": values, "change": change, "reach": reach, "stop": stop})
        return loads, facets

    def movement(self, phase):
        """What the steps of one movement have in common."""
        die = self.die
        setup = []
        for f, facet in enumerate(self.facets):
            if die.random() < ANY[f]:
                setup.append(None)
            elif f == 0:
                best = die.randrange(len(self.loads))
                wide = 3.0 if self.how.get("wide") else die.choice([0, 0.5, 1])
                near = [v for v, load in enumerate(self.loads) if abs(load - self.loads[best]) <= wide]
                near = sorted(near, key=lambda v: (v != best, abs(self.loads[v] - self.loads[best])))[: 8 if self.how.get("wide") else 4]
                setup.append([[v, round(300 * abs(self.loads[v] - self.loads[best])) + (0 if v == best else 40)] for v in near])
            else:
                values = die.sample(range(len(facet["values"])), die.choice([1, 1, 2]) if len(facet["values"]) > 2 else 1)
                setup.append([[v, 0 if k == 0 else die.choice([100, 250, 400])] for k, v in enumerate(values)])
        posture = die.randrange(6)
        away = die.randrange(6) if die.random() < 0.1 else posture
        return {"duration": die.randrange(2000, 12001, 500), "setup": setup, "posture": [posture, away], "stage": phase}

    def step(self, movement, side, group):
        self.steps.append({"id": f"s{len(self.steps)}", "side": side, **movement, "group": group, "optional": None})
        return len(self.steps) - 1

    def movements(self):
        die, breathers = self.die, min(self.how.get("breathers", 0), self.n // 6)
        work, group = self.n - breathers, 0
        while len(self.steps) < work:
            left, at = work - len(self.steps), len(self.steps) / work
            phase = 0 if at < 0.12 else 2 if at > 0.9 else die.choice([1, 1, 1, 1, None])
            if left < 2 or die.random() >= self.how["sided"] * 0.67:
                self.blocks.append([[self.step(self.movement(phase), "both", None)]])
                continue
            many = die.randint(2, 4) if phase == 1 and die.random() < self.how["series"] else 1
            many, group = min(many, left // 2), group + 1
            series = [self.movement(phase) for _ in range(many)]
            runs = [[self.step(m, side, group) for m in series] for side in ("left", "right")]
            self.blocks.append(runs)
            for run in runs:
                if many > 1:
                    self.contiguous(run, True)
            self.contiguous(runs[0] + runs[1], False)
            for a, b in zip(*runs):
                if self.how.get("same") and self.steps[a]["setup"][0]:
                    self.demands.append({"kind": "same", "steps": [a, b], "facet": 0, "weight": None})
        for _ in range(breathers):
            rest = {"duration": 3000, "setup": [None] * len(FACETS), "posture": [0, 0], "stage": None}
            self.steps[self.step(rest, "both", None)]["optional"] = 1000

    def contiguous(self, steps, ordered):
        self.demands.append({"kind": "contiguous", "steps": steps, "ordered": ordered, "within": 0, "weight": None})

    def plan(self):
        """The plan that figures are taken from: order, set-ups, starts, ends."""
        blocks = self.chosen()
        self.join(blocks)
        self.order = [s for block in blocks for run in block for s in run]
        now, clock, posture = self.start["setup"], 0, self.start["posture"]
        self.setups, self.begins, self.ends, self.changes, used = [], {}, {}, [0] * len(FACETS), {}
        for s in self.order:
            step, setup = self.steps[s], list(now)
            for f, choices in enumerate(step["setup"]):
                if choices:
                    values = [v for v, _ in choices]
                    # Both sides of a movement have the same list: what was used for it is used again.
                    again = used.get((json.dumps([step["setup"], step["group"]]), f))
                    setup[f] = again if again is not None else now[f] if now[f] in values else values[0]
                    used[json.dumps([step["setup"], step["group"]]), f] = setup[f]
            clock += self.changeover(posture, step["posture"][0], now, setup)
            self.changes = [c + (now[f] != setup[f]) for f, c in enumerate(self.changes)]
            self.begins[s], self.ends[s] = clock, clock + step["duration"]
            clock, posture, now = self.ends[s], step["posture"][1], setup
            self.setups.append(setup)
        end = self.end and [now[f] if v is None else v for f, v in enumerate(self.end["setup"])]
        self.finish = clock + (self.changeover(posture, None, now, end) if end else 0)
        self.changes = [c + (now[f] != (end or now)[f]) for f, c in enumerate(self.changes)]

    def chosen(self):
        """The blocks in an order that keeps the phases: next always the one of four drawn at random that is entered at the least cost."""
        left, order = self.blocks[:], []
        self.die.shuffle(left)
        # Blocks of no phase stand among the main ones.
        stage = lambda block: self.steps[block[0][0]]["stage"]
        left.sort(key=lambda b: 1 if stage(b) is None else stage(b))
        now, posture = list(self.start["setup"]), self.start["posture"]
        while left:
            first = 1 if stage(left[0]) is None else stage(left[0])
            drawn = [b for b in left[:4] if (1 if stage(b) is None else stage(b)) == first]
            entered = lambda b: self.changeover(posture, self.steps[b[0][0]]["posture"][0], now, self.carried(now, self.steps[b[0][0]]))
            best = min(drawn, key=entered)
            left.remove(best)
            order.append(best)
            for s in (s for run in best for s in run):
                now, posture = self.carried(now, self.steps[s]), self.steps[s]["posture"][1]
        return order

    def carried(self, now, step):
        """The set-up of a step that keeps what it may."""
        kept = lambda f, choices: now[f] if not choices or now[f] in [v for v, _ in choices] else choices[0][0]
        return [kept(f, choices) for f, choices in enumerate(step["setup"])]

    def join(self, blocks):
        """Some blocks and the ones before them belong together, in any order, at most eight steps."""
        members = lambda block: [s for run in block for s in run]
        together = members(blocks[0])
        for before, block in itertools.pairwise(blocks):
            stages = {self.steps[s]["stage"] for s in together + members(block)}
            if self.die.random() < self.how["join"] and len(together) + len(members(block)) <= 8 and len(stages) == 1:
                together += members(block)
                continue
            if len(together) > len(members(before)):
                self.contiguous(together, False)
            together = members(block)
        if len(together) > len(members(blocks[-1])):
            self.contiguous(together, False)

    def changeover(self, posture, to, before, after):
        changed = [f for f in range(len(FACETS)) if before[f] != after[f]]
        time = sum(self.facets[f]["change"][before[f]][after[f]] for f in changed)
        reached = [self.facets[f]["reach"] for f in changed if self.facets[f]["reach"]]
        return time + min(self.walk(posture, order, to) for order in itertools.permutations(reached))

    def walk(self, posture, reached, to):
        """The least time of a walk from one posture through one of each list to another; `None`: from or to anywhere."""
        at = {p: 0 for p in range(len(POSTURES))} if posture is None else {posture: 0}
        for stop in [*reached, range(len(POSTURES)) if to is None else [to]]:
            at = {q: min(cost + self.postures[p][q] for p, cost in at.items()) for q in stop}
        return min(at.values())

    def soft(self, weights=(200, 400, 800, 1500)):
        return self.die.choice(weights) if self.die.random() < self.how.get("soft", 0) else None

    def add(self, kind, weight, **fields):
        self.demands.append({"kind": kind, **fields, "weight": weight})

    def demand(self):
        die, how, order = self.die, self.how, self.order
        place = {s: i + 1 for i, s in enumerate(order)}
        for _ in range(max(1, self.n // (8 if self.kind == "calm" else 4))):
            a, b = sorted(die.sample(order, 2), key=place.get)
            self.add("precede", self.soft(), a=a, b=b)
        self.add("at_most", None, facet=2, changes=self.changes[2])
        self.add("fits", None, total=math.ceil(self.finish * (1 + how["slack"])))
        for _ in range(how["windows"] * (1 + self.n // 60)):
            s = die.choice(order)
            wide = 6000 if how.get("tight") else 18000
            start = max(0, self.begins[s] - die.randrange(wide))
            self.add("window", self.soft(), step=s, to=start + wide, **{"from": start})
        share = 0.35 if how.get("tight") else 0.25
        for _ in range(how["regions"]):
            members = sorted(s for s in order if die.random() < share)
            self.recovery(members, 0)
        if how["regions"]:
            self.fatigue(sorted(s for s in order if die.random() < 0.3))
        if how["regions"] > 2:
            self.longest(sorted(s for s in order if die.random() < 0.4))
        if how.get("breathers") or how.get("packed"):
            self.follow()
            s = die.choice(order)
            self.add("peak", die.choice([20, 50, 100]), step=s, to=700, **{"from": 400})
            s = die.choice(order)
            self.add("place", self.soft(), step=s, min=max(1, place[s] - self.n // 8), max=place[s] + self.n // 8)
        if how.get("reach"):
            other = order[:]
            die.shuffle(other)
            pairs = [list(pair) for pair in zip(other, other[1:])]
            stand = sum([a, b] in pairs for a, b in zip(order, order[1:]))
            self.add("neighbours", None, pairs=pairs, least=None, most=max(stand, self.n // 3))

    def recovery(self, members, least):
        stand = [s for s in self.order if s in members]
        group = lambda s: self.steps[s]["group"]
        gaps = [self.begins[b] - self.ends[a] for a, b in zip(stand, stand[1:]) if group(a) is None or group(a) != group(b)]
        # Neighbours in the plan would leave no rest: the later one is no member.
        for a, b in zip(stand, stand[1:]):
            if self.begins[b] - self.ends[a] < 3000 and (group(a) is None or group(a) != group(b)):
                return self.recovery([s for s in members if s != b], least) if len(members) > 2 else None
        if gaps:
            self.add("recovery", self.soft((300, 600, 1200)), steps=members, seconds=min(min(gaps) // 500 * 500, 9000))

    def longest(self, members):
        rest, longest, begun, ended = 1500, 0, None, None
        for s in (s for s in self.order if s in members):
            if begun is None or self.begins[s] - ended >= rest:
                begun = self.begins[s]
            ended = self.ends[s]
            longest = max(longest, ended - begun)
        self.add("longest", self.soft(), steps=members, limit=math.ceil(longest / 500) * 500, rest=rest)

    def fatigue(self, members):
        region, build, recover, rest = self.die.choice(RATES)
        loads = {s: self.die.choice([0.3, 0.5, 0.7]) for s in members}
        share = clock = most = 0.0
        for s in (s for s in self.order if s in loads):
            share *= math.exp(-rest * recover * (self.begins[s] - clock) / 100)
            level = build * loads[s] / recover
            clock = self.ends[s]
            share = level + (share - level) * math.exp(-recover * (clock - self.begins[s]) / 100)
            most = max(most, share)
        if most > 0.95:
            # More than there is: with every other step it is less.
            return self.fatigue(members[::2])
        ceiling = math.ceil(most * 1000 + 1) / 1000
        loads = [list(pair) for pair in loads.items()]
        self.add("fatigue", self.soft(), region=region, loads=loads, build=build, recover=recover, rest=rest, start=0, ceiling=ceiling)

    def follow(self):
        """Steps with a remedy among those that come directly after them in the plan; one or two a class."""
        at = self.die.sample(range(len(self.order) - 1), min(1 + self.n // 30, len(self.order) - 1))
        trigger = sorted({self.order[i] for i in at if i + 1 not in at})
        remedy = sorted({self.order[i + 1] for i in at if i + 1 not in at})
        if trigger:
            self.add("follow", None, trigger=trigger, remedy=remedy, within=1)

    def problem(self):
        return {
            "segue_problem": 1,
            "title": f"made: {self.kind}, {self.n} steps",
            "facets": self.facets,
            "postures": {"names": POSTURES, "path": self.postures},
            "start": self.start,
            "end": self.end,
            "weights": {"time": 1, "stop": 1500},
            "steps": self.steps,
            "demands": self.demands,
        }

    def solution(self):
        return {"order": self.order, "setups": self.setups}


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("kind", choices=KINDS)
    arguments.add_argument("steps", type=int)
    arguments.add_argument("--seed", type=int, default=0)
    arguments.add_argument("--plan")
    args = arguments.parse_args()
    made = Made(args.kind, args.steps, args.seed)
    print(json.dumps(made.problem()))
    if args.plan:
        with open(args.plan, "w") as file:
            json.dump(made.solution(), file)


if __name__ == "__main__":
    main()
