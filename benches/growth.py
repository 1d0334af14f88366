#!/usr/bin/env python3
"""How the cost of a solve grows with the number of steps, for each kind of problem that `made.py` makes: a table and a picture.

    benches/growth.py PROGRAM [--seconds T] [--steps N ...] [--kinds KIND ...] [--seed N] [--out FOLDER] [--redraw]

PROGRAM is segue. Each problem gets T seconds (default 5) on one thread, one after the other; for the proof it is processor seconds
that are shown, as these depend less on what else the machine does. FOLDER (default: that of this script) receives
`growth.csv`, `growth.md` and `growth.svg`; --redraw writes the last two anew from the first, and runs nothing.

Columns of `growth.csv`: kind, steps, seconds to the first plan (from the start of the search; empty: none), score, bound, whether proven, seconds
and processor seconds of the whole program, peak memory in MiB.

Exit code 1 if a run failed, or said that there is no order where there is one.
"""

import argparse
import csv
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile
import time

from made import KINDS, Made

STEPS = (6, 12, 18, 24, 32, 40, 60, 100, 150, 200)
COLUMNS = ("kind", "steps", "first", "score", "bound", "proven", "seconds", "processor", "memory")


def run(program, made, seconds):
    """One row of the table."""
    with tempfile.NamedTemporaryFile("w", suffix=".json") as file:
        json.dump(made.problem(), file)
        file.flush()
        begun = time.monotonic()
        command = [program, "solve", file.name, "--lines", "-q", "--seconds", str(seconds)]
        child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        text = child.stdout.read()
        _, status, used = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        wall = time.monotonic() - begun
    if child.returncode not in (0, 1):
        raise RuntimeError(f"{made.kind} {made.n}: the program ends with {child.returncode}")
    said = json.loads(text)
    if said["proven"] and said["order"] is None:
        raise RuntimeError(f"{made.kind} {made.n}: said to have no order, and was built around one")
    first = said["incumbents"][0]["seconds"] if said["incumbents"] else None
    figures = [said.get("score"), said.get("bound"), "yes" if said["proven"] else ""]
    rest = [round(wall, 3), round(used.ru_utime + used.ru_stime, 3), round(used.ru_maxrss / 1024)]
    values = [made.kind, made.n, None if first is None else round(first, 4), *figures, *rest]
    return dict(zip(COLUMNS, ("" if v is None else str(v) for v in values)))


def gap(row):
    """How far the bound lies below the score, in per cent; `None`: no plan."""
    if not row["score"]:
        return None
    score, bound = int(row["score"]), int(row["bound"] or 0)
    return 100 * (score - bound) / max(score, 1)


def table(rows, seconds):
    """The table as Markdown: a cell for each kind and number of steps."""
    steps = sorted({int(r["steps"]) for r in rows})
    at = {(r["kind"], int(r["steps"])): r for r in rows}
    kinds = list(dict.fromkeys(r["kind"] for r in rows))
    said = [
        f"`benches/growth.py`, {seconds:g} s each, one thread. In a cell: seconds to the first plan; processor seconds of the whole program to the proof, or how",
        "far the bound lies below the plan; peak memory in MiB.",
        "",
        "| steps | " + " | ".join(kinds) + " |",
        "| --- |" + " --- |" * len(kinds),
    ]
    for n in steps:
        cells = []
        for kind in kinds:
            row = at.get((kind, n))
            if row is None:
                cells.append("")
                continue
            first = f"{float(row['first']):.3f} s" if row["first"] else "no plan"
            apart = gap(row)
            done = f"{float(row['processor']):.2f} s" if row["proven"] else "" if apart is None else f"{apart:.0f} %"
            cells.append("; ".join(part for part in (first, done, row["memory"]) if part))
        said.append(f"| {n} | " + " | ".join(cells) + " |")
    return "\n".join(said) + "\n"


class Panel:
    """One kind: seconds up, steps across, both axes logarithmic."""

    WIDTH, HEIGHT, LEFT, TOP = 250, 190, 46, 30
    LEAST, MOST = 1e-3, 60.0

    def __init__(self, x, y, steps):
        self.x, self.y, self.steps = x + self.LEFT, y + self.TOP, steps
        self.parts = []

    def across(self, n):
        least, most = math.log(min(self.steps)), math.log(max(self.steps))
        return self.x + (math.log(n) - least) / max(most - least, 1e-9) * (self.WIDTH - 20) + 10

    def up(self, seconds):
        share = math.log(min(max(seconds, self.LEAST), self.MOST) / self.LEAST) / math.log(self.MOST / self.LEAST)
        return self.y + self.HEIGHT * (1 - share)

    def text(self, x, y, text, size=11, anchor="middle", weight="normal"):
        self.parts.append(f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}" font-weight="{weight}">{text}</text>')

    def line(self, x1, y1, x2, y2, dash="", width=1.0, shade="#000"):
        dash = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{shade}" stroke-width="{width}"{dash}/>')

    def path(self, points, dash=""):
        for (x1, y1), (x2, y2) in zip(points, points[1:]):
            self.line(x1, y1, x2, y2, dash, 1.6)

    def square(self, x, y, filled):
        fill = "#000" if filled else "#fff"
        self.parts.append(f'<rect x="{x - 4:.1f}" y="{y - 4:.1f}" width="8" height="8" fill="{fill}" stroke="#000" stroke-width="1.4"/>')

    def circle(self, x, y):
        self.parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="#fff" stroke="#000" stroke-width="1.4"/>')

    def cross(self, x, y):
        self.line(x - 4, y - 4, x + 4, y + 4, "", 1.6)
        self.line(x - 4, y + 4, x + 4, y - 4, "", 1.6)

    def axes(self, title, limit):
        self.text(self.x + self.WIDTH / 2, self.y - 12, title, 14, weight="bold")
        for seconds, label in ((0.001, "1 ms"), (0.01, "10 ms"), (0.1, "0.1 s"), (1, "1 s"), (10, "10 s")):
            y = self.up(seconds)
            self.line(self.x, y, self.x + self.WIDTH, y, "", 0.5, "#aaa")
            self.text(self.x - 5, y + 4, label, 11, "end")
        y = self.up(limit)
        self.line(self.x, y, self.x + self.WIDTH, y, "2 3")
        for n in self.steps:
            self.line(self.across(n), self.y + self.HEIGHT, self.across(n), self.y + self.HEIGHT + 4)
        shown = [n for n in (6, 12, 24, 40, 60, 100, 200) if n in self.steps]
        for n in shown:
            self.text(self.across(n), self.y + self.HEIGHT + 17, str(n))
        self.parts.append(
            f'<rect x="{self.x}" y="{self.y}" width="{self.WIDTH}" height="{self.HEIGHT}" fill="none" stroke="#000" stroke-width="1"/>'
        )

    def curves(self, rows, limit):
        first = [(self.across(int(r["steps"])), self.up(float(r["first"]))) for r in rows if r["first"]]
        done = [(self.across(int(r["steps"])), self.up(float(r["processor"]))) for r in rows if r["proven"]]
        self.path(first, "5 4")
        self.path(done)
        for point in first:
            self.circle(*point)
        for point in done:
            self.square(*point, True)
        for r in (r for r in rows if not r["proven"]):
            x, y, apart = self.across(int(r["steps"])), self.up(limit), gap(r)
            if apart is None:
                self.cross(x, y)
            else:
                self.square(x, y, False)
                # Upright, as the marks stand close together.
                turned = f'transform="rotate(-90 {x + 3.5:.1f} {y - 8:.1f})"'
                self.parts.append(f'<text x="{x + 3.5:.1f}" y="{y - 8:.1f}" font-size="10" {turned}>{apart:.0f} %</text>')


def picture(rows, limit):
    kinds = list(dict.fromkeys(r["kind"] for r in rows))
    steps = sorted({int(r["steps"]) for r in rows})
    wide, high, columns = 320, 270, 4
    count = math.ceil((len(kinds) + 1) / columns)
    parts = []
    for k, kind in enumerate([*kinds, None]):
        panel = Panel(k % columns * wide + 10, k // columns * high + 10, steps)
        if kind is not None:
            panel.axes(kind, limit)
            panel.curves([r for r in rows if r["kind"] == kind], limit)
        else:
            x, y = panel.x + 14, panel.y + 20
            for row, (mark, said) in enumerate(
                (
                    (lambda px, py: (panel.path([(px - 14, py), (px + 14, py)], "5 4"), panel.circle(px, py)), "first plan"),
                    (lambda px, py: (panel.path([(px - 14, py), (px + 14, py)]), panel.square(px, py, True)), "proven best (processor)"),
                    (lambda px, py: panel.square(px, py, False), f"no proof in {limit:g} s, and the gap"),
                    (lambda px, py: panel.cross(px, py), f"no plan in {limit:g} s"),
                )
            ):
                mark(x, y + 26 * row)
                panel.text(x + 24, y + 26 * row + 4, said, 12, "start")
            panel.text(x - 14, y + 26 * 4 + 8, "Seconds (up) against steps (across),", 12, "start")
            panel.text(x - 14, y + 26 * 4 + 24, "both logarithmic; dotted: the limit.", 12, "start")
        parts += panel.parts
    width, height = wide * columns + 10, high * count + 10
    about = "Seconds to the first plan and to the proof against the number of steps, for each kind of problem"
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" font-family="sans-serif" role="img">'
    return "\n".join([head, f"<title>{about}</title>", f'<rect width="{width}" height="{height}" fill="#fff"/>', *parts, "</svg>"]) + "\n"


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("program")
    arguments.add_argument("--seconds", type=float, default=5)
    arguments.add_argument("--steps", type=int, nargs="+", default=STEPS)
    arguments.add_argument("--kinds", nargs="+", choices=KINDS, default=list(KINDS))
    arguments.add_argument("--seed", type=int, default=0)
    arguments.add_argument("--out", type=pathlib.Path, default=pathlib.Path(__file__).parent)
    arguments.add_argument("--redraw", action="store_true")
    args = arguments.parse_args()
    args.out.mkdir(parents=True, exist_ok=True)
    rows, wrong = [], []
    if args.redraw:
        with (args.out / "growth.csv").open(newline="") as file:
            rows = list(csv.DictReader(file))
    else:
        for kind in args.kinds:
            for n in args.steps:
                try:
                    rows.append(run(args.program, Made(kind, n, args.seed), args.seconds))
                    print(*rows[-1].values(), flush=True)
                except RuntimeError as failed:
                    wrong.append(str(failed))
        with (args.out / "growth.csv").open("w", newline="") as file:
            writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    (args.out / "growth.md").write_text(table(rows, args.seconds))
    (args.out / "growth.svg").write_text(picture(rows, args.seconds))
    for line in wrong:
        print(line, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
