"""The command line: open the app, or do one of the verbs.

Exit codes: 0 done, 1 a fault in what was given (named on standard error), 2 wrong use.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from drillapp import __version__
from drillapp.verbs import VERBS, InputFault


def main(argv: Sequence[str] | None = None) -> int:
    """Do what the arguments ask (those of the process where None); gives the exit code."""
    try:
        options = _parser().parse_args(argv)
        code: int = options.run(options)
        sys.stdout.flush()
        return code
    except SystemExit as stop:  # argparse: 0 after --help, 2 after its usage line
        return stop.code if isinstance(stop.code, int) else 2
    except InputFault as fault:
        print(f"drillapp: {fault}", file=sys.stderr)
        return 1
    except BrokenPipeError:  # the reader of a pipe has left; nothing is wrong with the input
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115 - stays open until the process ends
        return 0
    except KeyboardInterrupt:
        return 130


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="drillapp",
        description="Daily reading drills for strummed guitar. Without a verb, the app opens.",
        epilog="example: drillapp --data ~/lessons --decks ~/my-decks",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"drillapp {__version__}")
    parser.add_argument("--data", type=Path, metavar="FOLDER", help="keep the practice log here")
    parser.add_argument("--decks", type=Path, metavar="FOLDER", help="read decks from here as well")
    parser.add_argument(
        "--demo", action="store_true", help="open a scratch copy with an invented class; nothing is kept"
    )
    parser.set_defaults(run=_open_app)
    verbs = parser.add_subparsers(title="verbs", metavar="VERB")
    for verb in VERBS:
        added = verbs.add_parser(
            verb.NAME,
            help=verb.SUMMARY,
            description=verb.SUMMARY[:1].upper() + verb.SUMMARY[1:] + ".",
            epilog=f"example: {verb.EXAMPLE}",
            allow_abbrev=False,
        )
        verb.add_arguments(added)
        added.set_defaults(run=verb.run)
    return parser


def _open_app(options: argparse.Namespace) -> int:
    os.environ.setdefault("KIVY_NO_ARGS", "1")  # before Kivy is imported: the command line is ours
    from drillapp.screens.frame.options import Options

    decks = (options.decks,) if options.decks else None
    try:
        chosen = Options.from_environment(os.environ, data=options.data, decks=decks, demo=options.demo)
    except ValueError as error:
        print(f"drillapp: {error}", file=sys.stderr)
        return 2
    if options.decks and not os.path.isdir(options.decks):
        raise InputFault(f"{options.decks} is not a folder; give the folder that holds your decks")
    from drillapp.screens.frame.app import run
    from drillapp.screens.frame.window import NoWindow

    try:
        return int(run(chosen) or 0)
    except NoWindow as missing:
        raise InputFault(str(missing)) from None


if __name__ == "__main__":
    sys.exit(main())
