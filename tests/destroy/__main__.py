"""The long part: ``python -m tests.destroy [share]``, the share of its counts from 0 to 1; then a table."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from itertools import chain

from .damage import damages, edited_rows
from .disk import faults_in_python, faults_of_all, full_filesystems
from .inputs import mutations
from .kills import kills
from .outcome import Outcome
from .power import STORIES, power_cuts
from .worker import WORK

SHOWN = 3
"""Cases that are shown of each row in which something fell."""


def outcomes(share: float) -> Iterator[Outcome]:
    """All of it; with 1, what issue 14 names: 500 kills, a million inputs, 1,000 damages, 200 rows."""

    def some(count: int) -> int:
        return max(1, round(count * share))

    return chain(
        kills(some(500 // len(WORK))),
        faults_in_python(max(1, round(1 / share))),
        faults_of_all(share),
        full_filesystems(some(40)),
        power_cuts(some(2_000 // len(STORIES))),
        damages(some(1_000)),
        edited_rows(some(200)),
        mutations(some(1_000_000)),
    )


def main() -> int:
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    found = []
    for outcome in outcomes(share):
        found.append(outcome)
        print(f"done: {_row(outcome)}", file=sys.stderr, flush=True)
    print(f"{'what':52}{'tried':>8}{'fell':>6}")
    for outcome in found:
        print(_row(outcome))
        for words in outcome.fell[:SHOWN]:
            print(f"    {words[:300]}")
    return 1 if any(outcome.fell for outcome in found) else 0


def _row(outcome: Outcome) -> str:
    return f"{outcome.what:52}{outcome.tried:8,}{len(outcome.fell):6}  {outcome.note}".rstrip()


if __name__ == "__main__":
    sys.exit(main())
