"""The same made-up patterns as in the notation tests, and every shipped one."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from drillapp.decks.load import load_decks
from drillapp.music import Pattern

_spec = importlib.util.spec_from_file_location(
    "made_patterns", Path(__file__).parents[1] / "notation" / "conftest.py"
)
_made = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(_made)


@pytest.fixture(scope="session")
def made() -> list[Pattern]:
    """Eight hundred made-up patterns, always the same."""
    return [_made.make_pattern(seed) for seed in range(800)]


@pytest.fixture(scope="session")
def shipped_patterns() -> list[Pattern]:
    decks, faults = load_decks()
    assert not faults
    return [item.pattern for deck in decks for item in deck.patterns]


@pytest.fixture(scope="session")
def all_patterns(made, shipped_patterns) -> list[Pattern]:
    return shipped_patterns + made
