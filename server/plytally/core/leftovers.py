"""What the words left over put in doubt: another number, side, face or part than the one that was taken.

"laid two plies on the fore face and three on the aft face" must not count two anywhere before somebody has
looked: words left over alone (`unused`) let plies count all the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from plytally.core.doubting import KIND
from plytally.core.entry import KINDS, Doubt, FieldValue
from plytally.core.grammar import Words
from plytally.core.numberwords import is_number_word
from plytally.core.quantities import Quantity, format_quantity
from plytally.core.small_words import FILLERS, JOINERS
from plytally.core.vocabulary import SIDES, Vocabulary

NUMBERED = (
    "plies",
    "mass",
    "gauge",
    "measure",
    "holes",
    "grit",
    "duration",
    "temperature",
    "ratio",
    "station",
)
"""The fields that another number may have been meant for, the first that the entry has."""

OTHER_DAYS = frozenset(
    (
        *(
            "yesterday",
            "ago",
            "earlier",
            "previously",
            "monday",
            "tuesday",
            "wednesday",
            "thursday",
            "friday",
        ),
        *("saturday", "sunday", "week", "month"),
    )
)
LAYING = frozenset(
    (
        *(
            "laid",
            "lay",
            "laying",
            "put",
            "added",
            "applied",
            "did",
            "rolled",
            "squeegeed",
            "stuck",
            "glassed",
        ),
        *(
            "covered",
            "got",
            "has",
            "have",
            "down",
            "wet",
            "wetted",
            "finished",
            "done",
            "went",
            "that",
            "that's",
        ),
    )
)
"""Words that say that plies were laid; without one of them they are only named."""


def doubts_of_leftover(
    kind: str, fields: Mapping[str, FieldValue], bare: Sequence[str], unused: Words, vocabulary: Vocabulary
) -> Iterator[Doubt]:
    """A doubt for each weighty thing among the words left over; `bare` are those that made no field."""
    if not unused or "text" in KINDS[kind].fields:
        return
    told = " ".join(unused)
    numbers = [word for word in unused if word == "half" or is_number_word(word) or word.isdecimal()]
    field = next((name for name in NUMBERED if name in fields), "")
    if numbers and field:
        yield Doubt(field, _shown(fields[field]), " ".join(numbers), f"another number was said too: {told!r}")
    yield from _names(fields, unused, told, vocabulary)
    if OTHER_DAYS.intersection(unused):
        yield Doubt(KIND, kind, "", f"it was told of another time, and is noted as of now: {told!r}")
    elif kind == "laid" and not LAYING.intersection(bare):
        yield Doubt(KIND, kind, "", f"it was not said that they were laid, and {told!r} was left over")


def _names(
    fields: Mapping[str, FieldValue], unused: Words, told: str, vocabulary: Vocabulary
) -> Iterator[Doubt]:
    for field, names in _telling(vocabulary):
        others = [word for word in unused if word in names]
        if others and field in fields:
            why = f"another {field} was named too: {told!r}; what was done there is a note of its own"
            yield Doubt(field, str(fields[field]), " ".join(others), why)


@lru_cache(maxsize=4)
def _telling(vocabulary: Vocabulary) -> tuple[tuple[str, frozenset[str]], ...]:
    faces = [way for part in vocabulary.parts for face in part.faces for way in face.spoken]
    parts = [way for part in (*vocabulary.parts, *vocabulary.assemblies) for way in part.part.spoken]
    cloths = [way for name in vocabulary.materials for way in name.spoken]
    return (
        ("side", frozenset(SIDES)),
        ("face", _words(faces)),
        ("part", _words(parts)),
        ("material", _words(cloths)),
    )


def _words(ways: Sequence[str]) -> frozenset[str]:
    words = {word for way in ways for word in way.split()}
    return frozenset(word for word in words - FILLERS - JOINERS if not is_number_word(word))


def _shown(value: FieldValue) -> str:
    return format_quantity(value) if isinstance(value, Quantity) else str(value)
