"""`drillapp collect`: take the files that students handed in into the teacher's own log."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from drillapp.verbs.arguments import InputFault, add_data_argument

NAME = "collect"
SUMMARY = "take files that were handed in into this practice log"
EXAMPLE = "drillapp collect ida.handin noor.handin ~/handed-in"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_data_argument(parser)
    parser.add_argument(
        "files", nargs="+", type=Path, metavar="FILE", help="a file that was handed in, or a folder of them"
    )


def run(options: argparse.Namespace) -> int:
    from drillapp.desk.collecting import collect_all
    from drillapp.records import LogError, data_folder, open_log
    from drillapp.verbs.arguments import LOG_FILE

    refused = 0
    try:
        with open_log(data_folder(options.data) / LOG_FILE) as log:
            lines = collect_all(log, options.files)
    except LogError as error:
        raise InputFault(str(error)) from None
    for line in lines:
        if line.done is None:  # a bad file changes nothing and stops no other
            print(f"drillapp: {line.fault}", file=sys.stderr)
            refused += 1
            continue
        names = ", ".join(line.names) or "nobody"
        said = f"{line.path}: {line.done.new} new answers, {line.done.known} known ones, of {names}"
        left = f"; left out, since deleted here: {', '.join(line.done.deleted)}" if line.done.deleted else ""
        print(said + left, file=sys.stderr)
    if not lines:
        raise InputFault("there is no file that was handed in; give files, or a folder of .handin files")
    return 1 if refused else 0
