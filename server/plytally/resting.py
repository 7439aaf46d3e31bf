"""Python's garbage collector at rest while much is built that stays."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_resting() -> Iterator[None]:
    """Let the collector rest: where 50,000 entries are taken in, it would look through them again and again.

    Measured by tests/bench/ledger_bench.py: half of the time to build a ledger. Nothing is kept from being
    collected; it comes a moment later.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
