"""Syncopation against published worked values (sources at the head of the table)."""

from __future__ import annotations

from drillapp.music import parse, syncopation, weights


def struck(bits: str, meter: str = "4/4", beats: int = 4) -> str:
    size = len(bits) // beats
    marks = bits.replace("x", "D").replace(".", "-")
    return " ".join(marks[n : n + size] for n in range(0, len(bits), size))


def test_published_rhythms_have_their_published_syncopation(table) -> None:
    rows = table("syncopation.csv")
    assert len(rows) >= 20
    for row in rows:
        assert syncopation(parse(struck(row["pattern"]))) == int(row["value"]), row


def test_weights_follow_the_meter() -> None:
    # Longuet-Higgins and Lee 1984, as a public Lisp implementation by Honing (2002) states them.
    assert weights(parse("DU DU DU DU")) == (0, -3, -2, -3, -1, -3, -2, -3)
    assert weights(parse("DUDU " * 4)) == (0, -4, -3, -4, -2, -4, -3, -4, -1, -4, -3, -4, -2, -4, -3, -4)
    assert weights(parse("DU DU DU", "3/4")) == (0, -2, -1, -2, -1, -2)
    assert weights(parse("DUD DUD", "6/8")) == (0, -2, -2, -1, -2, -2)
    assert weights(parse("DUD " * 4, "12/8")) == (0, -3, -3, -2, -3, -3, -1, -3, -3, -2, -3, -3)


def test_there_is_no_wrap_around() -> None:
    # The last stroke's syncopation looks to the end of the pattern and not back to its start.
    assert syncopation(parse("-D -D -D -D")) == 4


def test_a_rest_counts_like_a_tie() -> None:
    assert syncopation(parse("D. .U .. D.")) == syncopation(parse("D- -U -- D-")) == 2
