"""Every sentence is said in English again after a test that changed the language."""

from __future__ import annotations

from collections.abc import Iterator
from gettext import NullTranslations

import pytest

from drillapp.words.language import ENGLISH, speak


class Bracketed(NullTranslations):
    """A pseudo-language: English in brackets, so that what does not go through the catalog shows."""

    def gettext(self, message: str) -> str:
        return f"[{message}]"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"[{msgid1 if n == 1 else msgid2}]"

    def pgettext(self, context: str, message: str) -> str:
        return f"[{message}]"


@pytest.fixture
def bracketed() -> Iterator[None]:
    """Say everything in brackets."""
    speak(Bracketed())
    yield
    speak(ENGLISH)


@pytest.fixture(autouse=True)
def _english_afterwards() -> Iterator[None]:
    yield
    speak(ENGLISH)
