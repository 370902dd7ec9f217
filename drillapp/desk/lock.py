"""The desk's lock: a PIN that keeps children out of the desk. It is no encryption: the file can be read.

Conventions: times are UTC seconds, handed in. The PIN is kept as its scrypt value (RFC 7914) with a salt of
its own. After FREE wrong tries each further one has to wait, twice as long each time, up to LONGEST. The
owner of the machine takes the lock off with an empty file of the name RECOVERY in the folder of the log.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from drillapp.records import PracticeLog

LOCK = "lock"
RECOVERY = "forget-desk-pin"
SHORTEST, LONGEST_PIN = 4, 12
FREE = 3
FIRST_WAIT, LONGEST = 5.0, 900.0
_COST = {"n": 2**14, "r": 8, "p": 1}
_SALT_BYTES = 16


class PinRefused(ValueError):
    """A PIN that cannot be taken or does not fit; why, with a code and the values in it by name."""

    def __init__(self, message: str, *, code: str, places: Mapping[str, object] | None = None) -> None:
        super().__init__(message)
        self.message, self.code, self.places = message, code, dict(places or {})


@dataclass(frozen=True)
class Tries:
    """How often a wrong PIN came since the last right one, and when the last time."""

    wrong: int = 0
    last: float = 0.0

    def wait(self, now: float) -> float:
        """Seconds until the next try; 0 where it may be now. A clock set back makes no wait longer."""
        if self.wrong < FREE:
            return 0.0
        whole = min(FIRST_WAIT * 2.0 ** min(self.wrong - FREE, 20), LONGEST)
        return min(max(self.last + whole - now, 0.0), whole)


class Lock:
    """The lock of one desk. ``folder``: where the log is, and where the owner's file is looked for."""

    def __init__(self, log: PracticeLog, folder: Path) -> None:
        self._log, self._folder = log, folder

    @property
    def is_set(self) -> bool:
        """Whether a PIN is asked for."""
        return self._note() is not None

    def set(self, pin: str, salt: bytes) -> None:
        """Ask for this PIN from now on; ``salt``: 16 random bytes. Raises PinRefused for another form."""
        if not (pin.isascii() and pin.isdigit() and SHORTEST <= len(pin) <= LONGEST_PIN):
            raise PinRefused(
                f"A PIN is {SHORTEST} to {LONGEST_PIN} figures.",
                code="pin-form",
                places={"least": SHORTEST, "most": LONGEST_PIN},
            )
        self._log.desk.put(
            LOCK, {"salt": salt.hex(), "scrypt": _hash(pin, salt).hex(), "wrong": 0, "last": 0.0}
        )

    def take_off(self) -> None:
        """Ask for no PIN any more."""
        self._log.desk.put(LOCK, None)

    def wait(self, now: float) -> float:
        """Seconds until a PIN may be tried again."""
        note = self._note()
        return 0.0 if note is None else _tries(note).wait(now)

    def open(self, pin: str, now: float) -> None:
        """Raises PinRefused where the PIN does not fit, or has to wait; each try is kept on disk first."""
        note = self._note()
        if note is None:
            return
        tries = _tries(note)
        if wait := tries.wait(now):
            raise PinRefused(
                f"Too many wrong tries: wait {round(wait) or 1} seconds.",
                code="pin-wait",
                places={"seconds": round(wait) or 1},
            )
        self._log.desk.put(LOCK, {**note, "wrong": tries.wrong + 1, "last": now})
        if not hmac.compare_digest(
            _hash(pin, bytes.fromhex(note["salt"])).hex().encode(), note["scrypt"].encode()
        ):
            raise PinRefused("That is not the PIN.", code="pin-wrong")
        self._log.desk.put(LOCK, {**note, "wrong": 0, "last": now})

    def recover(self) -> bool:
        """Take the lock off where the machine's owner has asked for it by a file; whether that was so."""
        asked = self._folder / RECOVERY
        if not asked.is_file():
            return False
        self.take_off()
        asked.unlink(missing_ok=True)
        return True

    def _note(self) -> dict[str, Any] | None:
        note = self._log.desk.get(LOCK)
        if note is None:
            return None
        try:
            bytes.fromhex(note["salt"])
            if not isinstance(note["scrypt"], str):
                raise ValueError
        except (KeyError, TypeError, ValueError):
            return {"salt": "", "scrypt": "", "wrong": FREE, "last": 0.0}  # damaged: closed until recovered
        return note


def _tries(note: Mapping[str, Any]) -> Tries:
    wrong, last = note.get("wrong"), note.get("last")
    if not isinstance(wrong, int) or not isinstance(last, (int, float)):
        return Tries(FREE, 0.0)
    return Tries(wrong, float(last))


def _hash(pin: str, salt: bytes) -> bytes:
    return hashlib.scrypt(pin.encode(), salt=salt, **_COST, dklen=32)
