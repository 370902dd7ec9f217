"""Keeps the app's memory flat over a long drill: what questions leave behind is found and given back.

Widgets and pages hold each other in circles, which Python frees only when it looks for them; left alone it
looks when they have grown by a quarter of everything that lives, and the heap grows meanwhile.
"""

from __future__ import annotations

import contextlib
import ctypes
import gc
from typing import Any

SETTLED = 3
"""Questions after which all that stays has been made."""
TRIM_EVERY = 4


class Tidy:
    """Told of each question; ``trim`` gives free pages back to the system and may run in any thread."""

    def __init__(self) -> None:
        self._questions = 0
        self._trim: Any = None
        with contextlib.suppress(OSError, AttributeError, TypeError):
            self._trim = ctypes.CDLL(None).malloc_trim  # glibc's; elsewhere there is none

    def question(self) -> None:
        """Search for what is left over, some ms; what is there for good is taken out of that once."""
        self._questions += 1
        if self._questions == SETTLED:
            gc.collect()
            gc.freeze()
        elif self._questions > SETTLED:
            gc.collect()

    def trim(self) -> None:
        if self._trim is not None and self._questions % TRIM_EVERY == 0:
            self._trim(0)
