"""What the screens hear: rendered as asked, kept within bounds, strokes kept on disk."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from drillapp.music import parse
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.sound import sounds
from drillapp.screens.sound.sounds import Sound, Sounds
from drillapp.sound import bank_folder, count_in_samples, render, stroke_bank

PATTERN = parse("D- DU -U DU", tempo=120)


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Strokes are kept in a cache of the test's own (XDG Base Directory Specification, on Linux)."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    stroke_bank.cache_clear()
    return bank_folder()


def test_strokes_are_made_once_and_read_from_the_users_cache_from_then_on(
    own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = Sound(PATTERN, 120, "Em", "nylon").render()
    (kept,) = own_cache.iterdir()
    assert kept.name.startswith("Em-nylon-44100-")
    stroke_bank.cache_clear()

    def again(*_: object) -> None:
        raise AssertionError("the strokes are made once more")

    monkeypatch.setattr("drillapp.sound.strokes.make_bank", again)
    assert np.array_equal(Sound(PATTERN, 120, "Em", "nylon").render(), first)


def test_a_damaged_cache_is_made_anew_without_a_word(
    own_cache: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = Sound(PATTERN, 120).render()
    (kept,) = own_cache.iterdir()
    kept.write_bytes(kept.read_bytes()[:1000])
    stroke_bank.cache_clear()
    assert np.array_equal(Sound(PATTERN, 120).render(), first)
    assert kept.stat().st_size > 1000
    assert capsys.readouterr() == ("", "")


def test_a_click_under_the_pattern_is_heard_on_its_beats_and_nowhere_else() -> None:
    plain = Sound(PATTERN, 120, count_in=1).render()
    clicked = Sound(PATTERN, 120, count_in=1, click=True).render()
    assert np.array_equal(clicked, render(PATTERN, 120, count_in=1, click=True))
    start = count_in_samples(PATTERN, 120, sounds.RATE, 1)
    assert np.array_equal(clicked[:start], plain[:start])
    heard = np.abs(clicked - plain)[start:]
    beat = sounds.RATE // 2  # 120 beats a minute
    for number in range(4):
        assert heard[number * beat :][:500].max() > 0.05
        assert not heard[number * beat + beat // 2 : (number + 1) * beat].any()


def test_a_repeat_is_one_count_in_and_rounds_that_are_all_alike() -> None:
    repeated = Sound(PATTERN, 120, count_in=1, repeat=True).render()
    start = count_in_samples(PATTERN, 120, sounds.RATE, 1)
    rounds = repeated[start:].reshape(sounds.ROUNDS, 2 * sounds.RATE)  # a bar of 4/4 at 120 lasts 2 s
    assert (rounds == rounds[0]).all()


def test_kept_sounds_take_no_more_than_they_may(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sounds, "MOST_KEPT", 900_000)
    kept = Sounds()
    for tempo in range(60, 90, 5):
        kept.samples(Sound(PATTERN, tempo))
    assert 0 < sum(one.nbytes for one in kept._kept.values()) <= 900_000
    long = Sound(PATTERN, 40, repeat=True)
    again = kept.samples(long)
    assert list(kept._kept) == [long], "the last one stays, whatever its size"
    assert np.abs(kept.samples(long) - again).max() <= 1 / 32767


def test_an_answer_is_heard_again_slower_and_the_next_question_keeps_its_tempo() -> None:
    class OneTask:
        def next(self) -> object:
            from types import SimpleNamespace

            return SimpleNamespace(tempo=96, drill="sound_to_page", pattern=PATTERN, chord="G")

    drilling = DrillState(OneTask(), lambda: 0.0)
    drilling.next()
    for _ in range(30):
        drilling.change_replay(-1)
    assert drilling.replay(PATTERN).tempo <= 40 and drilling.sound(PATTERN).tempo == 96
    for _ in range(30):
        drilling.change_replay(1)
    assert drilling.replay(PATTERN).tempo >= 200  # slow listening and fast: 40 to 200
    drilling.next()
    assert drilling.replay(PATTERN).tempo == drilling.tempo == 96
