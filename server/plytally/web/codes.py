"""The one-time code by which the desk lets a phone in: five minutes, five tries, one phone."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from plytally.web.problem import Problem
from plytally.web.secret import fresh_code, plain_code, same

SECONDS = 300
TRIES = 5


@dataclass
class _Open:
    code: str
    until: float
    tries: int = TRIES


class Codes:
    """At most one open code; a new one closes the last. Kept in memory only: a restart closes it.

    `ticks` gives seconds that never run back.
    """

    def __init__(self, ticks: Callable[[], float]) -> None:
        self._ticks = ticks
        self._open: _Open | None = None
        self._mutex = threading.Lock()

    def open(self) -> str:
        """A new code, good for SECONDS and TRIES."""
        with self._mutex:
            self._open = _Open(fresh_code(), self._ticks() + SECONDS)
            return self._open.code

    @contextmanager
    def redeem(self, typed: str) -> Iterator[None]:
        """Let the block run if `typed` is the open code; the code is spent unless the block fails.

        Raises Problem `no-code` or `wrong-code`.
        """
        with self._mutex:
            open_code = self._open
            if open_code is None or self._ticks() > open_code.until:
                self._open = None
                raise Problem(
                    "no-code", "no pairing code is open, or its five minutes are over: ask the desk for one"
                )
            if not same(plain_code(typed), plain_code(open_code.code)):
                self._wrong(open_code)
            yield
            self._open = None

    def _wrong(self, open_code: _Open) -> None:
        open_code.tries -= 1
        if open_code.tries == 0:
            self._open = None
        hint = (
            f"{open_code.tries} tries are left"
            if open_code.tries
            else "it is void now: ask the desk for another"
        )
        raise Problem(
            "wrong-code", f"that is not the code on the desk's screen; {hint}", tries_left=open_code.tries
        )
