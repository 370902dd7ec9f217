"""How sharp the tests are: small faults that mutmut puts into a package, and the share that its tests notice.

    python -m tests.mutate learning                       every fault: hours
    python -m tests.mutate learning --sample 200 --seed 1 so many of them, drawn by that seed
    python -m tests.mutate learning --only '*diagnosis*'  those of one module
    python -m tests.mutate learning --again               what no test noticed so far, slow tests too

A fault is run against the tests of its package that call the function it is in, quickest first, up to the
first that fails; tests slower than `--slow` seconds are left for `--again`. Printed: the share noticed with
its 95 % range (Wilson 1927), and each fault that nothing noticed, as a diff. Work goes to `.mutants/`.
mutmut puts faults into functions without decorators only; it runs on Linux and macOS.
"""

from __future__ import annotations

import argparse
import fnmatch
import hashlib
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SLOW = "MUTATE_SLOW"
MISSED = (0, 5, 33)
"""mutmut's codes for a fault that no test noticed, and for one that no test calls."""
TABLE = """
[tool.mutmut]
source_paths = ["drillapp"]
only_mutate = ["drillapp/{package}/*"]
also_copy = ["decks", "media"]
pytest_add_cli_args = ["-p", "no:cacheprovider", "-p", "tests.mutate"]
pytest_add_cli_args_test_selection = {tests}
use_git_change_detection = false
track_dependencies = false
timeout_multiplier = 4.0
timeout_constant = 5.0
"""


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """The quickest tests first, the slow ones not at all, once it is known how long each takes."""
    known = Path("mutmut-stats.json")
    if os.environ.get("MUTANT_UNDER_TEST") in ("stats", "list_all_tests") or not known.exists():
        return
    took = json.loads(known.read_text(encoding="utf-8"))["duration_by_test"]
    items.sort(key=lambda item: took.get(item.nodeid, 0.0))
    limit = float(os.environ.get(SLOW, "inf"))
    # One is always run, lest a fault that only slow tests reach should count as not reached.
    quick = sum(took.get(item.nodeid, 0.0) <= limit for item in items) or 1
    config.hook.pytest_deselected(items=items[quick:])
    del items[quick:]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument(
        "package", help="a package of drillapp that has tests of its own: music, learning, ..."
    )
    parser.add_argument("--sample", type=int, help="how many faults to draw (all, unless given)")
    parser.add_argument("--seed", type=int, default=1, help="of the draw")
    parser.add_argument("--only", default="*", help="pattern for the faults' names")
    parser.add_argument("--slow", type=float, help="leave out tests that take longer (1 s; --again: none)")
    parser.add_argument(
        "--again", action="store_true", help="what was not noticed so far, with the slow tests"
    )
    given = parser.parse_args()
    if not (ROOT / "drillapp" / given.package).is_dir() or not (ROOT / "tests" / given.package).is_dir():
        parser.error(f"drillapp/{given.package} and tests/{given.package} must both be folders")
    place = ROOT / ".mutants" / given.package
    copy_tree(place, given.package)
    slow = given.slow or (float("inf") if given.again else 1.0)
    if given.again:
        before = {name: code for name, code in found(place).items() if fnmatch.fnmatch(name, given.only)}
        chosen = [name for name, code in before.items() if code is not None]
        work = [name for name in chosen if before[name] in MISSED]
    else:
        # mutmut makes its faults at the start of a run: one that runs none of them
        mutmut(place, ["none"], slow)
        names = [name for name in found(place) if fnmatch.fnmatch(name, given.only)]
        # a draw that stays the same where faults elsewhere come or go
        names.sort(key=lambda name: hashlib.sha256(f"{given.seed} {name}".encode()).digest())
        chosen = work = names[: given.sample]
    if not chosen:
        raise SystemExit(f"no faults to run; see {place / 'log.txt'}")
    # in parts, since a command line holds only so many names
    for start in range(0, len(work), 500):
        mutmut(place, work[start : start + 500], slow)
    tell(place, given.package, chosen)


def copy_tree(place: Path, package: str) -> None:
    """The project as it is now, beside what mutmut remembers of the last run."""
    place.mkdir(parents=True, exist_ok=True)
    leave = shutil.ignore_patterns("__pycache__")
    for name in ("drillapp", "tests", "decks", "media"):
        shutil.rmtree(place / name, ignore_errors=True)
        shutil.copytree(ROOT / name, place / name, ignore=leave)
    for stale in ("tests", "decks", "media"):
        shutil.rmtree(place / "mutants" / stale, ignore_errors=True)
    table = TABLE.format(package=package, tests=json.dumps([f"tests/{package}", f"drillapp/{package}"]))
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    (place / "pyproject.toml").write_text(text + table, encoding="utf-8")


def mutmut(place: Path, names: list[str], slow: float) -> None:
    """Run these faults, one after the other, and last of all what else wants the machine."""
    with (place / "log.txt").open("a", encoding="utf-8") as log:
        subprocess.run(
            ["nice", "-n", "15", sys.executable, "-m", "mutmut", "run", "--max-children", "1", *names],
            cwd=place,
            env={**os.environ, SLOW: str(slow)},
            stdout=log,
            stderr=log,
            check=False,  # it stops with an error where it is given no fault to run
        )


def found(place: Path) -> dict[str, int | None]:
    """Every fault's name with the exit code of its tests, None where it was not run."""
    codes: dict[str, int | None] = {}
    for path in sorted((place / "mutants" / "drillapp").rglob("*.meta")):
        codes.update(json.loads(path.read_text(encoding="utf-8"))["exit_code_by_key"])
    return codes


def tell(place: Path, package: str, chosen: list[str]) -> None:
    """Print the share noticed, and the faults that were not."""
    from statsmodels.stats.proportion import proportion_confint

    codes = found(place)
    run = [name for name in chosen if codes.get(name) is not None]
    missed = [name for name in run if codes[name] in MISSED]
    for name in missed:
        shown = subprocess.run(
            [sys.executable, "-m", "mutmut", "show", name], cwd=place, capture_output=True, text=True
        )
        print(f"\n{name}{' (no test calls it)' if codes[name] != 0 else ''}")
        print("\n".join(line for line in shown.stdout.splitlines() if line[:3] not in ("---", "+++", "# d")))
    if not run:
        raise SystemExit(f"no fault was run; see {place / 'log.txt'}")
    noticed = len(run) - len(missed)
    low, high = proportion_confint(noticed, len(run), method="wilson")
    print(
        f"\n{package}: {noticed} of {len(run)} noticed, {noticed / len(run):.3f} ({low:.3f} to {high:.3f})",
        end="",
    )
    print(
        f"; {len(codes)} faults in all"
        + (f"; {len(chosen) - len(run)} not run" if len(run) < len(chosen) else "")
    )


if __name__ == "__main__":
    main()
