"""Which of a device's running numbers are here, and so which never arrived.

Each device numbers its operations from 1. A gap says that something was lost or is still on its way; a
number used twice, that a device was restored from an old copy or that two of them share a name.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Tally:
    """The numbers seen of one device, as runs (first, last) in order, and those that came twice."""

    runs: tuple[tuple[int, int], ...] = ()
    twice: tuple[int, ...] = ()

    @property
    def last(self) -> int:
        """The highest number seen, 0 before any."""
        return self.runs[-1][1] if self.runs else 0

    @property
    def gaps(self) -> tuple[tuple[int, int], ...]:
        """The runs of numbers (first, last) below the highest that never arrived.

        >>> Tally().with_number(2).with_number(5).gaps
        ((1, 1), (3, 4))
        """
        ends = (0, *(last for _, last in self.runs))
        return tuple(
            (end + 1, first - 1) for end, (first, _) in zip(ends, self.runs, strict=False) if end + 1 < first
        )

    def with_number(self, number: int) -> Tally:
        """The tally after one more operation with this number."""
        place = bisect_right(self.runs, number, key=lambda run: run[0])
        before, after = self.runs[:place], self.runs[place:]
        if before and number <= before[-1][1]:
            return Tally(self.runs, tuple(sorted({*self.twice, number})))
        low = high = number
        if before and before[-1][1] == number - 1:
            low, before = before[-1][0], before[:-1]
        if after and after[0][0] == number + 1:
            high, after = after[0][1], after[1:]
        return Tally((*before, (low, high), *after), self.twice)

    def as_json(self) -> dict[str, Any]:
        """The tally as plain JSON values."""
        return {"runs": [list(run) for run in self.runs], "twice": list(self.twice)}
