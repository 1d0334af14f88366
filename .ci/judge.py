#!/usr/bin/env python3
"""Outside checks: plans of this program judged by the referee, where it stands beside the checkout.

    judge.py PROGRAM SHARED

Each shared problem of at most 16 steps is solved to its end; the referee recomputes every figure of the plan, and the score must be the
best-known one, or no order exist where none is known to exist. Prints a line for each disagreement and a closing line of counts.
"""
import csv
import json
import pathlib
import subprocess
import sys
import tempfile

MOST_STEPS = 16


def main() -> int:
    program, shared = sys.argv[1], pathlib.Path(sys.argv[2])
    problems = shared / "benchmarks" / "problems"
    known = {row["file"]: row for row in csv.DictReader(open(problems / "best_known.csv", encoding="utf-8"))}
    passed = failed = 0
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "solution.json"
        for name, row in known.items():
            if int(row["n"]) > MOST_STEPS:
                continue
            run = subprocess.run([program, "solve", str(problems / name), "--json", "--seconds", "60"], capture_output=True, text=True)
            out.write_text(run.stdout, encoding="utf-8")
            try:
                solution = json.loads(run.stdout)
            except ValueError:
                print(f"{name}: no solution file: {run.stderr.strip()}")
                failed += 1
                continue
            judged = subprocess.run([sys.executable, str(shared / "referee" / "score.py"), str(problems / name), str(out)], capture_output=True, text=True)
            wanted = int(row["score"]) if row["score"] else None
            good = solution["proven"] and solution.get("score") == wanted and judged.returncode == (3 if wanted is None else 0)
            if not good:
                print(f"{name}: score {solution.get('score')}, best known {wanted}, proven {solution['proven']}; referee: {judged.stdout.strip()}")
            passed, failed = passed + good, failed + (not good)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())
