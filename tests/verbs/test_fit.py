"""`drillapp fit`: a log of answers in, a table of priors out, and what is wrong with a log."""

from __future__ import annotations

import random

import pytest

from drillapp.__main__ import main
from drillapp.learning import Memory, Prior
from drillapp.learning.prior_file import read_prior, write_prior
from drillapp.learning.readout import Readout
from drillapp.practice.fitted import PRIOR_FILE, fitted_prior


def csv_log(learners: int, answers: int) -> str:
    """Two skills, one hard and one easy, and questions with both."""
    rng = random.Random(5)
    lines = ["learner,seconds,features,correct"]
    for learner in range(learners):
        level = rng.gauss(0, 0.1)
        for number in range(answers):
            features = rng.choice(("easy", "hard", "easy;hard"))
            right = rng.random() < (0.9 if features == "easy" else 0.4) + level
            lines.append(f"L{learner},{number * 40.0 + number // 10 * 90000},{features},{int(right)}")
    return "\n".join(lines) + "\n"


def test_a_log_is_fitted_tried_on_others_and_written(tmp_path, capsys) -> None:
    log, out = tmp_path / "log.csv", tmp_path / "prior.json"
    log.write_text(csv_log(10, 30))
    assert main(["fit", str(log), "--out", str(out)]) == 0
    told = capsys.readouterr().out
    shipped, fitted = (
        float(line.split()[1]) for line in told.splitlines() if line.startswith(("shipped", "fitted"))
    )
    assert fitted < shipped
    memory = Memory(prior=read_prior(out.read_text()))
    assert memory.predict(("easy",), 0.0) > memory.predict(("hard",), 0.0) + 0.2


def test_what_forecasts_others_no_better_than_the_shipped_prior_is_not_written(
    tmp_path, capsys, monkeypatch
) -> None:
    log, out = tmp_path / "log.csv", tmp_path / "prior.json"
    log.write_text(csv_log(10, 30))
    monkeypatch.setattr("drillapp.learning.fit_prior", lambda rows, guess, progress: Prior(base=-5.0))
    assert main(["fit", str(log), "--out", str(out)]) == 1
    assert "no better" in capsys.readouterr().err
    assert not out.exists()


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("learner,seconds,correct\n", ":1: no column features"),
        ("learner,seconds,features,correct\na,1,x,1\na,x,y,1\n", ":3: seconds"),
        ("learner,seconds,features,correct\na,1,x,yes\n", ":2: correct"),
        ("learner,seconds,features,correct\na,1,,1\n", ":2: a learner and one or more features"),
        ("learner,seconds,features,correct\na,1,x,1\n", "too few"),
        ("learner,seconds,features,correct\na,nan,x,1\n", ":2: seconds"),
    ],
)
def test_what_is_wrong_with_a_log_is_said(tmp_path, capsys, text, fault) -> None:
    log = tmp_path / "log.csv"
    log.write_text(text)
    assert main(["fit", str(log)]) == 1
    assert fault in capsys.readouterr().err


def test_without_a_practice_log_it_says_so(tmp_path, capsys) -> None:
    assert main(["fit", "--data", str(tmp_path)]) == 1
    assert "there is no practice log" in capsys.readouterr().err


def test_the_app_starts_from_a_fitted_prior_in_its_folder_and_says_where_it_cannot(tmp_path) -> None:
    assert fitted_prior(tmp_path) == (None, ())
    prior = Prior(base=1.25, readout=Readout())
    (tmp_path / PRIOR_FILE).write_text(write_prior(prior))
    assert fitted_prior(tmp_path) == (prior, ())
    (tmp_path / PRIOR_FILE).write_text("{}")
    found, notices = fitted_prior(tmp_path)
    assert found is None
    assert notices[0].kind == "prior" and "prior.json" in notices[0].text
