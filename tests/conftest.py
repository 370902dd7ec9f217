"""What the tests share: what they need of the machine, how they are divided, published tables."""

from __future__ import annotations

import csv
import ctypes
import importlib.util
import os
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import hypothesis
import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling
from xdist.workermanage import WorkerController

REFERENCE = Path(__file__).parent / "reference"

# How long an example takes depends on what else the machine does.
hypothesis.settings.register_profile("drillapp", deadline=None)
hypothesis.settings.load_profile("drillapp")

# numba's cache kills processes that share it (its issue 10128), and without a cache it compiles for half a
# minute: whatever would load it, such as librosa, fails at once.
sys.modules["numba"] = None  # type: ignore[assignment]


# The threads of numpy wait for each other in a loop, which takes from the windows what two cores have.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def pytest_configure(config: pytest.Config) -> None:
    """A user's cache for this run alone, which all tests share: banks of strokes are made once."""
    if not hasattr(config, "workerinput"):
        folder = tempfile.TemporaryDirectory(prefix="drillapp-tests-", ignore_cleanup_errors=True)
        os.environ["XDG_CACHE_HOME"] = folder.name
        config.add_cleanup(folder.cleanup)


# What the machine has

NEEDED = {
    "Xvfb": "xvfb",
    "xvfb-run": "xvfb",
    "xauth": "xauth",
    "xdotool": "xdotool",
    "libX11.so.6": "libx11-6",
    "libXtst.so.6": "libxtst6",
    "libGL.so.1": "libgl1",
    "pulseaudio": "pulseaudio",
    "pactl": "pulseaudio-utils",
    "parec": "pulseaudio-utils",
    "alsa-lib/libasound_module_pcm_pulse.so": "libasound2-plugins",
    "rsvg-convert": "librsvg2-bin",
    "chromium": "chromium",
    "gzip": "gzip",
    "sha256sum": "coreutils",
}
"""Programs and shared libraries that tests ask for, and the Debian packages that bring them."""


def _is_here(name: str) -> bool:
    if ".so" not in name:
        return shutil.which(name) is not None
    if "/" in name:
        return any([*Path("/usr").glob(f"lib*/{name}"), *Path("/usr").glob(f"lib*/*/{name}")])
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


@pytest.fixture(scope="session")
def needs() -> Callable[..., None]:
    """Skips the test where the machine lacks a program, shared library or Python module that it names."""

    def ask(*names: str, modules: tuple[str, ...] = ()) -> None:
        lacking = [f"{name} (Debian's {NEEDED[name]})" for name in names if not _is_here(name)]
        lacking += [f"the Python package {name}" for name in modules if not importlib.util.find_spec(name)]
        if lacking:
            pytest.skip("needs " + " and ".join(lacking))

    return ask


# How the tests are divided between processes

IN_REAL_TIME = ("tests/screens/", "tests/sound/test_null_sink.py", "tests/sound/test_streams.py")
"""Tests that mostly wait for clicks, strokes and sounds of a window or a device of their own."""
WORKERS = 3
"""Several windows wait at once; more of them would make each other late on two cores."""
BESIDE = "DRILLAPP_TESTS_BESIDE"
"""Names the process that computes in the time that the others wait, at a lower priority."""


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """The whole suite in several processes; what is named on the command line in this one alone."""
    if config.args_source is not pytest.Config.ArgsSource.TESTPATHS:
        return 0
    others = max(WORKERS, os.cpu_count() or 1)
    os.environ[BESIDE] = f"gw{others}"
    return others + 1


def pytest_runtestloop(session: pytest.Session) -> None:
    """Nothing that is computed beside the tests in real time makes them late."""
    worker = getattr(session.config, "workerinput", {}).get("workerid", "none")
    if worker == os.environ.get(BESIDE) and hasattr(os, "nice"):
        os.nice(10)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Tests in real time come first, so that hardly anything computes beside them and makes them late."""
    items.sort(key=lambda item: not item.nodeid.startswith(IN_REAL_TIME))


class ByFile(LoadScopeScheduling):
    """Files go whole to one process, so that what they prepare is prepared once; tests in real time singly.

    The process beside the others takes its files from the end, where no tests in real time are.

    The marks that xdist has for this do nothing with pytest 9.2 (xdist's issue 1386).
    """

    def _split_scope(self, nodeid: str) -> str:
        file = nodeid.split("::", 1)[0]
        return nodeid if file.startswith(IN_REAL_TIME) else file

    def _assign_work_unit(self, node: WorkerController) -> None:
        if node.gateway.id == os.environ.get(BESIDE):
            self.workqueue.move_to_end(next(reversed(self.workqueue)), last=False)
        super()._assign_work_unit(node)


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> ByFile:
    """What xdist asks for where there are several processes."""
    return ByFile(config, log)


# Whether all of them have to run

_ALL = os.environ.get("DRILLAPP_TESTS_ALL") == "1"


def _skipped(config: pytest.Config) -> int:
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    return len(reporter.stats.get("skipped", ())) if _ALL and reporter is not None else 0


def pytest_sessionfinish(session: pytest.Session) -> None:
    """With DRILLAPP_TESTS_ALL=1, as .ci/test sets it, a run in which a test was skipped fails."""
    if session.exitstatus == pytest.ExitCode.OK and _skipped(session.config):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say so; pytest's -rs names them."""
    if count := _skipped(terminalreporter.config):
        terminalreporter.write_line(f"FAILED: {count} skipped; here every test has to run", red=True)


# What they share


@pytest.fixture(scope="session")
def table() -> Callable[[str], list[dict[str, str]]]:
    """Reads a published table of tests/reference; its source stands at its head."""

    def read(name: str) -> list[dict[str, str]]:
        lines = (REFERENCE / name).read_text(encoding="utf-8").splitlines()
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))

    return read
