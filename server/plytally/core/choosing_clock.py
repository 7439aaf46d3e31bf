"""A clock started by large buttons: which one, how long or until when, and for which part.

A time is chosen as "90 min" or as "21:30 today"; what is said of it leaves no doubt: "for 90 minutes",
"at 9:30 this evening".
"""

from __future__ import annotations

from collections.abc import Mapping

from plytally.core.clock_kinds import CLOCKS, OWN, kind_of
from plytally.core.day_times import DayTime, day_time

CLOCK, WHEN = "clock", "when"
CHOICES = (*CLOCKS, OWN.name)
TITLES: Mapping[str, str] = {name: kind_of(name).title or name for name in CHOICES}
STEPS = (1, 5, 15, 60, 6 * 60, 24 * 60)
"""By how many minutes one touch makes a time longer."""

MOST_MIN = 30 * 24 * 60


def said(clock: str, when: str, where: str) -> str:
    """The choices as they would be spoken; "" where a clock is left without an end that it needs."""
    name = "" if clock == OWN.name else kind_of(clock).said_as[0]
    place = f" on the {where}" if where else ""
    if not when:
        return f"start the {name} timer{place}" if kind_of(clock).knows_how_long else ""
    until = day_time(when)
    if until is not None:
        return f"{name or 'call me'} at {_until(until)}{place}"
    lasts = _lasts(when)
    if not lasts:
        return ""
    return f"start {f'the {name}' if name else 'a'} timer for {lasts}{place}"


def _lasts(when: str) -> str:
    """A span such as "90 min" in words that are read back exactly; "" for what is none."""
    number, _, unit = when.partition(" ")
    if unit != "min" or not number.isdecimal() or not 0 < int(number) <= MOST_MIN:
        return ""
    minutes = int(number)
    hours, rest = divmod(minutes, 60)
    counted, what = (minutes, "minute") if rest else (hours, "hour")
    return f"{counted} {what}" if counted == 1 else f"{counted} {what}s"


def _until(time: DayTime) -> str:
    """A time of day with its half and its day: "9:30 this evening", "12:05 tomorrow morning"."""
    part = "morning" if time.hour < 12 else "afternoon" if time.hour < 18 else "evening"
    day = "tomorrow" if time.day == 1 else "this"
    return f"{(time.hour + 11) % 12 + 1}:{time.minute:02} {day} {part}"
