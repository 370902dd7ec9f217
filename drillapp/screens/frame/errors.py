"""When something of ours fails it is written to a file and said in a sentence, and the app goes on."""

from __future__ import annotations

import logging
import logging.handlers
from collections.abc import Callable
from pathlib import Path

from kivy.base import ExceptionHandler, ExceptionManager

from drillapp.practice.notice import Notice
from drillapp.words.faults import went_wrong

LOG_NAME = "drillapp.log"
_log = logging.getLogger("drillapp")


def log_to(folder: Path) -> None:
    """Write our log and Kivy's errors into ``folder``; where it cannot be written, go on without."""
    try:
        handler = logging.handlers.RotatingFileHandler(
            folder / LOG_NAME, maxBytes=500_000, backupCount=1, encoding="utf-8", delay=True
        )
        (folder / LOG_NAME).touch()
    except OSError:
        return
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    handler.addFilter(lambda record: record.name.startswith("drillapp") or record.levelno >= logging.ERROR)
    for name in ("drillapp", "kivy"):
        logging.getLogger(name).addHandler(handler)


class _Keeper(ExceptionHandler):
    def __init__(self, tell: Callable[[Notice], None]) -> None:
        self._tell = tell

    def handle_exception(self, exception: BaseException) -> int:
        if isinstance(exception, (KeyboardInterrupt, SystemExit)):
            return int(ExceptionManager.RAISE)
        report(exception, self._tell)
        return int(ExceptionManager.PASS)


def keep_going(tell: Callable[[Notice], None]) -> None:
    """From now on no failed callback ends the app: ``tell`` gets a notice for the user."""
    ExceptionManager.add_handler(_Keeper(tell))


def report(exception: BaseException, tell: Callable[[Notice], None]) -> None:
    """Write the failure down with its traceback and say it in a sentence."""
    _log.error("%s", exception, exc_info=exception)
    what = str(exception).strip().splitlines()
    detail = what[0] if what else type(exception).__name__
    tell(Notice("failure", went_wrong(detail[:200], LOG_NAME)))
