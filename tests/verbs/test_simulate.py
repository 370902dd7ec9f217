"""`drillapp simulate`: the table of policies, and what it refuses."""

from __future__ import annotations

import pytest

from drillapp.__main__ import main


def test_policies_are_compared_in_a_table_and_a_chart(tmp_path, capsys):
    chart = tmp_path / "policies.png"
    small = ["--learners", "4", "--days", "3", "--minutes", "1", "--workers", "1"]
    assert main(["simulate", *small, "--policies", "uniform,oracle", "--chart", str(chart)]) == 0
    told = capsys.readouterr()
    assert "uniform" in told.out
    assert "gap closed" in told.out
    assert "4 of 4 learners" in told.err
    assert chart.read_bytes().startswith(b"\x89PNG\r\n\x1a\n")  # the signature of the W3C Recommendation


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--learners", "0"], "--learners 0"),
        (["--minutes", "-1"], "--minutes"),
        (["--workers", "0"], "--workers"),
        (["--policies", "luck"], "no policy luck"),
        (["--chart", "gone/a.png"], "in a folder that is there"),
        (["--chart", "a.jpg"], "as .png"),
    ],
)
def test_what_cannot_be_is_refused_in_words(arguments, words, capsys):
    assert main(["simulate", *arguments]) == 1
    assert words in capsys.readouterr().err
