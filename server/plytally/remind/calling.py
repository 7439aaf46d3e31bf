"""Calls beside a running server: the shop's key, the door to push services, and the thread that calls."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from plytally.core.pot_life import ResinTimes
from plytally.remind.contact import contact as kept
from plytally.remind.keys import push_key
from plytally.remind.scheduler import Reminders
from plytally.remind.sender import TIMEOUT_S, WebPushSender
from plytally.store.log import BuildLog


@contextmanager
def calling(
    build_log: BuildLog,
    times: Callable[[], ResinTimes] = ResinTimes,
    contact: Callable[[], str] | None = None,
    timeout_s: float = TIMEOUT_S,
) -> Iterator[Reminders]:
    """Call for clocks that are due while the block runs.

    `times` and `contact` are asked each time, so that a change at the desk counts at once.
    """
    told = contact or (lambda: kept(build_log.documents))
    sender = WebPushSender(push_key(build_log.folder), told, timeout_s)
    reminders = Reminders(build_log, sender, times)
    reminders.start()
    try:
        yield reminders
    finally:
        reminders.close()
