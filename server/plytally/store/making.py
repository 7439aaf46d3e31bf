"""How this machine makes operations of its own: the next number, a stamp behind all it saw, a fresh id."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plytally.clock import Clock
from plytally.core.body import body_problems
from plytally.core.clock import MAX_DRIFT_MS, Stamp, first, observe, tick, uuid7
from plytally.core.operation import Operation, OperationError
from plytally.core.wall import Wall
from plytally.store.line import Record


class Maker:
    """Makes operations for whichever device it is asked to; it must see every record of the log."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._numbers: dict[str, int] = {}
        self._stamps: dict[str, Stamp] = {}
        self._latest, self._received = (0, 0), 0

    def saw(self, record: Record) -> None:
        """Take note of an operation in the log; one from a clock far ahead is not followed."""
        operation = record.operation
        device, stamp = operation.device, operation.stamp
        self._numbers[device] = max(self._numbers.get(device, 0), operation.number)
        self._stamps[device] = max(self._stamps.get(device, stamp), stamp)
        self._received = max(self._received, record.received_millis)
        if stamp.millis <= record.received_millis + MAX_DRIFT_MS:
            self._latest = max(self._latest, (stamp.millis, stamp.counter))

    def new_id(self) -> str:
        """A fresh UUIDv7."""
        return uuid7(self._clock.now_millis(), self._clock.random_bits())

    def make(
        self,
        device: str,
        act: str,
        target: str | None,
        body: Mapping[str, Any],
        after: Operation | None = None,
        known_as: str = "",
        wall: str = "",
    ) -> Operation:
        """An operation done now, as the next of `device`, or the one behind `after` in the same batch.

        `known_as` gives it an id that was worked out before; `wall` says that the work was done then.
        OperationError if the body does not fit the act. The number is taken only when the operation is seen.
        """
        if problems := body_problems(act, body):
            raise OperationError(problems)
        now, latest = self._clock.now_millis(), Stamp(*self._latest, device)
        last = after.stamp if after else self._stamps.get(device, first(device))
        return Operation(
            id=known_as or self.new_id(),
            device=device,
            number=(after.number if after else self._numbers.get(device, 0)) + 1,
            stamp=tick(last, now) if after else observe(last, latest, max(now, self._received)),
            wall=wall or str(Wall(now, self._clock.offset_min())),
            skew_ms=0,
            act=act,
            target=target,
            body=body,
        )
