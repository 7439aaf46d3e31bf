"""Clocks as short lines, to be shown, spoken, or put on a lock screen; and as plain JSON for a screen.

"pot life, right elevator spar: 9 minutes left, until 13:52" · "vacuum: due 3 minutes ago"
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from plytally.core.clocks import LATE_MS, Running
from plytally.core.telling import ago_told, day_told, place_told
from plytally.core.wall import DAY_MS, Wall

MINUTE_MS = 60_000
NONE_RUN = "no clock is running."
PLAIN_CALL = "A plytally clock is due"


def span_told(millis: int) -> str:
    """A stretch of time in the units that matter: "40 seconds", "9 minutes", "2 h 05", "3 days".

    >>> [span_told(ms) for ms in (40_000, 540_000, 7_500_000, 259_200_000)]
    ['40 seconds', '9 minutes', '2 h 05', '3 days']
    """
    if millis < 90_000:
        seconds = max(0, round(millis / 1000))
        return "1 second" if seconds == 1 else f"{seconds} seconds"
    minutes = round(millis / MINUTE_MS)
    if minutes < 90:
        return f"{minutes} minutes"
    if millis < 2 * DAY_MS:
        return f"{minutes // 60} h {minutes % 60:02}"
    return f"{round(millis / DAY_MS)} days"


def wall_told(millis: int, now: int, offset_min: int) -> str:
    """A time as the wall shows it, with its day where that is another: "13:52", "07:00 on 26 November"."""
    text, today = str(Wall(millis, offset_min)), str(Wall(now, offset_min))
    if text[:10] == today[:10]:
        return text[11:16]
    return f"{text[11:16]} on {_day(text)}"


def due_told(clock: Running, now: int) -> str:
    """How long is left, or how late it is."""
    if clock.due is None:
        return f"running for {span_told(now - clock.since)}, until when was not said"
    if clock.due <= now:
        return f"due {late_told(now - clock.due)}"
    return f"{span_told(clock.due - now)} left, until {wall_told(clock.due, now, clock.offset_min)}"


def late_told(millis: int) -> str:
    """How late a call is: "now", "12 minutes ago"."""
    return "now" if millis < LATE_MS else f"{span_told(millis)} ago"


def name_told(clock: Running) -> str:
    """What a clock is for, and where."""
    return ", ".join(word for word in (clock.label, place_told(clock.place)) if word)


def clock_told(clock: Running, now: int) -> str:
    """One running clock on a line."""
    return f"{name_told(clock)}: {due_told(clock, now)}"


def call_told(clock: Running) -> str:
    """What to call out when it is due."""
    what = f"{clock.kind.call}: {clock.text}" if clock.text else clock.kind.call
    place = place_told(clock.place)
    return f"{what} ({place})" if place else what


def briefly(line: str) -> str:
    """A line without what stands in brackets, to be said aloud: nobody listens to sources."""
    return line.partition(" (")[0]


def running_told(clocks: Sequence[Running], now: int, name: str = "") -> tuple[str, ...]:
    """The answer to "what clocks are running", or to the same about one kind."""
    asked = [clock for clock in clocks if not name or clock.kind.name == name]
    if not asked:
        return (f"no {name} clock is running." if name else NONE_RUN,)
    return tuple(clock_told(clock, now) for clock in asked)


def cup_told(since: str, now: str, line: str, clock: Running | None, now_millis: int) -> str:
    """How old a cup is, and how its pot life stands."""
    age = f"{ago_told(since, now)} since {line}"
    if clock is None or clock.due is None:
        return f"{age}."
    if clock.due <= now_millis:
        return f"{age}; its pot life was over {late_told(now_millis - clock.due)}: look at the cup."
    return f"{age}; of its pot life {due_told(clock, now_millis)}."


def clock_json(clock: Running, now: int) -> dict[str, Any]:
    """One clock as plain JSON: times in Unix milliseconds, lines ready to be shown."""
    return {
        "id": clock.id,
        "call": clock.call,
        "kind": clock.kind.name,
        "label": clock.label,
        "place": place_told(clock.place),
        "since": clock.since,
        "due": clock.due,
        "line": clock_told(clock, now),
        "says": call_told(clock),
        "why": clock.why,
        "caution": clock.kind.caution,
        "pressing": clock.kind.pressing,
        "lapse": clock.kind.lapse_ms,
        "called": [[each.device, each.call] for each in clock.called],
        "over": {name: list(heads) for name, heads in clock.over.items()},
    }


def _day(text: str) -> str:
    return day_told(text).rpartition(" ")[0]
