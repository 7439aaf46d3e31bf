"""How often something may be asked: token buckets, one for each asker and kind of request."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass

MOST_KEYS = 4096


@dataclass(frozen=True)
class Rate:
    """So many at once, refilled at so many a minute."""

    burst: int
    per_minute: float


class Buckets:
    """Token buckets for many keys. `ticks` gives seconds that never run back; threads may share it.

    The longest unused key goes first when there are more than MOST_KEYS, so that memory stays bounded
    whoever asks.
    """

    def __init__(self, ticks: Callable[[], float], most: int = MOST_KEYS) -> None:
        self._ticks, self._most = ticks, most
        self._levels: OrderedDict[Hashable, tuple[float, float]] = OrderedDict()
        self._mutex = threading.Lock()

    def take(self, key: Hashable, rate: Rate) -> float:
        """Take one token: 0.0 if there was one, else the seconds until there will be."""
        with self._mutex:
            now = self._ticks()
            level, since = self._levels.pop(key, (float(rate.burst), now))
            level = min(rate.burst, level + (now - since) * rate.per_minute / 60)
            granted = level >= 1
            self._levels[key] = (level - 1 if granted else level, now)
            while len(self._levels) > self._most:
                self._levels.popitem(last=False)
        return 0.0 if granted else (1 - level) * 60 / rate.per_minute
