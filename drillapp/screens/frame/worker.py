"""Work away from the frame loop: one thread, jobs in order, results handed back on Kivy's thread."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from kivy.clock import Clock


class Worker:
    """One background thread; ``failed`` gets whatever a job raises, on Kivy's thread."""

    def __init__(self, failed: Callable[[BaseException], None]) -> None:
        self._threads = ThreadPoolExecutor(1, thread_name_prefix="drillapp")
        self._failed = failed

    def do(self, job: Callable[[], Any], then: Callable[[Any], None] | None = None) -> Future[Any]:
        """Run ``job`` in the background, then ``then(result)`` on Kivy's thread."""
        future = self._threads.submit(job)
        future.add_done_callback(lambda done: Clock.schedule_once(lambda _dt: self._hand_back(done, then)))
        return future

    def _hand_back(self, done: Future[Any], then: Callable[[Any], None] | None) -> None:
        if done.cancelled():
            return
        error = done.exception()
        if error is not None:
            self._failed(error)
        elif then is not None:
            then(done.result())

    def close(self) -> None:
        self._threads.shutdown(wait=False, cancel_futures=True)
