"""Opening one device's practice from its folder: whatever is wrong there is one kind of error, in words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from drillapp.decks.deck import Deck
from drillapp.decks.faults import Fault
from drillapp.practice.fitted import fitted_prior
from drillapp.practice.practice import Practice
from drillapp.records import LogError, open_log

LOG_FILE = "practice.sqlite"


def open_practice(
    folder: Path,
    load_decks: Callable[[], tuple[tuple[Deck, ...], tuple[Fault, ...]]],
    now: Callable[[], float],
    seed: int | None = None,
    version: str = "",
) -> Practice:
    """The practice kept in a folder. Raises LogError for every fault; what was opened is closed then.

    ``now`` gives UTC seconds.
    """
    log = open_log(folder / LOG_FILE)
    try:
        prior, notices = fitted_prior(folder)
        decks, faults = load_decks()
        practice = Practice(log, decks, faults, now, seed, version, prior, notices)
    except LogError:
        log.close()
        raise
    except Exception as error:
        log.close()
        raise LogError(
            f"{folder / LOG_FILE}: the practice log was opened, but what is in it cannot be used "
            f"({type(error).__name__}: {error}). Nothing was changed."
        ) from error
    except BaseException:
        log.close()
        raise
    return practice
