"""`drillapp hand-in`: a learner's answers as a file for the teacher."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from drillapp.verbs.arguments import (
    InputFault,
    add_data_argument,
    existing_log,
    learners_named,
    output_faults,
)

NAME = "hand-in"
SUMMARY = "write practice logs to a file for the teacher"
EXAMPLE = "drillapp hand-in --learner Ida -o ida.handin.gz"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_data_argument(parser)
    parser.add_argument(
        "--learner", action="append", metavar="NAME", help="whose answers; may be given again (all learners)"
    )
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT", help="file to write")


def run(options: argparse.Namespace) -> int:
    from drillapp.records import LogError

    try:
        with output_faults(options.output), existing_log(options.data) as log:
            chosen = learners_named(log, options.learner) if options.learner else None
            done = log.hand_in(options.output, chosen)
    except LogError as error:
        raise InputFault(str(error)) from None
    print(f"{done.answers} answers of {done.learners} learners are in {options.output}", file=sys.stderr)
    return 0
