#!/usr/bin/env python3
"""Runs segue and two general-purpose solvers on the same problem files, one after the other in one run, and prints how they compare.

    benches/ratios.py PROGRAM SHARED [--seconds T] [--steps N] [--threads N] [--python PYTHON] [--files NAME ...]

PROGRAM is segue. SHARED is a folder with `benchmarks/problems` (problem files, and `best_known.csv` with the columns `file`, `n`, `score` and
`proven`) and `referee` (the models `cpsat.py`, for CP-SAT, and `didp.py`, for DIDP). PYTHON runs the models; it needs two packages:

    python3 -m venv venv && venv/bin/pip install ortools==9.15.6755 didppy==0.11.1

Each of the three gets T seconds (default 10) for a file of at most N steps (default 24); segue one thread, the models N threads each (default 2).
Where there is no order, none of the
three looks for why (`--no-conflict`). Times of segue are those of the whole program, from its start to its end (a plan on the way: from the start of the search); those of the models are
their own and begin when Python and its packages have been loaded, which is to their favour. Figures of the table, for each file:

  first      seconds to the first plan: segue, CP-SAT, DIDP
  proof      seconds to the proof (that a plan is best, or that there is none); `-`: not in the time
  0.1, 1, 10 scores of the best plans at hand after so many seconds, in the same order; `-`: none yet. `*` where a peer's plan is better than segue's
  ratio      seconds to the proof of the better peer, divided by segue's; `>` if no peer proves it: the time limit instead

and below it the geometric mean of the ratios of the files that a peer proves.

Exit code 1 if two proofs differ, a score lies below a bound or a bound above the best-known score, or a run failed: then something is wrong.
"""

import argparse
import csv
import json
import math
import pathlib
import subprocess
import sys
import time

AT = (0.1, 1, 10)
NAMES = ("segue", "CP-SAT", "DIDP")


class Run:
    """What one solver made of one file: its incumbents as pairs of seconds and score, bound, score, seconds to the proof if there was one."""

    def __init__(self, incumbents, bound, score, proof):
        self.incumbents, self.bound, self.score, self.proof = incumbents, bound, score, proof

    def first(self):
        return self.incumbents[0][0] if self.incumbents else None

    def at(self, seconds):
        return min((score for t, score in self.incumbents if t <= seconds), default=None)


def lines(command, seconds):
    """The lines of JSON that a command prints, its exit code and the seconds that it took."""
    begun = time.monotonic()
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, timeout=20 * seconds + 300)
    took = time.monotonic() - begun
    return [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")], done, took


def ours(program, file, seconds):
    told, done, took = lines([program, "solve", str(file), "--lines", "--no-conflict", "-q", "--seconds", str(seconds)], seconds)
    if done.returncode not in (0, 1) or len(told) != 1:
        raise RuntimeError(f"segue ends with {done.returncode}: {done.stderr.strip()}")
    said = told[0]
    incumbents = [(i["seconds"], i["score"]) for i in said["incumbents"]]
    return Run(incumbents, said.get("bound"), said.get("score"), took if said["proven"] else None)


def model(script, arguments, seconds):
    told, done, _ = lines([*script, *arguments], seconds)
    if done.returncode == 2 and not told:
        return None  # the model does not apply
    if done.returncode not in (0, 1, 4) or not told:
        raise RuntimeError(f"{script[-1]} ends with {done.returncode}: {done.stderr.strip()}")
    summary = told[-1]
    incumbents = [(line["t"], line["score"]) for line in told[:-1] if line.get("score") is not None]
    proven = summary["status"] in ("optimal", "infeasible")
    return Run(incumbents, summary.get("bound"), summary.get("score"), summary["seconds"] if proven else None)


def contradictions(name, runs, known):
    """What cannot be true."""
    wrong = []
    there = [(who, run) for who, run in zip(NAMES, runs) if run is not None]
    scores = [(who, run.score) for who, run in there if run.score is not None]
    for who, run in there:
        if run.proof is not None:
            for other, score in scores:
                if run.score is None or score < run.score:
                    wrong.append(f"{name}: {who} has proven {run.score}, {other} has a plan of {score}")
            if known is not None and (run.score is None or run.score > known):
                wrong.append(f"{name}: {who} has proven {run.score}, the best known is {known}")
        best = min([score for _, score in scores] + ([known] if known is not None else []), default=None)
        if run.bound is not None and best is not None and run.bound > best:
            wrong.append(f"{name}: {who} has a bound of {run.bound}, there is a plan of {best}")
    return wrong


def figure(seconds):
    return "-" if seconds is None else f"{seconds:.3f}" if seconds < 1 else f"{seconds:.1f}"


def row(name, runs, seconds):
    """The line of a file, its ratio and whether a peer proves it."""
    mine, peers = runs[0], [run for run in runs[1:] if run is not None]
    cells = [name]
    cells.append(" / ".join("" if r is None else figure(r.first()) for r in runs))
    cells.append(" / ".join("" if r is None else figure(r.proof) for r in runs))
    for at in AT:
        scores = ["" if r is None else r.at(at) for r in runs]
        shown = " / ".join("-" if s is None else str(s) for s in scores)
        better = [s for s in scores[1:] if s not in ("", None) and (scores[0] is None or s < scores[0])]
        cells.append(shown + (" *" if better else ""))
    proofs = [run.proof for run in peers if run.proof is not None]
    ratio = None
    if mine.proof is None:
        cells.append("a peer alone proves it" if proofs else "")
    else:
        ratio = min(proofs, default=seconds) / mine.proof
        cells.append(("" if proofs else "> ") + f"{ratio:.1f}")
    return "| " + " | ".join(cells) + " |", ratio, bool(proofs)


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("program")
    arguments.add_argument("shared", type=pathlib.Path)
    arguments.add_argument("--seconds", type=float, default=10)
    arguments.add_argument("--steps", type=int, default=24)
    arguments.add_argument("--threads", type=int, default=2)
    arguments.add_argument("--python", default=sys.executable)
    arguments.add_argument("--files", nargs="+", help="only these, by name without its ending")
    args = arguments.parse_args()
    folder, referee = args.shared / "benchmarks" / "problems", args.shared / "referee"
    with (folder / "best_known.csv").open(newline="") as file:
        rows = [r for r in csv.DictReader(file) if int(r["n"]) <= args.steps]
    rows.sort(key=lambda r: (int(r["n"]), r["file"]))
    print(f"{args.seconds:g} s each, one after the other; segue on one thread, the models on {args.threads}. Each cell: segue / CP-SAT / DIDP.\n")
    print("| problem | first | proof | 0.1 s | 1 s | 10 s | ratio |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    wrong, ratios, later, behind = [], [], [], []
    for r in rows:
        name = r["file"].removesuffix(".json")
        if args.files and name not in args.files:
            continue
        path = folder / r["file"]
        limit, threads = str(args.seconds), str(args.threads)
        cpsat = [str(path), "--seconds", limit, "--workers", threads, "--out", ""]
        didp = [str(path), "--seconds", limit, "--threads", threads]
        try:
            runs = [
                ours(args.program, path, args.seconds),
                model([args.python, str(referee / "cpsat.py")], cpsat, args.seconds),
                model([args.python, str(referee / "didp.py")], didp, args.seconds),
            ]
        except (RuntimeError, subprocess.TimeoutExpired) as failed:
            wrong.append(f"{name}: {failed}")
            continue
        wrong += contradictions(name, runs, int(r["score"]) if r["score"] else None)
        line, ratio, proven = row(name, runs, args.seconds)
        print(line, flush=True)
        if proven and ratio is not None:
            ratios.append(ratio)
        if proven and (ratio is None or ratio < 1):
            later.append(name)
        if " *" in line:
            behind.append(name)
    if ratios:
        mean = math.exp(sum(map(math.log, ratios)) / len(ratios))
        print(f"\nTo the proof, {len(ratios)} files that a peer proves: {mean:.1f} times sooner than the better peer (geometric mean), {min(ratios):.1f} at least.")
    print(f"Later than a peer to the proof: {', '.join(later) or 'never'}. With a worse plan at some time: {', '.join(behind) or 'never'}.")
    for line in wrong:
        print(line, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
