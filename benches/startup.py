#!/usr/bin/env python3
"""How soon the program says something: seconds from its start to its first output.

    benches/startup.py PROGRAM [--runs N]

PROGRAM is segue; to be run in the checkout, since it reads `scenarios`. Prints the fastest and the median of N runs (default 20) of

  show      one movement: nothing but the start and the models that are built in
  small     `scenarios/quick-six.toml` planned, proven and printed: to the first line of the sheet
  first     `scenarios/packed-noon.toml` as a problem file: from the start of the search to the first plan
  proof     the same: from the start of the program to the line that says it is proven
"""

import argparse
import json
import statistics
import subprocess
import sys
import tempfile
import time


def first_output(command):
    """Seconds to the first byte, and all that was said."""
    begun = time.monotonic()
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    said = child.stdout.read(1)
    took = time.monotonic() - begun
    said += child.stdout.read()
    if child.wait() != 0:
        sys.exit(f"{' '.join(command)} ends with {child.returncode}")
    return took, said


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("program")
    arguments.add_argument("--runs", type=int, default=20)
    args = arguments.parse_args()
    taken = {"show": [], "small": [], "first": [], "proof": []}
    _, problem = first_output([args.program, "export", "scenarios/packed-noon.toml"])
    with tempfile.NamedTemporaryFile(suffix=".json") as file:
        file.write(problem)
        file.flush()
        for _ in range(args.runs):
            taken["show"].append(first_output([args.program, "show", "swan"])[0])
            taken["small"].append(first_output([args.program, "plan", "-q", "scenarios/quick-six.toml"])[0])
            took, said = first_output([args.program, "solve", file.name, "--lines", "-q"])
            solved = json.loads(said)
            if not solved["proven"]:
                sys.exit("packed noon is not proven")
            taken["first"].append(solved["incumbents"][0]["seconds"])
            taken["proof"].append(took)
    print("| what | fastest | median |")
    print("| --- | --- | --- |")
    for what, seconds in taken.items():
        print(f"| {what} | {1000 * min(seconds):.1f} ms | {1000 * statistics.median(seconds):.1f} ms |")


if __name__ == "__main__":
    main()
