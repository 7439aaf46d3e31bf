"""Questions to the index: words anywhere in an entry, and filters that all must hold.

Words are joined by "and"; the last one may be begun only ("elev"). A place is found in every entry that
ever touched it: said so, had it before a correction, leaves the side open, or names it in its words.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from plytally.core.entry import Place
from plytally.core.names import as_spoken
from plytally.core.wall import MAX_OFFSET_MIN, WallError, wall_millis
from plytally.find.rows import NAMED, ROW_BITS

MOST_SHOWN, MOST_COUNTED, FEW = 200, 1000, 3000
_WORD = re.compile(r"[^\W_]+(?:[.:'/][^\W_]+)*")


@dataclass(frozen=True)
class Question:
    """What to find. `names` are (field, value) pairs; `place` with `part_ways`, how its part is said.

    `parts` are those of which the place's part is an assembly.

    `stands` are of open, unseen, accepted, withdrawn; days are "2026-03-21", both ends included.
    """

    words: str = ""
    names: Sequence[tuple[str, str]] = ()
    place: Place | None = None
    part_ways: Sequence[str] = ()
    parts: Sequence[str] = ()
    kind: str = ""
    author: str = ""
    stands: Sequence[str] = ()
    first_day: str = ""
    last_day: str = ""
    photos: bool = False
    limit: int = 50
    before: int | None = None


@dataclass(frozen=True)
class Answer:
    """Rows, the latest first; how many there are up to MOST_COUNTED; where the next page begins."""

    rows: tuple[dict[str, Any], ...]
    count: int
    more: int | None = None


@dataclass
class _Where:
    """Conditions joined by "and", and their values."""

    parts: list[str] = field(default_factory=list)
    values: list[Any] = field(default_factory=list)

    def add(self, sql: str, *values: object) -> None:
        self.parts.append(sql)
        self.values += values

    @property
    def sql(self) -> str:
        return " AND ".join(self.parts) or "1"


def ask(db: sqlite3.Connection, question: Question) -> Answer:
    """What the index has for a question."""
    where = _where(db, question)
    limit = max(1, min(question.limit, MOST_SHOWN))
    counted = f"SELECT count(*) FROM (SELECT 1 FROM {_tables(question)} WHERE {where.sql} LIMIT ?)"  # noqa: S608
    (count,) = db.execute(counted, (*where.values, MOST_COUNTED + 1)).fetchone()
    if question.before is not None:
        where.add(f"{_number(question)} < ?", question.before)
    rows = db.execute(
        f"SELECT e.number, e.id, e.day, e.wall, e.kind, e.author, e.stands, e.photos, e.line "  # noqa: S608
        f"FROM {_tables(question)} WHERE {where.sql} ORDER BY {_number(question)} DESC LIMIT ?",
        (*where.values, limit + 1),
    ).fetchall()
    names = ("number", "id", "day", "wall", "kind", "author", "stands", "photos", "line")
    told = tuple(dict(zip(names, row, strict=True)) for row in rows[:limit])
    return Answer(told, count, told[-1]["number"] if len(rows) > limit else None)


def _leads(question: Question) -> bool:
    """Whether the words lead the way: alone they come in the order of time; beside filters they only sift."""
    alone = Question(question.words, limit=question.limit, before=question.before)
    return bool(_match(question.words)) and question == alone


def _tables(question: Question) -> str:
    return "words w CROSS JOIN entries e ON e.number = w.rowid" if _leads(question) else "entries e"


def _number(question: Question) -> str:
    return "w.rowid" if _leads(question) else "e.number"


def _where(db: sqlite3.Connection, question: Question) -> _Where:
    where = _Where()
    if match := _match(question.words):
        sift = "e.number IN (SELECT rowid FROM words WHERE words MATCH ?)"
        where.add("w.words MATCH ?" if _leads(question) else sift, match)
    for name, value in question.names:
        if name in NAMED:
            _has_name(db, where, name, value)
    if question.place is not None and question.place.part:
        _at(db, where, question.place, question.part_ways, question.parts)
    _plainly(where, question)
    _on_days(where, question)
    return where


def _plainly(where: _Where, question: Question) -> None:
    """The filters that one column answers."""
    for condition, told in (("e.kind = ?", question.kind), ("e.author = ?", question.author)):
        if told:
            where.add(condition, told)
    if question.stands:
        where.add(f"e.stands IN ({', '.join('?' * len(question.stands))})", *question.stands)
    if question.photos:
        where.add("e.photos > 0")


def _on_days(where: _Where, question: Question) -> None:
    """Days by the devices' own clocks; the number, which is by UTC, narrows what is looked at."""
    if question.first_day:
        where.add("e.day >= ?", question.first_day)
        where.add("e.number >= ?", _number_at(f"{question.first_day}T00:00:00Z", -MAX_OFFSET_MIN, 0))
    if question.last_day:
        where.add("e.day <= ?", question.last_day)
        where.add("e.number <= ?", _number_at(f"{question.last_day}T23:59:59Z", MAX_OFFSET_MIN + 1, _LAST))


_LAST = 2**63 - 1


def _number_at(when: str, minutes: int, otherwise: int) -> int:
    """The number of an entry so many minutes from a time; `otherwise` for a day that the calendar lacks."""
    try:
        millis = wall_millis(when) + minutes * 60_000
    except WallError:
        return otherwise
    return min(max(0, millis) << ROW_BITS, _LAST)


def _has_name(db: sqlite3.Connection, where: _Where, name: str, value: str) -> None:
    values = (name, value.casefold())
    few = _few(db, "SELECT count(*) FROM (SELECT 1 FROM names WHERE field = ? AND value = ? LIMIT ?)", values)
    if few:
        where.add("e.number IN (SELECT number FROM names WHERE field = ? AND value = ?)", *values)
    else:
        where.add("EXISTS (SELECT 1 FROM names WHERE field = ? AND value = ? AND number = e.number)", *values)


def _few(db: sqlite3.Connection, counting: str, values: Sequence[Any]) -> bool:
    """Whether so few rows fit that they are best looked up one by one, not met on the way down."""
    (count,) = db.execute(counting, (*values, FEW)).fetchone()
    return bool(count < FEW)


def _at(
    db: sqlite3.Connection, where: _Where, place: Place, part_ways: Sequence[str], parts: Sequence[str]
) -> None:
    """Every entry that ever touched this place, or a part of it."""
    part, those = place.part.casefold(), [each.casefold() for each in (place.part, *parts)]
    sides = (place.side, "") if place.side else ("left", "right", "")
    told = " OR ".join(_phrases(place.side, [part, *part_ways]))
    marks = ", ".join("?" * len(sides))
    touched = f"FROM touched WHERE part IN ({', '.join('?' * len(those))}) AND side IN ({marks})"
    if _few(db, f"SELECT count(*) FROM (SELECT 1 {touched} LIMIT ?)", (*those, *sides)):  # noqa: S608
        way = f"e.number IN (SELECT number {touched} UNION {_SAYS})"
    else:
        way = f"(EXISTS (SELECT 1 {touched} AND number = e.number) OR e.number IN ({_SAYS}))"
    where.add(way, *those, *sides, told)
    for name in ("face", "feature", "station"):
        if value := getattr(place, name):
            _has_name(db, where, name, value)


_SAYS = "SELECT rowid FROM loose WHERE loose MATCH ?"


def _phrases(side: str, ways: Sequence[str]) -> Iterator[str]:
    """How a place may be named in running words: "left elevator spar", "elevator spar left"."""
    for way in dict.fromkeys(word for each in ways for word in (each, as_spoken(each))):
        bare = " ".join(_WORD.findall(way))
        if not bare:
            continue
        if side:
            yield f'"{side} {bare}"'
            yield f'"{bare} {side}"'
        else:
            yield f'"{bare}"'


def _match(words: str) -> str:
    """The words as an expression of FTS5, each quoted so that none is an operator; "" for none."""
    found = _WORD.findall(words)
    if not found:
        return ""
    return " ".join([*(f'"{word}"' for word in found[:-1]), f'"{found[-1]}"*'])
