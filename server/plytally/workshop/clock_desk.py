"""The desk's clocks: what runs and ran, and who was called; being done with one, or putting it off."""

from __future__ import annotations

from typing import Any

from plytally.core.clock_acts import SNOOZE_MS, done_act, put_off_act
from plytally.core.clock_history import Past, past
from plytally.core.clock_lines import clock_json, span_told
from plytally.core.clocks import LATE_MS, Running
from plytally.core.desk.asker import Act, Asker
from plytally.core.telling import place_told
from plytally.core.wall import Wall, wall_millis
from plytally.workshop.bench import Bench

Json = dict[str, Any]
DONE, LATER = "done", "later"
MOST_PAST = 40


class ClockGone(ValueError):
    """The clock runs no more, or was set to another time since the page looked; nothing was done."""


class ClockDesk:
    """What the desk's page of clocks asks and does. Threads may share it."""

    def __init__(self, bench: Bench) -> None:
        self._bench, self._log = bench, bench.log

    def told(self, before: int | None = None) -> Json:
        """The clocks that run, the first due first, and those that ended, the latest first.

        `before`: of those that ended only what was started before, in Unix milliseconds.
        """
        now = self._bench.now()
        with self._bench.mutex:
            book = self._bench.clocks
            running = book.running(now.millis)
            ended = past(book.entries(), book.times, now.millis, MOST_PAST + 1, before)
        return {
            "now": now.millis,
            "running": [clock_json(clock, now.millis) | _calls(clock) for clock in running],
            "past": [_past(each) for each in ended[:MOST_PAST]],
            "more": len(ended) > MOST_PAST,
        }

    def do(self, asker: Asker, act: str, entry: str, call: str, minutes: int) -> tuple[str, ...]:
        """Be done with a clock, or put it off; durable. The same request again does nothing more.

        `call` is the setting that the page shows. ClockGone where that runs no more. The operations made.
        """
        with self._bench.mutex:
            trace = asker.id(entry, act)
            if trace in self._log.state:
                return ()
            now = self._bench.now()
            clock = next((c for c in self._bench.clocks.running(now.millis) if c.id == entry), None)
            if clock is None or clock.call != call:
                raise ClockGone("this clock was ended or put off since the page looked; see how it is now")
            planned = self._planned(clock, act, minutes, now)
            body = planned["body"] | {"author": asker.author}
            return self._log.perform([Act(trace, planned["act"], planned["target"], body)])

    def _planned(self, clock: Running, act: str, minutes: int, now: Wall) -> Json:
        why = "at the desk"
        if act == DONE:
            return done_act(clock, why)
        return put_off_act(clock, minutes * 60_000 or SNOOZE_MS, why, now)[0]


def _calls(clock: Running) -> Json:
    """Who was called for its present time and those before, when, and how late."""
    return {
        "calls": [{"device": each.device, "wall": each.wall, "why": each.why} for each in clock.called],
        "offset_min": clock.offset_min,
    }


def _past(each: Past) -> Json:
    clock = each.clock
    late = wall_millis(each.wall) - (clock.due or clock.since)
    return {
        "id": clock.id,
        "label": clock.label,
        "place": place_told(clock.place),
        "since": str(Wall(clock.since, clock.offset_min)),
        "started": clock.since,
        "due": None if clock.due is None else str(Wall(clock.due, clock.offset_min)),
        "how": each.how,
        "wall": each.wall,
        "device": each.device,
        "line": each.line,
        "late": span_told(late) if clock.due is not None and late >= LATE_MS else "",
    } | _calls(clock)
