"""Times of day as a builder says them: "nine tonight", "half past seven", "noon", "9:30 pm", "21:00".

read_day_time(("nine", "tonight"), 0) -> DayTime(21, 0, day=0). One without morning or evening keeps both
(`either`), and `next_time.py` asks about it: a clock that rings twelve hours late is worse than a question.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from plytally.core.grammar import Words
from plytally.core.numbers import say_cardinal

_NUMBERS: Mapping[Words, int] = {tuple(say_cardinal(n).replace("-", " ").split()): n for n in range(60)} | {
    ("oh", say_cardinal(n)): n for n in range(1, 10)
}
_TYPED = re.compile(r"(?P<hour>\d{1,2})(?::(?P<minute>\d\d))?(?P<half>[ap]\.?m\.?)?", re.ASCII)
_HALF_OF = {"am": "am", "a.m": "am", "pm": "pm", "p.m": "pm", "a.m.": "am", "p.m.": "pm"}
_PAST = {"half": 30, "quarter": 15}

# words behind the hour -> the half of the day ("" for unsaid) and the day (0 today, 1 tomorrow, None unsaid)
_PARTS: Mapping[Words, tuple[str, int | None]] = {
    tuple(words.split()): (half, day)
    for words, half, day in (
        ("a m", "am", None),
        ("am", "am", None),
        ("a.m", "am", None),
        ("p m", "pm", None),
        ("pm", "pm", None),
        ("p.m", "pm", None),
        ("in the morning", "am", None),
        ("in the afternoon", "pm", None),
        ("in the evening", "pm", None),
        ("at night", "night", None),
        ("this morning", "am", 0),
        ("this afternoon", "pm", 0),
        ("this evening", "pm", 0),
        ("tonight", "night", 0),
        ("today", "", 0),
        ("tomorrow morning", "am", 1),
        ("tomorrow afternoon", "pm", 1),
        ("tomorrow evening", "pm", 1),
        ("tomorrow night", "night", 1),
        ("tomorrow", "", 1),
    )
}
_DAYS = {0: " today", 1: " tomorrow", None: ""}
_TEXT = re.compile(r"(\d{1,2}):(\d\d)( am or pm)?( today| tomorrow)?", re.ASCII)


@dataclass(frozen=True)
class DayTime:
    """A time of day: `hour` 0 to 23, or 1 to 12 with `either` half of the day; `day` 0 today, 1 tomorrow."""

    hour: int
    minute: int
    either: bool = False
    day: int | None = None

    def __str__(self) -> str:
        """The text that an entry holds: "21:00 today", "9:00 am or pm"."""
        hour = str(self.hour) if self.either else f"{self.hour:02}"
        return f"{hour}:{self.minute:02}{' am or pm' if self.either else ''}{_DAYS[self.day]}"

    @property
    def hours(self) -> tuple[int, ...]:
        """The hours it can be, 0 to 23."""
        return (self.hour % 12, self.hour % 12 + 12) if self.either else (self.hour,)


def day_time(text: str) -> DayTime | None:
    """The inverse of `str`; None for any other text."""
    found = _TEXT.fullmatch(text)
    if found is None or int(found[1]) > 23 or int(found[2]) > 59:
        return None
    day = {" today": 0, " tomorrow": 1}.get(found[4] or "")
    return DayTime(int(found[1]), int(found[2]), found[3] is not None, day)


def read_day_time(words: Words, at: int) -> tuple[str, int] | None:
    """Read a time of day from word `at` on: its text and the index behind it, None where there is none."""
    bare = _bare(words, at)
    if bare is None:
        return None
    time, end = bare
    if end < len(words) and words[end] in ("o'clock", "oclock"):
        end += 1
    for length in (3, 2, 1):
        part = _PARTS.get(words[end : end + length])
        if part is not None and len(words[end : end + length]) == length:
            with_part = _with_part(time, *part)
            return (str(with_part), end + length) if with_part else None
    return str(time), end


def _bare(words: Words, at: int) -> tuple[DayTime, int] | None:
    """The time without the part of the day."""
    word = words[at] if at < len(words) else ""
    if word in ("noon", "midnight"):
        return DayTime(12 if word == "noon" else 0, 0), at + 1
    if word in _PAST:
        return _past(words, at)
    return _typed(word, at) or _spoken(words, at)


def _past(words: Words, at: int) -> tuple[DayTime, int] | None:
    """Read "half past nine", "quarter to ten"."""
    minutes, way = _PAST[words[at]], words[at + 1] if at + 1 < len(words) else ""
    hour = _count(words, at + 2, 12)
    if hour is None or hour[0] == 0 or way not in ("past", "to") or (way, minutes) == ("to", 30):
        return None
    if way == "past":
        return DayTime(hour[0], minutes, either=True), hour[1]
    return DayTime((hour[0] + 10) % 12 + 1, 60 - minutes, either=True), hour[1]


def _typed(word: str, at: int) -> tuple[DayTime, int] | None:
    found = _TYPED.fullmatch(word)
    if found is None or (found["minute"] is None and found["half"] is None):
        return None
    hour, minute = int(found["hour"]), int(found["minute"] or 0)
    if hour > 23 or minute > 59:
        return None
    leading = found["hour"].startswith("0")  # "09:30" is written by the 24 hours of the day
    time = DayTime(hour, minute, either=1 <= hour <= 12 and not leading)
    if found["half"] is None:
        return time, at + 1
    halved = _with_part(time, _HALF_OF[found["half"]], None)
    return (halved, at + 1) if halved else None


def _spoken(words: Words, at: int) -> tuple[DayTime, int] | None:
    hour = _count(words, at, 23)
    if hour is None:
        return None
    value, end = hour
    if end < len(words) and words[end] == "hundred":
        return DayTime(value, 0), end + 1
    minute = _count(words, end, 59)
    if minute is not None and (minute[0] >= 10 or words[end] in ("oh", "zero")):
        return DayTime(value, minute[0], either=1 <= value <= 12), minute[1]
    if minute is not None:
        return None  # "twenty five" is no time of day
    return DayTime(value, 0, either=1 <= value <= 12), end


def _count(words: Words, at: int, most: int) -> tuple[int, int] | None:
    for length in (2, 1):
        spoken = words[at : at + length]
        if len(spoken) == length and _NUMBERS.get(spoken, most + 1) <= most:
            return _NUMBERS[spoken], at + length
    word = words[at] if at < len(words) else ""
    return (int(word), at + 1) if word.isdecimal() and len(word) <= 2 and int(word) <= most else None


def _with_part(time: DayTime, half: str, day: int | None) -> DayTime | None:
    """The time with the part of the day that was said; None where they contradict each other."""
    if not time.either:
        fits = not half or (half == "am") == (time.hour < 12) or half == "night"
        return replace(time, day=day) if fits else None
    if not half:
        return replace(time, day=day)
    early, late = time.hours
    if half != "night":
        return DayTime(early if half == "am" else late, time.minute, day=day)
    if time.hour == 12 or time.hour <= 4:  # behind midnight: the night that begins that evening
        return None if day == 1 else DayTime(early, time.minute)
    return DayTime(late, time.minute, day=day)
