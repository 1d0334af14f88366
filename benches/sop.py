#!/usr/bin/env python3
"""Runs all sequential ordering instances of a folder and prints a table.

    benches/sop.py FOLDER [--seconds T] [--segue PROGRAM] [--known FILE.csv] [--seed N] [NAME ...]

FOLDER holds `.sop` files. `best_known.csv` in it (or --known) gives the best-known values, with the columns `name`, `best_known_lower`,
`best_known_upper`. Each instance gets T seconds (default 60), one thread, one after the other. Columns: name, nodes, best known, score found
(with `=` or how far above the best known), bound (with the gap), whether proven, wall-clock and processor seconds, peak memory in MiB.

Exit code 1 if a score is below the best-known lower value, a bound above the upper one, or a run failed: then something is wrong.
"""

import argparse
import csv
import json
import os
import pathlib
import subprocess
import sys
import time


def known_values(path):
    if not path.exists():
        return {}
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    return {r["name"]: (int(r["best_known_lower"]), int(r["best_known_upper"])) for r in rows}


def run(program, file, seconds, seed):
    """The solution file, wall-clock seconds, processor seconds, peak MiB."""
    begun = time.monotonic()
    command = [program, "solve", str(file), "--seconds", str(seconds), "--seed", str(seed), "--json", "-q"]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    text = child.stdout.read()
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    wall = time.monotonic() - begun
    if child.returncode not in (0, 1):
        return None, wall, 0, 0
    return json.loads(text), wall, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def against(score, known):
    if known is None:
        return ""
    upper = known[1]
    return "=" if score == upper else f"{100 * (score - upper) / max(upper, 1):+.2f} %"


def asked(about, what):
    """What the command line asks for."""
    arguments = argparse.ArgumentParser(description=about, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("folder", type=pathlib.Path)
    arguments.add_argument("names", nargs="*", help=f"only these {what}")
    arguments.add_argument("--seconds", type=float, default=60)
    arguments.add_argument("--segue", default="target/release/segue")
    arguments.add_argument("--known", type=pathlib.Path)
    arguments.add_argument("--seed", type=int, default=0)
    return arguments.parse_intermixed_args()


def main():
    args = asked(__doc__, "instances")
    known = known_values(args.known or args.folder / "best_known.csv")
    files = sorted(f for f in args.folder.glob("*.sop") if not args.names or f.stem in args.names)
    if not files:
        sys.exit(f"{args.folder} holds no such .sop files")
    print(f"{len(files)} instances, {args.seconds:g} s each, seed {args.seed}")
    print("| instance | nodes | best known | found | | bound | gap | proven | seconds | processor | MiB |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    wrong, best, proven = [], 0, 0
    for file in files:
        solution, wall, cpu, memory = run(args.segue, file, args.seconds, args.seed)
        limits = known.get(file.stem)
        said = "" if limits is None else str(limits[1]) + ("" if limits[0] == limits[1] else f" (open, {limits[0]})")
        if solution is None or solution["order"] is None:
            wrong.append(f"{file.stem}: no answer")
            continue
        score, bound = solution["score"], solution["bound"]
        sure = "yes" if solution["proven"] else ""
        gap = "0 %" if score == bound else f"{100 * (score - bound) / max(score, 1):.2f} %"
        nodes = len(solution["order"])
        row = [file.stem, nodes, said, score, against(score, limits), bound, gap, sure, f"{wall:.3f}", f"{cpu:.3f}", f"{memory:.0f}"]
        print("| " + " | ".join(map(str, row)) + " |", flush=True)
        best += limits is not None and score <= limits[1]
        proven += bool(solution["proven"])
        if limits is not None and (score < limits[0] or bound > limits[1]):
            wrong.append(f"{file.stem}: score {score}, bound {bound}, but published {limits[0]} to {limits[1]}")
    print(f"best-known value reached on {best} of {len(files)}, proven {proven}")
    if wrong:
        sys.exit("\n".join(wrong))


if __name__ == "__main__":
    main()
