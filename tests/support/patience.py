"""Asking a page until something holds, on a machine that is busy and of a page that may be going away.

A page that navigates, or whose process has ended, gives no answer; that is no answer yet, and not a failure.
"""

import time

from playwright.sync_api import Error

GOING_AWAY = (
    "Execution context was destroyed",
    "Cannot find context",
    "because of a navigation",
    "Frame was detached",
    "frame got detached",
    "Target crashed",
    "Inspected target navigated or closed",
)
PAUSE_S = 0.1


def answer(page, script, given=None):
    """What the page gives for the script; asked again for as long as it is on its way to another document."""
    return until(lambda: (page.evaluate(script, given),), "an answer from the page")[0]


def until(ask, what, seconds=60):
    """The first true answer of `ask`. `what` tells what never came: a text, or a function that gives one."""
    end, last = time.monotonic() + seconds, None
    while True:
        try:
            if found := ask():
                return found
        except Error as problem:
            if not any(words in str(problem) for words in GOING_AWAY):
                raise
            last = problem
        if time.monotonic() > end:
            told = what() if callable(what) else what
            raise AssertionError(f"not within {seconds} s: {told}" + (f" ({last})" if last else ""))
        time.sleep(PAUSE_S)
