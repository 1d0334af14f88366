#!/usr/bin/env python3
"""Runs problem files under the three priorities and prints a table.

    benches/priorities.py FOLDER [--seconds T] [--segue PROGRAM] [--seed N] [NAME ...]

Each problem is solved as it is (`balanced`); with stops, penalties and soft weights times a number above the change-over time of any order
(`changes`); and with all but the stops times the steps + 2, and a stop counting 1 (`time`): what the three priorities of a class are compiled to.
Each gets T seconds (default 60), one thread, one after the other. Columns: name, priority, score, bound, the gap as a part of the score, stops of
the plan and no fewer than which any order has, wall-clock seconds.

Exit code 1 if a plan scores less than the bound or has fewer stops than that, or a run failed: then something is wrong.
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile
import time

from sop import asked


def weighed(problem, priority):
    """The problem under a priority."""
    p = json.loads(json.dumps(problem))
    if priority == "balanced":
        return p
    steps = len(p["steps"])
    dearest = [max(map(max, f["change"])) for f in p["facets"]]
    way = max(map(max, p["postures"]["path"]))
    above = (steps + 1) * (sum(dearest) + (len(dearest) + 1) * way) + 1
    times = above if priority == "changes" else steps + 2
    for step in p["steps"]:
        for choices in filter(None, step["setup"]):
            for choice in choices:
                choice[1] *= times
        if step["optional"] is not None:
            step["optional"] *= times
    for demand in p["demands"]:
        if demand["weight"] is not None:
            demand["weight"] *= times
    if priority == "changes":
        p["weights"]["stop"] = max(p["weights"]["stop"], 1) * times
    else:
        p["weights"] = {"time": times, "stop": 1}
    return p


def told(text, pattern):
    found = re.search(pattern, " ".join(text.split()))
    return None if found is None else int(found.group(1))


def main():
    args = asked(__doc__, "priorities")
    wrong = []
    print("| problem | priority | score | bound | gap | stops | at least | seconds |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "problem.json"
        for of in sorted(args.folder.glob("*.json")):
            if args.names and of.stem not in args.names:
                continue
            problem = json.loads(of.read_text())
            for priority in ("balanced", "changes", "time"):
                file.write_text(json.dumps(weighed(problem, priority)))
                begun = time.monotonic()
                command = [args.segue, "solve", str(file), "--no-conflict", "--seconds", str(args.seconds), "--seed", str(args.seed)]
                ran = subprocess.run(command, capture_output=True, text=True)
                seconds = time.monotonic() - begun
                score, stops = told(ran.stdout, r"Score (\d+)"), told(ran.stdout, r", (\d+) stops?,")
                if score is None:
                    if ran.returncode != 1:
                        wrong.append(f"{of.stem}, {priority}: the run failed: {ran.stderr.strip()}")
                    print(f"| {of.stem} | {priority} | none | | | | | {seconds:.2f} |", flush=True)
                    continue
                bound = told(ran.stdout, r"scores at least (\d+)")
                least = told(ran.stdout, r"fewer than (\d+) stops?")
                bound = score if bound is None else bound
                gap = "proven" if bound == score else f"{100 * (score - bound) / score:.1f} %"
                if bound > score or (least or 0) > (stops or 0):
                    wrong.append(f"{of.stem}, {priority}: bound {bound}, score {score}, stops {stops}, at least {least}")
                figures = [of.stem, priority, score, bound, gap, stops or 0, "" if least is None else least]
                print("|", " | ".join(map(str, figures)), f"| {seconds:.2f} |", flush=True)
    for line in wrong:
        print(line, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
