"""What lessons say of their signs."""

from __future__ import annotations

import pytest

from drillapp.drills.lessons import LESSONS
from drillapp.music import FEATURES, LAYERS, SYLLABLES, syllables
from drillapp.words.lessons import LAYER_WORDS, LESSON_WORDS, count_row, hand, say, see, with_it, without_it

LONGEST = (
    110  # characters: a sentence that a reader of fourteen takes in at one look; our own bound, no source
)


def test_every_feature_has_its_words() -> None:
    assert tuple(LESSON_WORDS) == FEATURES
    assert tuple(LAYER_WORDS) == LAYERS


@pytest.mark.parametrize("feature", FEATURES)
def test_each_is_one_short_sentence_of_its_own(feature) -> None:
    for words in (see(feature), hand(feature), say(feature)):
        assert words[0].isupper() and words.endswith(".")
        assert words.count(". ") == 0 and len(words) <= LONGEST
    others = [other for name in FEATURES if name != feature for other in (see(name), hand(name), say(name))]
    assert not {see(feature), hand(feature), say(feature)} & set(others)
    assert with_it(feature) != without_it(feature)


@pytest.mark.parametrize("feature", FEATURES)
@pytest.mark.parametrize("names", SYLLABLES)
def test_counts_that_are_not_struck_stand_in_brackets(feature, names) -> None:
    bar = LESSONS[feature].shown
    said = count_row(bar, names).split()
    assert [word.strip("()") for word in said] == list(syllables(bar, names))
    assert [word.startswith("(") for word in said] == [not place.struck for place in bar.places]


def test_the_captions_of_the_meters_are_those_of_the_two_bars() -> None:
    meter = LESSONS["meter"]
    assert (len(meter.shown.meter.beats), len(meter.plain.meter.beats)) == (3, 4)
    assert with_it("meter").startswith("Three") and without_it("meter").startswith("Four")


def test_words_are_said_in_the_language_in_use(bracketed) -> None:
    assert all(words.startswith("[") for words in (see("tie"), hand("tie"), say("tie"), without_it("tie")))
