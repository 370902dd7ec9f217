"""`drillapp simulate`: the planner against other policies, on simulated learners."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from drillapp.verbs.arguments import InputFault, output_faults

NAME = "simulate"
SUMMARY = "compare the planner with other policies on simulated learners"
EXAMPLE = "drillapp simulate --learners 240 --chart policies.png"
MOST_LEARNERS, MOST_DAYS, MOST_MINUTES = 100_000, 365, 240


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--learners", type=int, default=240, metavar="N", help="how many, over four families (240)"
    )
    parser.add_argument("--days", type=int, default=30, metavar="N", help="planned days (30)")
    parser.add_argument("--minutes", type=float, default=10, metavar="N", help="minutes a day (10)")
    parser.add_argument("--policies", metavar="NAMES", help="which to compare, parted by commas (all)")
    parser.add_argument("--seed", type=int, default=0, metavar="N", help="draw other learners (0)")
    parser.add_argument("--workers", type=int, default=2, metavar="N", help="processes at once (2)")
    parser.add_argument("--chart", type=Path, metavar="OUT.png", help="write a chart")


def run(options: argparse.Namespace) -> int:
    from drillapp.files.writing import write_whole
    from drillapp.learning.simulation.simulate import POLICIES, Setting, compare, summary, table
    from drillapp.verbs.policy_chart import policy_chart

    for name, most in (("learners", MOST_LEARNERS), ("days", MOST_DAYS), ("minutes", MOST_MINUTES)):
        if not 0 < getattr(options, name) <= most:
            raise InputFault(f"--{name} {getattr(options, name)}: give a number above 0, at most {most}")
    if not 1 <= options.workers <= 64:
        raise InputFault(f"--workers {options.workers}: 1 to 64 processes")
    chart: Path | None = options.chart
    if chart is not None and (chart.suffix.lower() != ".png" or not os.path.isdir(chart.parent)):
        raise InputFault(f"{chart}: the chart is written as .png, in a folder that is there")
    names = options.policies.split(",") if options.policies else list(POLICIES)
    setting = Setting(days=options.days, signs=max(1, round(options.minutes * 60 / Setting.seconds)))
    try:
        results = compare(options.learners, setting, names, options.seed, options.workers, _tell)
    except ValueError as error:
        raise InputFault(f"--policies: {error}") from None
    lines = summary(results)
    print(table(lines))
    if chart is not None:
        with output_faults(chart):
            write_whole(chart, policy_chart(lines))
    return 0


def _tell(done: int, of: int) -> None:
    bar = "#" * round(30 * done / of)
    end = "\n" if done == of else ""
    print(f"\r{bar:<30} {done} of {of} learners", end=end, file=sys.stderr, flush=True)
