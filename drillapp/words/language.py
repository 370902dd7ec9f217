"""The language that sentences are said in: gettext's functions over one catalog that can be changed.

Conventions: messages are whole English sentences with places such as ``%(name)s``; ``marked`` and
``nmarked`` only mark a message in a table, which is said later, so that no table is tied to the language in
use when it was imported.
"""

from __future__ import annotations

import gettext as catalogs
from pathlib import Path

DOMAIN = "drillapp"
ENGLISH = catalogs.NullTranslations()

_spoken: catalogs.NullTranslations = ENGLISH


def use(language: str, folder: Path) -> bool:
    """Say everything in ``language`` from now on; False, and English, where ``folder`` has no catalog for it.

    ``folder`` holds ``LANGUAGE/LC_MESSAGES/drillapp.mo``, as gettext lays them out.
    """
    found = catalogs.translation(DOMAIN, str(folder), [language], fallback=True)
    speak(found)
    return type(found) is not catalogs.NullTranslations


def speak(catalog: catalogs.NullTranslations) -> None:
    """Say everything by this catalog from now on; ``ENGLISH`` is what the code says."""
    global _spoken
    _spoken = catalog


def code() -> str:
    """The language in use, by its code (BCP 47)."""
    return _spoken.info().get("language", "").replace("_", "-") or "en"


def _(message: str) -> str:
    """The message in the language in use; an empty one, which gettext keeps for itself, stays empty."""
    return _spoken.gettext(message) if message else ""


def ngettext(one: str, many: str, number: int) -> str:
    """The message in the form for this number."""
    return _spoken.ngettext(one, many, number)


def pgettext(context: str, message: str) -> str:
    """The message as it is meant in this context, where one English word means several things."""
    return _spoken.pgettext(context, message)


def marked(message: str) -> str:
    """The message itself, marked for the catalogs."""
    return message


def nmarked(one: str, many: str) -> tuple[str, str]:
    """The two forms of a message with a number, marked for the catalogs."""
    return one, many
