#!/usr/bin/env python3
"""Outside checks: plans of this program judged by the referee, where it stands beside the checkout.

    judge.py PROGRAM SHARED

Each shared problem of at most 20 steps is solved to its end; the referee recomputes every figure of the plan, and the score must be the
best-known one, or no order exist where none is known to exist. The plan of each scenario is judged against the scenario's exported problem
likewise, on every figure. What cannot hold together in
impossible problems is judged by the referee's model where OR-Tools is installed. Then random small problems, a fixed series and a fresh one, are compared
with the referee's exhaustive search, and fresh larger ones with the optimum that they were made around. Prints a line for each disagreement and a closing line of counts.
"""
import csv
import json
import pathlib
import subprocess
import sys
import tempfile
import time

import random_problems

MOST_STEPS = 20
FIXED, FRESH = 300, 100
CONFLICTS = 60
# Embedded problems of each of five kinds, and of each so many by the mixed-integer model too.
EMBEDDED, SECOND = 100, 5


def against_exhaustive_search(program: str, shared: pathlib.Path, folder: pathlib.Path) -> tuple[int, int]:
    """(agreements, disagreements) on random problems."""
    sys.path.insert(0, str(shared / "referee"))
    import brute
    import score

    fresh = int(time.time())
    print(f"random problems: seeds 0 to {FIXED - 1} and {fresh} to {fresh + FRESH - 1}")
    passed = failed = 0
    file = folder / "random.json"
    for seed in [*range(FIXED), *range(fresh, fresh + FRESH)]:
        raw = random_problems.problem(seed)
        file.write_text(json.dumps(raw), encoding="utf-8")
        problem = score.parse_problem(raw)
        best = brute.solve(problem)
        run = subprocess.run([program, "solve", str(file), "--json"], capture_output=True, text=True)
        try:
            solution = json.loads(run.stdout)
        except ValueError:
            solution = {"proven": False, "order": None}
        found = None if solution["order"] is None else solution["score"]
        wrong = [] if best is None else score.compare(problem, solution)[0]
        good = solution["proven"] and run.returncode < 2 and found == (best and best[0]) and not wrong
        if not good:
            print(f"random problem {seed}: exhaustive search {best and best[0]}, ours {found}; {wrong} {run.stderr.strip()}")
        passed, failed = passed + good, failed + (not good)
    return passed, failed


def solved(program: str, files: list, *more: str) -> dict:
    """File name to solution, all files in one run."""
    run = subprocess.run([program, "solve", "--lines", "--no-conflict", *more, *map(str, files)], capture_output=True, text=True)
    lines = map(json.loads, run.stdout.splitlines())
    return {pathlib.Path(line["file"]).name: line for line in lines}


def embedded(program: str, shared: pathlib.Path, folder: pathlib.Path) -> tuple[int, int]:
    """(agreements, disagreements) on larger problems of known optimum that force the search to its tables and bounds, new ones each time, half of
    them about pairs of like steps; on some of them the mixed-integer model as well, where it proves anything in the time."""
    sys.path.insert(0, str(shared / "referee"))
    import embed

    fresh = int(time.time())
    print(f"embedded problems: seed {fresh}")
    passed = failed = second = 0
    for pairs, after, fillers in ((True, False, 5), (True, False, 7), (False, False, 5), (False, False, 6), (False, True, 6)):
        truth = {}
        for name, problem, score in embed.cases(EMBEDDED, fresh, fillers, pairs, after):
            (folder / f"{name}.json").write_text(json.dumps(problem), encoding="utf-8")
            truth[f"{name}.json"] = score
        files = [folder / name for name in truth]
        ours = solved(program, files, "--seconds", "60")
        other = solved(program, files[:SECOND], "--method", "mip", "--seconds", "5")
        for name, score in truth.items():
            said = ours.get(name, {"proven": False, "order": None})
            found = said["score"] if said["order"] is not None else None
            good = said["proven"] and found == score
            model = other.get(name)
            if model is not None and model["proven"]:
                second += 1
                good = good and (model["score"] if model["order"] is not None else None) == score
            if not good:
                print(f"{name}: the optimum is {score}, ours {found} proven {said['proven']}, the mixed-integer model {model}")
            passed, failed = passed + good, failed + (not good)
    print(f"of these the mixed-integer model proves {second} as well")
    return passed, failed


def scenarios(program: str, shared: pathlib.Path, folder: pathlib.Path) -> tuple[int, int]:
    """(agreements, disagreements) on the plans of all scenarios: the referee recomputes each figure of the solution that a plan holds."""
    passed = failed = 0
    problem, solution = folder / "scenario.json", folder / "plan.json"
    for brief in sorted(pathlib.Path("scenarios").iterdir()):
        if brief.suffix not in (".toml", ".txt"):
            continue
        exported = subprocess.run([program, "export", str(brief)], capture_output=True, text=True)
        planned = subprocess.run([program, "plan", str(brief), "--json"], capture_output=True, text=True)
        said = ""
        try:
            found = json.loads(planned.stdout)["solution"]
            problem.write_text(exported.stdout, encoding="utf-8")
            solution.write_text(json.dumps(found), encoding="utf-8")
            judged = subprocess.run([sys.executable, str(shared / "referee" / "score.py"), str(problem), str(solution)], capture_output=True, text=True)
            said = judged.stdout + judged.stderr
            # An order: every figure agrees. None: proven so, and well formed.
            good = judged.returncode == (0 if found["order"] is not None else 3) and (found["order"] is not None or found["proven"])
        except (ValueError, KeyError, TypeError) as e:
            said, good = f"{e!r} {exported.stderr} {planned.stderr}", False
        if not good:
            print(f"{brief}: {said.strip()}")
        passed, failed = passed + good, failed + (not good)
    return passed, failed


def conflicts(program: str, shared: pathlib.Path, folder: pathlib.Path) -> tuple[int, int]:
    """(agreements, disagreements) on what cannot hold together: the referee's model solves each impossible problem with the conflict alone,
    and with each of its demands left out. Problems: the shared ones, the scenarios, and random ones. Left out, and said, without OR-Tools."""
    try:
        import ortools
    except ImportError:
        print("conflicts are not judged: the Python package ortools is not installed")
        return 0, 0
    print(f"conflicts are judged by CP-SAT of OR-Tools {ortools.__version__}")
    files = sorted((shared / "benchmarks" / "problems").glob("*-impossible.json"))
    for brief in sorted(pathlib.Path("scenarios").glob("*.toml")):
        file = folder / f"{brief.stem}.json"
        exported = subprocess.run([program, "export", str(brief)], capture_output=True, text=True)
        file.write_text(exported.stdout, encoding="utf-8")
        files.append(file)
    for seed in range(CONFLICTS):
        file = folder / f"random-{seed}.json"
        file.write_text(json.dumps(random_problems.problem(seed)), encoding="utf-8")
        files.append(file)
    passed = failed = 0
    for file in files:
        run = subprocess.run([program, "solve", str(file), "--json", "--seconds", "60"], capture_output=True, text=True)
        try:
            solution = json.loads(run.stdout)
        except ValueError:
            print(f"{file.name}: no solution file: {run.stderr.strip()}")
            failed += 1
            continue
        if solution["order"] is not None or not solution["proven"]:
            continue
        conflict = solution["conflict"]
        said = "no conflict is named"
        if conflict:
            numbers = ",".join(str(k) for k in conflict)
            judged = subprocess.run(
                [sys.executable, str(shared / "referee" / "cpsat.py"), str(file), "--check-conflict", numbers],
                capture_output=True,
                text=True,
            )
            said = (judged.stdout + judged.stderr).strip() if judged.returncode else ""
        if said:
            print(f"{file.name}: conflict {conflict}: {said}")
        passed, failed = passed + (not said), failed + bool(said)
    return passed, failed


def distances(program: str, shared: pathlib.Path, folder: pathlib.Path) -> tuple[int, int]:
    """(agreements, disagreements) on how far classes are apart: scipy's tau-a of two orders of n without ties is 1 - 4 K / (n (n - 1)), K being the
    pairs that stand the other way round. Left out, and said, without SciPy."""
    try:
        import scipy
        from scipy.stats import kendalltau
    except ImportError:
        print("distances are not judged: the Python package scipy is not installed")
        return 0, 0
    print(f"distances are judged by kendalltau of SciPy {scipy.__version__}")

    def numbered(rows: list) -> list:
        names, seen = [], {}
        for row in rows:
            if not row["breather"]:
                seen[row["id"]] = seen.get(row["id"], 0) + 1
                names.append((row["id"], seen[row["id"]]))
        return names

    passed = failed = 0
    for brief in ("packed-noon", "two-series", "quick-six", "calm-evening"):
        run = subprocess.run([program, "vary", f"scenarios/{brief}.toml", "--count", "4", "--json"], capture_output=True, text=True)
        try:
            week = json.loads(run.stdout)
            orders = [numbered(c["class"]["rows"]) for c in week["classes"]]
        except (ValueError, KeyError) as e:
            print(f"{brief}: {e!r} {run.stderr.strip()}")
            failed += 1
            continue
        for i, one in enumerate(orders):
            for j, other in enumerate(orders[:i]):
                n = len(one)
                tau = kendalltau(range(n), [other.index(name) for name in one]).statistic
                turned = round((1 - tau) / 2 * n * (n - 1) / 2)
                good = turned == week["turned"][i][j] == week["turned"][j][i]
                if not good:
                    print(f"{brief}: classes {i + 1} and {j + 1} turned {week['turned'][i][j]}, by kendalltau {turned}")
                passed, failed = passed + good, failed + (not good)
    return passed, failed


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
        for check in (scenarios, conflicts, distances, against_exhaustive_search, embedded):
            more = check(program, shared, pathlib.Path(folder))
            passed, failed = passed + more[0], failed + more[1]
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


sys.exit(main())
