"""The desk's lock. Sources: RFC 7914 (scrypt), whose second test vector (section 12) the library must
give; waiting after wrong tries: NIST SP 800-63B, 5.2.2 (rate limiting), the figures are our own."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from drillapp.desk.lock import FIRST_WAIT, FREE, LOCK, LONGEST, RECOVERY, Lock, PinRefused
from drillapp.records import PracticeLog, open_log

SALT = bytes(range(16))


@pytest.fixture
def log(tmp_path: Path) -> Iterator[PracticeLog]:
    with open_log(tmp_path / "practice.sqlite") as opened:
        yield opened


@pytest.fixture
def lock(log: PracticeLog, tmp_path: Path) -> Lock:
    made = Lock(log, tmp_path)
    made.set("4711", SALT)
    return made


def test_the_library_is_rfc_7914s_scrypt() -> None:
    made = hashlib.scrypt(b"password", salt=b"NaCl", n=1024, r=8, p=16, dklen=64, maxmem=2**26)
    assert made.hex().startswith("fdbabe1c9d3472007856e7190d01e9fe")


def test_the_pin_opens_and_another_does_not(lock: Lock) -> None:
    lock.open("4711", 10.0)
    with pytest.raises(PinRefused, match="not the PIN"):
        lock.open("4712", 10.0)


def test_the_pin_itself_is_not_in_the_log(lock: Lock, log: PracticeLog) -> None:
    note = log.desk.get(LOCK)
    assert note is not None and "4711" not in str({**note, "salt": "", "scrypt": ""})
    assert note["scrypt"] == hashlib.scrypt(b"4711", salt=SALT, n=2**14, r=8, p=1, dklen=32).hex()


def test_wrong_tries_have_to_wait_longer_and_longer(lock: Lock) -> None:
    now = 100.0
    for _ in range(FREE):
        with pytest.raises(PinRefused, match="not the PIN"):
            lock.open("0000", now)
    assert lock.wait(now) == FIRST_WAIT
    with pytest.raises(PinRefused, match="wait 5 seconds"):
        lock.open("4711", now)  # the right one too
    with pytest.raises(PinRefused, match="not the PIN"):
        lock.open("0000", now + FIRST_WAIT)
    assert lock.wait(now + FIRST_WAIT) == 2 * FIRST_WAIT
    lock.open("4711", now + 3 * FIRST_WAIT)
    assert lock.wait(now + 3 * FIRST_WAIT) == 0


def test_ten_thousand_pins_would_take_months_to_try(lock: Lock) -> None:
    now = 0.0
    for _ in range(15):
        with pytest.raises(PinRefused):
            lock.open("0000", now)
        now += lock.wait(now)
    assert lock.wait(now - 1e9) <= LONGEST  # and a clock set back locks nobody out for good
    with pytest.raises(PinRefused):
        lock.open("0000", now)
    assert lock.wait(now) == LONGEST  # 10,000 of them: 104 days


def test_tries_are_counted_over_a_restart(lock: Lock, log: PracticeLog, tmp_path: Path) -> None:
    for _ in range(FREE):
        with pytest.raises(PinRefused):
            lock.open("0000", 5.0)
    assert Lock(log, tmp_path).wait(5.0) == FIRST_WAIT


@pytest.mark.parametrize("pin", ["", "123", "1234567890123", "12a4", "١٢٣٤"])
def test_a_pin_is_four_to_twelve_figures(pin: str, lock: Lock) -> None:
    with pytest.raises(PinRefused, match="4 to 12 figures"):
        lock.set(pin, SALT)


def test_the_owner_of_the_machine_takes_the_lock_off_by_a_file(lock: Lock, tmp_path: Path) -> None:
    assert not lock.recover() and lock.is_set
    (tmp_path / RECOVERY).touch()
    assert lock.recover() and not lock.is_set
    assert not (tmp_path / RECOVERY).exists()
    lock.open("anything", 1.0)


@pytest.mark.parametrize("note", [{"salt": "no hex", "scrypt": 7}, {"salt": "00", "scrypt": "\u00e9"}])
def test_a_damaged_lock_stays_closed_until_the_owner_opens_it(
    log: PracticeLog, tmp_path: Path, note: dict[str, object]
) -> None:
    log.desk.put(LOCK, note)
    lock = Lock(log, tmp_path)
    assert lock.is_set
    with pytest.raises(PinRefused):
        lock.open("", 1e9)
    (tmp_path / RECOVERY).touch()
    assert lock.recover() and not lock.is_set
