"""The verbs of the command line, one module each.

A verb has NAME, SUMMARY, EXAMPLE, ``add_arguments(parser)`` and ``run(options) -> exit code``. What it needs
is imported when it runs, so that `drillapp --help` and `drillapp check` load little, and never Kivy.

Floor 6.
"""

from __future__ import annotations

import argparse
from typing import Protocol

from drillapp.verbs import check, collect, convert, fit, hand_in, report, sheet, simulate, sound, statistics
from drillapp.verbs.arguments import InputFault


class Verb(Protocol):
    NAME: str
    SUMMARY: str
    EXAMPLE: str

    def add_arguments(self, parser: argparse.ArgumentParser) -> None: ...

    def run(self, options: argparse.Namespace) -> int: ...


VERBS: tuple[Verb, ...] = (check, sound, sheet, convert, hand_in, collect, report, simulate, fit, statistics)

__all__ = ["VERBS", "InputFault", "Verb"]
