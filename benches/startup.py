#!/usr/bin/env python3
"""How soon the program says something: milliseconds from its start to its first output.

    benches/startup.py PROGRAM [--runs N]

PROGRAM is segue; to be run in the checkout, since it reads `scenarios`. Prints the fastest and the median of N runs (default 20) of

  show      one movement: nothing but the start and the models that are built in
  small     `scenarios/quick-six.toml` planned, proven and printed: to the first line of the sheet
  first     `scenarios/packed-noon.toml` as a problem file: from the start of the search to the first plan
  proof     the same: from the start of the program to the line that says it is proven

and the least processor time of the whole program, which says more where other work runs on the machine.
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time


def first_output(command):
    """Seconds to the first byte, all that was said, processor seconds."""
    begun = time.monotonic()
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    said = child.stdout.read(1)
    took = time.monotonic() - begun
    said += child.stdout.read()
    _, status, used = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode != 0:
        sys.exit(f"{' '.join(command)} ends with {child.returncode}")
    return took, said, used.ru_utime + used.ru_stime


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("program")
    arguments.add_argument("--runs", type=int, default=20)
    args = arguments.parse_args()
    taken = {"show": [], "small": [], "first": [], "proof": []}
    processor = {"show": [], "small": [], "proof": []}
    _, problem, _ = first_output([args.program, "export", "scenarios/packed-noon.toml"])
    with tempfile.NamedTemporaryFile(suffix=".json") as file:
        file.write(problem)
        file.flush()
        for _ in range(args.runs):
            for what, command in (
                ("show", ["show", "swan"]),
                ("small", ["plan", "-q", "scenarios/quick-six.toml"]),
                ("proof", ["solve", file.name, "--lines", "-q"]),
            ):
                took, said, used = first_output([args.program, *command])
                taken[what].append(took)
                processor[what].append(used)
            solved = json.loads(said)
            if not solved["proven"]:
                sys.exit("packed noon is not proven")
            taken["first"].append(solved["incumbents"][0]["seconds"])
    print("| what | fastest | median | processor |")
    print("| --- | --- | --- | --- |")
    shown = lambda seconds: f"{1000 * seconds:.0f} ms"
    for what, seconds in taken.items():
        used = shown(min(processor[what])) if what in processor else ""
        print(f"| {what} | {shown(min(seconds))} | {shown(statistics.median(seconds))} | {used} |")


if __name__ == "__main__":
    main()
