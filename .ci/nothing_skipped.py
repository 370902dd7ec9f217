"""A pytest plugin for machines that have everything: a run in which a test is skipped fails."""

from __future__ import annotations

import pytest


def _skipped(config: pytest.Config) -> int:
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    return len(reporter.stats.get("skipped", ())) if reporter is not None else 0


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """Make a run that would count as passed fail for its skipped tests."""
    if exitstatus == pytest.ExitCode.OK and _skipped(session.config):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say so."""
    if count := _skipped(terminalreporter.config):
        terminalreporter.write_line(f"FAILED: {count} skipped; here every test has to run", red=True)
