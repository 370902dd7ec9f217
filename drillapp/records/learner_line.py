"""A learner's line: the name as it is kept, and the check of what came from outside."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import Any

from .limits import LATEST, is_learner_id

LONGEST_NAME = 60


class NameRefused(ValueError):
    """A learner's name that cannot be taken: why, in a sentence, with a code and the values in it by name."""

    def __init__(self, message: str, *, code: str, places: Mapping[str, object] | None = None) -> None:
        super().__init__(message)
        self.message, self.code, self.places = message, code, dict(places or {})


def clean_name(name: str) -> str:
    """A learner's name as it is kept: spaces tidied, letters composed (Unicode NFC).

    Raises NameRefused where nothing is left, or it is too long or not text.

    >>> clean_name("  Ana   B ")
    'Ana B'
    """
    tidy = unicodedata.normalize("NFC", " ".join(name.split()))
    if not 1 <= len(tidy) <= LONGEST_NAME:
        raise NameRefused(
            f"A name has 1 to {LONGEST_NAME} characters; this one has {len(tidy)}.",
            code="name-length",
            places={"longest": LONGEST_NAME, "length": len(tidy)},
        )
    # Joiners are part of writing (Persian, emoji); other unseen characters turn or hide the text around them.
    if any(unicodedata.category(char).startswith("C") and char not in "\u200c\u200d" for char in tidy):
        raise NameRefused(
            "A name is letters, figures and spaces; this one holds a control character.", code="name-control"
        )
    return tidy


def learner_data(data: Any) -> dict[str, Any]:
    """A learner's line from outside, checked. Raises ValueError saying what is wrong."""
    if not isinstance(data, dict) or set(data) != {"id", "name", "made", "named"}:
        raise ValueError("a learner must have id, name, made and named, and no more")
    if not is_learner_id(data["id"]):
        raise ValueError("a learner's id must be text of 1 to 100 characters")
    if not isinstance(data["name"], str) or clean_name(data["name"]) != data["name"]:
        raise ValueError("a learner's name is not tidy text")
    for key in ("made", "named"):
        value = data[key]
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= LATEST:
            raise ValueError(f"a learner's {key} must be UTC seconds")
    return dict(data)
