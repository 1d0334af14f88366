#!/usr/bin/env python3
"""Runs all problem files of a folder and prints a table.

    benches/problems.py FOLDER [--seconds T] [--segue PROGRAM] [--known FILE.csv] [--seed N] [NAME ...]

FOLDER holds problem files (`.json`). `best_known.csv` in it (or --known) gives the best-known scores, with the columns `file` and `score`
(empty: no order exists, or none is known). Each gets T seconds (default 60), one thread, one after the other. Columns: name, steps, best
known, score found (with `=` or how far above), bound, whether proven, wall-clock and processor seconds, peak memory in MiB.

Exit code 1 if a proven score is not the best known or better, a bound lies above the best known, or a run failed: then something is wrong.
"""

import csv
import json
import pathlib
import sys

from sop import asked, run


def known_scores(path):
    if not path.exists():
        return {}
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    return {row["file"].removesuffix(".json"): int(row["score"]) for row in rows if row["score"].isdigit()}


def main():
    args = asked(__doc__, "problems")
    known = known_scores(args.known or args.folder / "best_known.csv")
    wrong = []
    print("| problem | steps | best known | found | | bound | proven | seconds | processor | MiB |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for file in sorted(args.folder.glob("*.json")):
        name = file.stem
        if args.names and name not in args.names:
            continue
        steps = len(json.loads(file.read_text())["steps"])
        said, wall, processor, memory = run(args.segue, file, args.seconds, args.seed)
        if said is None:
            wrong.append(f"{name}: the run failed")
            continue
        best, score, bound = known.get(name), said.get("score"), said.get("bound")
        proven = "yes" if said["proven"] else ""
        apart = ""
        if best is not None and score is not None:
            apart = "=" if score == best else f"{100 * (score - best) / max(best, 1):+.2f} %"
        if best is not None and bound is not None and bound > best:
            wrong.append(f"{name}: a bound of {bound} above the best known {best}")
        if best is not None and said["proven"] and (score is None or score > best):
            wrong.append(f"{name}: {score} said to be proven, the best known is {best}")
        figures = [name, steps, best or "", "none" if score is None else score, apart, "" if bound is None else bound, proven]
        print("|", " | ".join(map(str, figures)), f"| {wall:.3f} | {processor:.3f} | {memory:.0f} |", flush=True)
    for line in wrong:
        print(line, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
