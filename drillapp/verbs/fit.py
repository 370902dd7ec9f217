"""`drillapp fit`: priors for the memory, from a log of answers."""

from __future__ import annotations

import argparse
import csv
import io
import sys
from collections.abc import Iterator
from pathlib import Path

from drillapp.verbs.arguments import InputFault, add_data_argument, existing_log, write_output

NAME = "fit"
SUMMARY = "fit what the memory takes for granted to a log of answers"
EXAMPLE = "drillapp fit answers.csv --out prior.json"
COLUMNS = ("learner", "seconds", "features", "correct")
LEAST, LEAST_LEARNERS = 200, 10
MOST_BYTES = 200_000_000

Row = tuple[str, float, tuple[str, ...], bool, float, tuple[str, ...]]


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "log",
        nargs="?",
        type=Path,
        metavar="LOG.csv",
        help="columns learner, seconds, features (parted by ;), correct (1 or 0) and, where answers can be "
        "guessed, guess (the practice log where no file is given)",
    )
    parser.add_argument(
        "--simulated", type=int, metavar="N", help="fit to so many simulated learners of each family instead"
    )
    parser.add_argument("--out", type=Path, metavar="OUT.json", help="write the prior here")
    add_data_argument(parser)


def run(options: argparse.Namespace) -> int:
    from dataclasses import replace

    from drillapp.learning import Prior, calibration, fit_prior
    from drillapp.learning.prior_file import write_prior

    if options.log is not None and options.simulated is not None:
        raise InputFault("give a log or --simulated N, not both")
    if options.simulated is not None and not 1 <= options.simulated <= 1000:
        raise InputFault(f"--simulated {options.simulated}: 1 to 1000 learners of each family")
    if options.log is not None:
        rows = list(_from_file(options.log))
    elif options.simulated is not None:
        rows = list(_simulated(options.simulated))
    else:
        rows = list(_from_practice(getattr(options, "data", None)))
    learners = list(dict.fromkeys(row[0] for row in rows))
    if len(rows) < LEAST or len(learners) < LEAST_LEARNERS:
        raise InputFault(
            f"{len(rows)} answers of {len(learners)} learners are too few; at least {LEAST} answers, "
            f"of {LEAST_LEARNERS} learners"
        )
    guess = sum(row[4] for row in rows) / len(rows)
    held_out = set(learners[::5])
    kept = [row for row in rows if row[0] not in held_out]
    test = [row for row in rows if row[0] in held_out]
    priors = {"shipped": replace(Prior(), guess=guess), "fitted": fit_prior(kept, guess, progress=_tell)}
    print(f"{len(kept)} answers to fit, {len(test)} of other learners to test:")
    print(f"{'':24}{'log loss':>10}{'calibration':>13}{'area':>8}")
    losses = {}
    for name, prior in priors.items():
        found = calibration(_forecasts(test, prior), [row[3] for row in test])
        losses[name] = found.log_loss
        print(f"{name:24}{found.log_loss:10.4f}{found.error:13.4f}{found.area:8.4f}")
    if options.out is not None:
        if losses["fitted"] >= losses["shipped"]:
            raise InputFault(
                f"{options.out} is not written: what is fitted forecasts other learners no better than the "
                "shipped prior; answers of more learners are needed"
            )
        write_output(options.out, (write_prior(fit_prior(rows, guess, progress=_tell)) + "\n").encode())
        print(f"{options.out}: fitted to {len(rows)} answers of {len(learners)} learners")
    return 0


def _forecasts(rows: list[Row], prior: object) -> list[float]:
    from drillapp.learning import Memory, Prior

    assert isinstance(prior, Prior)
    memories: dict[str, Memory] = {}
    found = {}
    for place in sorted(range(len(rows)), key=lambda place: rows[place][1]):
        learner, now, features, correct, guess, conditions = rows[place]
        memory = memories.setdefault(learner, Memory(prior=prior))
        found[place] = memory.predict(features, now, guess, conditions)
        memory.observe(features, correct, now, guess, conditions)
    return [found[place] for place in range(len(rows))]


def _from_file(path: Path) -> Iterator[Row]:
    """Raises InputFault with the line."""
    from drillapp.files.reading import read_bounded

    try:
        text = read_bounded(path, MOST_BYTES).decode("utf-8-sig")
        with io.StringIO(text, newline="") as file:
            table = csv.DictReader(file)
            if missing := [name for name in COLUMNS if name not in (table.fieldnames or ())]:
                raise InputFault(f"{path}:1: no column {', '.join(missing)}; needed: {', '.join(COLUMNS)}")
            for line in table:
                yield _row(line, f"{path}:{table.line_num}")
    except UnicodeDecodeError:
        raise InputFault(f"{path} is not text in UTF-8") from None
    except (OSError, csv.Error) as error:
        raise InputFault(f"{path} cannot be read: {getattr(error, 'strerror', None) or error}") from None


def _row(line: dict[str, str | None], where: str) -> Row:
    features = tuple(name.strip() for name in (line["features"] or "").split(";") if name.strip())
    try:
        seconds, guess = float(line["seconds"] or ""), float(line.get("guess") or 0.0)
    except ValueError:
        raise InputFault(f"{where}: seconds and guess must be numbers") from None
    if not abs(seconds) < 1e12 or not 0 <= guess < 1:
        raise InputFault(f"{where}: seconds must be below 1e12, guess from 0 to below 1")
    if not features or not line["learner"]:
        raise InputFault(f"{where}: a learner and one or more features are needed")
    if line["correct"] not in ("0", "1"):
        raise InputFault(f"{where}: correct is {line['correct']!r}; must be 1 or 0")
    return line["learner"], seconds, features, line["correct"] == "1", guess, ()


def _from_practice(data: Path | None) -> Iterator[Row]:
    from drillapp.practice.conditions import conditions_of
    from drillapp.records import LogError

    try:
        with existing_log(data) as log:
            for seen in log.observations():
                conditions = conditions_of(seen.first_seen, seen.pattern, seen.tempo, seen.layers)
                yield seen.learner, seen.time, seen.features, seen.correct, seen.guess, conditions
    except LogError as error:
        raise InputFault(str(error)) from None


def _simulated(count: int) -> Iterator[Row]:
    """Practice of simulated learners, a fourth each by four policies."""
    import random

    from drillapp.learning.simulation.learners import FAMILIES
    from drillapp.learning.simulation.simulate import POLICIES, Setting, practise

    setting = Setting()
    names = ("uniform", "boxes", "missing", "planner")
    for number in range(count * len(FAMILIES)):
        learner = FAMILIES[number % len(FAMILIES)](setting.names, random.Random(50_000 + number))
        policy = POLICIES[names[number // len(FAMILIES) % 4]](setting, learner, number)
        for now, feature, right in practise(learner, policy, setting, random.Random(number)):
            yield f"{learner.family} {number}", now, (feature,), right, setting.guess, ()


def _tell(line: str) -> None:
    print(line, file=sys.stderr, flush=True)
