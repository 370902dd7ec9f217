"""The long part: ``python -m tests.destroy [share]``, the share of its counts from 0 to 1; then a table."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from itertools import chain

from .tries import KINDS, Outcome, damages, faults, kills, mutations


def outcomes(share: float) -> Iterator[Outcome]:
    return chain(
        kills(max(1, round(500 * share / len(KINDS)))),
        faults(),
        mutations(max(1, round(20_000 * share))),
        damages(max(1, round(500 * share))),
    )


def main() -> int:
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    print(f"{'what':48}{'tried':>8}{'fell':>6}")
    fell = 0
    for outcome in outcomes(share):
        print(f"{outcome.what:48}{outcome.tried:8}{len(outcome.fell):6}", flush=True)
        for words in outcome.fell[:5]:
            print(f"    {words[:300]}")
        fell += len(outcome.fell)
    return 1 if fell else 0


if __name__ == "__main__":
    sys.exit(main())
