"""A clock that the test sets, with random bits that come again the same."""

import random

from support.devices import MORNING


class SetClock:
    """Each look at it is a millisecond later than the last."""

    def __init__(self, now=MORNING, offset=60, seed=0):
        self.now, self.offset, self.random = now, offset, random.Random(seed)

    def now_millis(self):
        self.now += 1
        return self.now

    def offset_min(self):
        return self.offset

    def random_bits(self):
        return self.random.getrandbits(74)
