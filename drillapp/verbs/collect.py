"""`drillapp collect`: take the files that students handed in into the teacher's own log."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from drillapp.verbs.arguments import InputFault, add_data_argument

NAME = "collect"
SUMMARY = "take files that were handed in into this practice log"
EXAMPLE = "drillapp collect ida.handin.gz noor.handin.gz"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_data_argument(parser)
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="a file that was handed in")


def run(options: argparse.Namespace) -> int:
    from drillapp.records import HandInError, LogError, data_folder, open_log
    from drillapp.verbs.arguments import LOG_FILE

    refused = 0
    try:
        with open_log(data_folder(options.data) / LOG_FILE) as log:
            for path in options.files:
                try:
                    done = log.collect(path)
                except HandInError as error:  # a bad file changes nothing and stops no other
                    print(f"drillapp: {error}", file=sys.stderr)
                    refused += 1
                    continue
                names = ", ".join(log.learners.get(one).name for one in done.learners)
                print(f"{path}: {done.new} new answers, {done.known} known ones, of {names}", file=sys.stderr)
    except LogError as error:
        raise InputFault(str(error)) from None
    return 1 if refused else 0
