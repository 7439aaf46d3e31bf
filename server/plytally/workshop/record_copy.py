"""What a record is made from, out of a data folder that a server may have open: log, print, stock."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from plytally.core.entry import Place
from plytally.core.likes import Likes
from plytally.core.schedule import Schedule
from plytally.core.vocabulary import Vocabulary, from_schedule
from plytally.core.wall import Wall
from plytally.record.content import Content, Scope
from plytally.record.reading import Reading
from plytally.resting import collector_resting
from plytally.schedule_file import read_schedule_file
from plytally.workshop.places import place_named
from plytally.workshop.print_shelf import NO_PRINT
from plytally.workshop.stock_shelf import TABLE, stock_in
from plytally.workshop.taught import TABLE as WORDS
from plytally.workshop.taught import standing_words


def schedule_of(reading: Reading) -> Schedule:
    """The layup schedule that counts."""
    file = reading.print_file()
    return read_schedule_file(file) if file else NO_PRINT


def scope_of(reading: Reading, parts: Sequence[str], first: str = "", last: str = "") -> Scope:
    """The scope that a builder named; UnknownPlace names near ones."""
    schedule = schedule_of(reading)
    vocabulary: Vocabulary = from_schedule(schedule, words_of(reading, schedule))
    places = tuple(place_named(text, vocabulary, schedule) for text in parts)
    whole = (each for place in places if place.part for each in (place, *_parts_of(schedule, place)))
    return Scope(tuple(whole), first, last)


def _parts_of(schedule: Schedule, place: Place) -> Iterator[Place]:
    """The parts of an assembly, with the sides that were asked for."""
    for name in schedule.assemblies.get(place.part, ()):
        part = schedule.part(name)
        sides = part.sides if part else ()
        if not place.side:
            yield Place(name)
        elif place.side in sides:
            yield Place(name, place.side)


def words_of(reading: Reading, schedule: Schedule) -> dict[str, Any]:
    """The builder's own words that stand, by list."""
    return standing_words(reading.table(WORDS), reading.state, schedule)


def likes_of(reading: Reading) -> Likes:
    """How days and amounts are to be written, by the desk's settings."""
    return Likes.of({row["name"]: row["value"] for row in reading.table("desk_settings")})


def content_of(reading: Reading, scope: Scope, now: Wall) -> Content:
    """Everything that the record of this scope holds."""
    print_file = reading.print_file()
    with collector_resting():
        return Content.of(
            reading.state,
            schedule_of(reading),
            reading.head,
            str(now),
            scope,
            stock_in(reading.table(TABLE)),
            likes_of(reading),
            print_file.stem if print_file else "",
        )
