"""Running drillapp as a user does: a process of its own, its exit code, what it says."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def drillapp(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Runs ``drillapp`` with these arguments in an empty folder."""

    def run(*arguments: object, **environment: str) -> subprocess.CompletedProcess[str]:
        done = subprocess.run(
            [sys.executable, "-m", "drillapp", *map(str, arguments)],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=120,
            check=False,
        )
        assert "Traceback" not in done.stderr, done.stderr
        return done

    return run
