"""The slots of a loose reading: those of `slots.py`, kept to what is sure wherever it stands.

An amount needs its unit here, because nothing before it says what it is; plies need their cloth beside them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

from plytally.core.day_times import read_day_time
from plytally.core.entry import FieldValue
from plytally.core.grammar import Either, Maybe, Means, Node, Reads, Rule, Say, Seq, Words
from plytally.core.jsgf import phrase
from plytally.core.measures import read_quantity
from plytally.core.names import Name
from plytally.core.numbers import read_number
from plytally.core.place_slots import face_of, one_of, with_other_words
from plytally.core.quantities import Dimension, Quantity
from plytally.core.slots import Read, slots
from plytally.core.vocabulary import PEEL_PLY, SIDES, PartWords, Vocabulary

NAMED_BY: Mapping[str, tuple[str, ...]] = {
    "part": ("place",),
    "plies": ("layers_of", "cloth_layers", "layers_alone"),
    "material": ("layers_of", "cloth_layers", "material"),
    "orientation": ("orientation",),
    "resin": ("sure_mass_of", "resin"),
    "mass": ("sure_mass_of", "sure_mass"),
    "hardener": ("hardener",),
    "ratio": ("ratio",),
    "batch": ("batch_named",),
    "at": ("at_time",),
    "gauge": ("sure_gauge",),
    "temperature": ("sure_temperature",),
    "humidity": ("sure_humidity",),
    "duration": ("sure_duration",),
    "began": ("span",),
    "day": ("day",),
    "quality": ("quality", "as_thick"),
    "measure": ("sure_measure",),
    "grit": ("grit_named",),
    "holes": ("holes_named",),
    "drill": ("drill_named",),
    "item": ("item",),
    "by": ("by_whom", "whom"),
    "category": ("category",),
    "action": ("action",),
    "have_laid": ("layers_of", "material"),
    "clocks": ("timer",),
}
"""By field, the slots in which it is looked for; by question, the fields that it takes beside a place."""

_BUILT: tuple[tuple[str, str], ...] = (
    ("ply_word", "ply | plies | layer | layers"),
    (
        "layers_of",
        "[another] <plies> [more | further] [<ply_word>] [of] <material> [<ply_word>] [<orientation>]",
    ),
    ("cloth_layers", "<material> [<orientation>] <plies> [more] <ply_word> [<orientation>]"),
    ("layers_alone", "[another] <plies> [more | further] <ply_word>"),
    ("sure_mass_of", "<sure_mass> [of] <resin>"),
    ("batch_named", "(batch | lot) <batch>"),
    ("grit_named", "[with | to | at | down to] <grit> [paper]"),
    ("drill_named", "[with a] <drill> [drill]"),
    ("holes_named", "<holes> [<drill>] (hole | holes)"),
    ("at_time", "at <day_time>"),
    ("span", "from <began> (to | until | till) <ended>"),
)


@lru_cache(maxsize=4)
def loose_slots(vocabulary: Vocabulary) -> Mapping[str, Node]:
    """Every slot by name, for one builder; "face of PART" and the like for each part."""
    named: dict[str, Node] = dict(slots(vocabulary))
    for name, field, dimension in _SURE:
        named[name] = Rule(f"loose {name}", Reads(field, Say(field), _sure(dimension)))
    named["hardener"] = Rule("loose hardener", Reads("hardener", Say("hardener"), _hardener))
    named["told_gauge"] = Rule("loose told_gauge", Reads("gauge", Say("gauge"), _told_gauge))
    for name in ("began", "ended"):
        named[name] = Reads(name, Say(name), read_day_time)
    named["day"] = Means(Either((Say("yesterday"), Seq((Say("last"), Say("night"))))), "day", "yesterday")
    named["thickness_meant"] = Means(Maybe(Say("up")), "quality", "thickness")
    for name, text in _BUILT:
        named[name] = Rule(f"loose {name}", phrase(text, named))
    people = tuple(Name(each.name, tuple(_bare(each.spoken))) for each in vocabulary.people)
    named["whom"] = one_of("by", (each for each in people if each.said_as))
    named["by_whom"] = Seq((Say("by"), named["by"]))
    peel = tuple(each for each in vocabulary.materials if each.name.casefold() == PEEL_PLY)
    if peel:
        named["peel_ply"] = one_of("material", peel)
    for words in (*vocabulary.parts, *vocabulary.assemblies):
        named |= dict(_of_part(words))
    return named


_SURE = (
    ("sure_mass", "mass", Dimension.MASS),
    ("sure_gauge", "gauge", Dimension.PRESSURE),
    ("sure_temperature", "temperature", Dimension.TEMPERATURE),
    ("sure_humidity", "humidity", Dimension.FRACTION),
    ("sure_duration", "duration", Dimension.TIME),
    ("sure_measure", "measure", Dimension.LENGTH),
)


def _sure(dimension: Dimension) -> Read:
    def read(words: Words, at: int) -> tuple[FieldValue, int] | None:
        if words[at : at + 1] == ("hundred",) and words[at - 1 : at] != ("a",):
            found = read((*words[:at], "a", *words[at:]), at)
            return None if found is None else (found[0], found[1] - 1)
        found = read_quantity(words, at, dimension)
        bare = read_number(words, at)
        return None if found is None or (bare is not None and bare[1] >= found[1]) else found

    return read


_OF_VACUUM = frozenset(("vacuum", "vac", "mercury", "inhg", "mbar", "millibar", "millibars"))


def _told_gauge(words: Words, at: int) -> tuple[FieldValue, int] | None:
    """Read a gauge that says itself that it is one: "twenty two inches of vacuum"."""
    found = _sure(Dimension.PRESSURE)(words, at)
    return found if found and _OF_VACUUM.intersection(words[at : found[1] + 2]) else None


def _hardener(words: Words, at: int) -> tuple[FieldValue, int] | None:
    """Read "70 grams [of] hardener"; without a unit it has that of the resin before it."""
    whole = read_quantity(words, at, Dimension.MASS)
    number = read_number(words, at)
    if whole is not None and (number is None or whole[1] > number[1]):
        mass, end = whole
    elif number is not None and (before := _unit_before(words, at)):
        mass, end = Quantity(number[0], before.unit), number[1]
    else:
        return None
    end += words[end : end + 1] == ("of",)
    return (mass, end + 1) if words[end : end + 1] == ("hardener",) else None


def _unit_before(words: Words, at: int) -> Quantity | None:
    masses = (read_quantity(words, start, Dimension.MASS) for start in range(at))
    return next((found[0] for found in masses if found is not None and found[1] <= at), None)


def _bare(ways: Iterable[str]) -> Iterator[str]:
    """Ways of naming a person, with and without "the"; "me" only behind "by"."""
    for way in ways:
        if way != "me":
            yield from dict.fromkeys((way, way.removeprefix("the ")))


def _of_part(words: PartWords) -> Iterator[tuple[str, Node]]:
    name = words.part.name
    if words.faces:
        face = Either((Say("face"), Say("side")))
        the = Maybe(Say("the"))
        said = face_of(words.faces)
        own = one_of("face", words.faces)
        yield f"face of {name}", Either((Seq((the, said, face)), Seq((Say("the"), said, Say("of"))), own))
    if words.features:
        yield f"feature of {name}", with_other_words("feature", words.features)
    if words.stations:
        yield f"station of {name}", Seq((Maybe(Say("at")), with_other_words("station", words.stations)))
    side = Either(tuple(Means(Say(side), "side", side) for side in SIDES))
    yield (
        f"side of {name}",
        Either((Seq((side, Either((Say("side"), Say("hand"))))), Seq((Say("on"), Say("the"), side)))),
    )
