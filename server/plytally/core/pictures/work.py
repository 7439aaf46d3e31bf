"""Hours by part, category and week, and a calendar of the days worked: a row for each month."""

from __future__ import annotations

from calendar import monthrange
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping

from plytally.core.history import Logged
from plytally.core.hours import Hours, Session, time_told
from plytally.core.ledger import WORK
from plytally.core.likes import USUAL, Likes, month_told, weekday
from plytally.core.pictures.bars import Row, bars
from plytally.core.pictures.drawing import Box, Drawing, Figure, Shape, Table, Words

NO_HOURS = 'no hours yet: say "started work on …" when you begin and "stopped work" when you leave'
NO_DAYS = "no work is noted yet"
MOST_WEEKS, MOST_MONTHS = 26, 36
CELL, MONTHS_AT = 19.0, 112.0
COUNTED = WORK | {"started", "stopped", "measured", "weighed"}


def hours_figures(worked: Hours, likes: Likes = USUAL) -> tuple[Figure, ...]:
    """Hours by part, by category and by week; what could not be counted stands with the first."""
    views: tuple[tuple[str, str, Callable[[Session], str]], ...] = (
        ("hours by part", "part", lambda session: session.part),
        ("hours by category", "category", lambda session: session.category),
        ("hours by week", "week", lambda session: session.week),
    )
    figures = [_by(worked, *view) for view in views]
    remarks = tuple(map(likes.days_in, worked.remarks))
    first = remarks if worked.sessions else (NO_HOURS, *remarks)
    return (Figure(figures[0].title, figures[0].drawing, figures[0].table, first), *figures[1:])


def _by(worked: Hours, title: str, name: str, key: Callable[[Session], str]) -> Figure:
    sums, counts = worked.by(key), Counter(map(key, worked.sessions))
    weekly = name == "week"
    names = sorted(sums) if weekly else sorted(sums, key=lambda each: (-sums[each], each))
    table = Table(
        title,
        (name, "hours", "minutes", "sessions"),
        tuple((each, time_told(sums[each]), str(sums[each]), str(counts[each])) for each in names),
    )
    drawn = names[-MOST_WEEKS:] if weekly else names[:MOST_WEEKS]
    rows = [Row(each, (("used", sums[each]),), time_told(sums[each])) for each in drawn]
    some = (
        (f"the picture shows {len(drawn)} of {len(names)}; the table has all",)
        if len(drawn) < len(names)
        else ()
    )
    return Figure(title, bars(title, rows) if rows else None, table, some)


def days_figure(entries: Iterable[Logged], worked: Hours, likes: Likes = USUAL) -> Figure:
    """The days on which work was noted, with how many entries; withdrawn ones do not count."""
    days: dict[str, list[str]] = {}
    for logged in entries:
        if logged.withdrawn is None and logged.entry.kind in COUNTED:
            days.setdefault(logged.wall[:10], []).append(logged.wall[11:16])
    minutes, title = worked.by(lambda session: session.day), "days worked"
    rows = tuple(
        (
            likes.day(day),
            weekday(day),
            str(len(at)),
            likes.time(min(at)),
            likes.time(max(at)),
            time_told(minutes[day]) if day in minutes else "",
        )
        for day, at in sorted(days.items())
    )
    table = Table(title, ("day", "weekday", "entries", "first", "last", "hours"), rows)
    if not rows:
        return Figure(title, None, table, (NO_DAYS,))
    months = list(_months(min(days)[:7], max(days)[:7]))
    some = f"the picture shows the last {MOST_MONTHS} of {len(months)} months; the table has all"
    many = "1 day" if len(days) == 1 else f"{len(days)} days"
    count = f"{many} from {likes.day(min(days))} to {likes.day(max(days))}"
    remarks = (count, some) if len(months) > MOST_MONTHS else (count,)
    drawing = _calendar(months[-MOST_MONTHS:], {day: len(at) for day, at in days.items()}, count)
    return Figure(title, drawing, table, remarks)


def _calendar(months: list[str], days: Mapping[str, int], told: str) -> Drawing:
    shapes: list[Shape] = [
        Words(MONTHS_AT + CELL * (day - 0.5), 13, str(day), "middle", 9) for day in range(1, 32)
    ]
    for number, month in enumerate(months):
        y = 20 + number * (CELL + 3)
        shapes.append(Words(MONTHS_AT - 10, y + 14, month_told(month), "end", 11))
        for day in range(1, monthrange(int(month[:4]), int(month[5:]))[1] + 1):
            shapes += _day(MONTHS_AT + CELL * (day - 1), y, days.get(f"{month}-{day:02}", 0))
    return Drawing(f"days worked: {told}", 720, 26 + len(months) * (CELL + 3), tuple(shapes))


def _day(x: float, y: float, entries: int) -> Iterator[Shape]:
    if not entries:
        yield Box(x + 6.5, y + 6.5, CELL - 14, CELL - 14, "frame")
        return
    yield Box(x + 1, y + 1, CELL - 3, CELL - 3, "worked")
    yield Words(x + CELL / 2 - 0.5, y + 13.5, str(min(entries, 99)), "middle", 10, bold=True)


def _months(first: str, last: str) -> Iterator[str]:
    year, month = int(first[:4]), int(first[5:])
    while (name := f"{year:04}-{month:02}") <= last:
        yield name
        year, month = (year, month + 1) if month < 12 else (year + 1, 1)
