#!/usr/bin/env python3
"""Random small sequence problems that are hard on purpose: ties, no order, *any* facets, reach, facets that do not halt, ends, optional
steps, twins, groups, stages, every kind of demand.

    random_problems.py SEED  ->  one problem file on standard output
"""
import json
import random
import sys


def closed(m):
    for v in range(len(m)):
        for a in range(len(m)):
            for b in range(len(m)):
                m[a][b] = min(m[a][b], m[a][v] + m[v][b])
    return m


def matrix(r, n, costs):
    return closed([[0 if a == b else r.choice(costs) for b in range(n)] for a in range(n)])


def problem(seed):
    r = random.Random(seed)
    clock = r.random() < 0.55
    n = r.randint(1, 5 if clock else 6)
    costs = r.choice([[0, 100, 200], [100], [50, 100, 300, 700], [0, 0, 900]])
    n_post = r.randint(1, 4)
    posts = list(range(n_post))
    facets = []
    for f in range(r.randint(0, 2 if clock else 3)):
        k = r.randint(1, 3)
        reach = r.sample(posts, r.randint(1, n_post)) if r.random() < 0.5 else None
        facets.append({"name": f"f{f}", "values": [str(v) for v in range(k)], "change": matrix(r, k, costs), "reach": reach, "stop": r.random() < 0.6})
    steps = []
    for i in range(n):
        if steps and r.random() < 0.2:
            s = json.loads(json.dumps(r.choice(steps)))
            s["id"] = f"s{i}"
            steps.append(s)
            continue
        setup = []
        for f in facets:
            k = len(f["values"])
            setup.append(None if r.random() < 0.4 else [[v, r.choice([0, 0, 50, 120])] for v in r.sample(range(k), r.randint(1, k))])
        steps.append({
            "id": f"s{i}", "side": r.choice(["both", "left", "right"]), "duration": r.choice([0, 100, 500, 1000, 3000]), "setup": setup,
            "posture": [r.choice(posts), r.choice(posts)], "stage": r.choice([None, None, None, 0, 1, 2]), "group": r.choice([None, None, 1, 2]),
            "optional": r.choice([0, 40, 200]) if r.random() < 0.2 else None,
        })
    start = {"setup": [r.randrange(len(f["values"])) for f in facets], "posture": r.choice([None, r.choice(posts)])}
    end = None
    if r.random() < 0.5:
        end = {"setup": [r.choice([None, r.randrange(len(f["values"]))]) for f in facets], "posture": r.choice([None, r.choice(posts)])}
    total = sum(s["duration"] for s in steps)
    demands = []

    def some(least=1):
        return r.sample(range(n), r.randint(min(least, n), n))

    kinds = ["precede", "contiguous", "place", "follow", "at_most", "same", "neighbours"]
    if clock:
        kinds += ["window", "recovery", "longest", "fits", "fatigue", "peak"] * 2
    for _ in range(r.randint(0, 5)):
        kind = r.choice(kinds)
        weight = None if r.random() < 0.45 else r.choice([0, 30, 100, 250, 800])
        at = {"kind": kind}
        if kind == "precede":
            if n < 2:
                continue
            at["a"], at["b"] = r.sample(range(n), 2)
        elif kind == "contiguous":
            at.update(steps=some(), ordered=r.random() < 0.4, within=r.choice([0, 0, 1, 2]))
        elif kind == "place":
            at.update(step=r.randrange(n), min=r.choice([1, 1, 2, -1, -2, -3]), max=r.choice([1, 2, 3, -1, -1, -2]))
        elif kind == "follow":
            at.update(trigger=some(0), remedy=some(0), within=r.choice([0, 1, 2, 3]))
        elif kind in ("at_most", "same"):
            if not facets or n < 2:
                continue
            at["facet"] = r.randrange(len(facets))
            at.update({"changes": r.randint(0, 3)} if kind == "at_most" else {"steps": some(2)})
        elif kind == "neighbours":
            pairs = [[a, b] for a in range(n) for b in range(n) if a != b and r.random() < 0.35]
            least = r.choice([None, 1, 2])
            at.update(pairs=pairs, least=least, most=r.choice([0, 1]) if least is None else r.choice([None, least]))
        elif kind == "window":
            a = r.randint(0, total + 300)
            at.update(step=r.randrange(n), **{"from": a}, to=a + r.choice([0, 100, 1000]))
        elif kind == "recovery":
            at.update(steps=some(), seconds=r.choice([50, 100, 300, 600, 1500]))
        elif kind == "longest":
            at.update(steps=some(), limit=r.choice([100, 600, 1500, 4000]), rest=r.choice([50, 100, 250, 600]))
        elif kind == "fits":
            at.update(total=total + r.choice([0, 100, 300, 800]))
        elif kind == "fatigue":
            at.update(region="r", loads=[[s, r.choice([0, 0.2, 0.5, 1])] for s in some()], build=0.015, recover=r.choice([0, 0.0015]), rest=r.choice([1, 15]), start=r.choice([0, 0.1]), ceiling=r.choice([0.05, 0.1, 0.2, 0.4]))
        elif kind == "peak":
            a = r.choice([0, 200, 400])
            at.update(step=r.randrange(n), **{"from": a}, to=a + r.choice([100, 400, 600]))
        demands.append({**at, "weight": weight})
    return {
        "segue_problem": 1, "title": f"random {seed}", "facets": facets, "postures": {"names": [f"p{p}" for p in posts], "path": matrix(r, n_post, costs)},
        "start": start, "end": end, "weights": {"time": r.choice([0, 1, 1, 1, 3]), "stop": r.choice([0, 100, 500])}, "steps": steps, "demands": demands,
    }


if __name__ == "__main__":
    print(json.dumps(problem(int(sys.argv[1]))))
