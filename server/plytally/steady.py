"""A thread that does one piece of work after the other, at once when it is nudged, until it is closed."""

from __future__ import annotations

import threading
from collections.abc import Callable


class Steady:
    """Calls `work` again and again in a thread of its own; `work` says whether more waits.

    Where nothing waits, the next look comes after `rest_s` seconds or at the next `nudge`. What goes wrong
    in `work` is for `work` to catch: what it lets out ends the thread.
    """

    def __init__(self, name: str, work: Callable[[], bool], rest_s: float) -> None:
        self._work, self._rest_s = work, rest_s
        self._stop, self._wake = threading.Event(), threading.Event()
        self._thread = threading.Thread(target=self._run, name=name, daemon=True)

    @property
    def closing(self) -> bool:
        """Whether `close` was called: a long piece of work may end early."""
        return self._stop.is_set()

    def start(self) -> None:
        """Begin. Only once."""
        self._thread.start()

    def nudge(self) -> None:
        """Say that something may have come."""
        self._wake.set()

    def close(self) -> None:
        """Let the piece of work that is being done be finished, and end the thread."""
        self._stop.set()
        self._wake.set()
        if self._thread.is_alive():
            self._thread.join()

    def _run(self) -> None:
        while not self.closing:
            if not self._work():
                self._wake.wait(self._rest_s)
                self._wake.clear()
