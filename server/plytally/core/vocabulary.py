"""The builder's own words: parts with their faces and stations, and the trade's lists around them.

Everything a phrase may name is here, each with the ways of saying it. A schedule brings the parts; the
builder's own words are merged on top; the trade's lists below are the start. Nothing in the phrasebook
or in `understand` knows a part, a material or a resin by name.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any

from plytally.core.accents import PHONES
from plytally.core.assemblies import assemblies
from plytally.core.names import Name, as_spoken
from plytally.core.resin_systems import Resin
from plytally.core.schedule import Schedule

SIDES = ("left", "right")
PEEL_PLY = "peel ply"
"""The one cloth that is laid once and comes off again: nobody says how many plies of it (common practice)."""
LISTS = ("materials", "resins", "orientations", "qualities", "items", "people", "categories", "actions")


SOUNDS = "sounds"
"""The list of pronunciations: a word of the phrases, and its phones in small letters."""


class VocabularyError(ValueError):
    """A word list that cannot be used; the message says which, what was found and what is wanted."""


@dataclass(frozen=True)
class PartWords:
    """A part: whether there is one on each side, and what its faces, features and stations are called."""

    part: Name
    sided: bool = False
    faces: tuple[Name, ...] = ()
    features: tuple[Name, ...] = ()
    stations: tuple[Name, ...] = ()


def _names(*rows: str) -> tuple[Name, ...]:
    """Rows are "name" or "name: one way | another way"."""
    split = (row.partition(":") for row in rows)
    return tuple(
        Name(name.strip(), tuple(w.strip() for w in ways.split("|")) if ways else ())
        for name, _, ways in split
    )


@dataclass(frozen=True)
class Vocabulary:
    """All that a builder's phrases may name."""

    parts: tuple[PartWords, ...] = ()
    materials: tuple[Name, ...] = _names(
        "BID: bid | bid glass | glass bid",
        "UNI: uni | uni glass | glass uni",
        "carbon BID: carbon bid | carbon cloth",
        "carbon UNI: carbon uni",
        "glass tape: glass tape | tape",
        "peel ply: peel ply",
    )
    resins: tuple[Name, ...] = _names(
        "epoxy: epoxy | resin", "flox: flox", "micro: micro | dry micro | wet micro"
    )
    orientations: tuple[Name, ...] = _names(
        "0: zero degrees | spanwise | at zero",
        "45: forty five degrees | at forty five | on the bias | plus minus forty five",
        "90: ninety degrees | chordwise | at ninety",
        "0/90: zero ninety | at zero ninety",
    )
    qualities: tuple[Name, ...] = _names(
        "thickness", "gap: gap", "step: step", "height: height", "width: width"
    )
    items: tuple[Name, ...] = _names(
        "hinge: hinge | hinges",
        "bracket: bracket | brackets",
        "bushing: bushing | bushings",
        "hardpoint: hard point | hard points",
        "pushrod: push rod",
        "counterweight: counterweight",
        "spacer: spacer | spacers",
        "bolt: bolt | bolts",
    )
    people: tuple[Name, ...] = _names(
        "builder: me | the builder", "inspector: the inspector", "helper: the helper", "adviser: the adviser"
    )
    categories: tuple[Name, ...] = _names(
        "layup: layup | laying up",
        "sanding: sanding",
        "fitting: fitting",
        "bonding: bonding",
        "cutting: cutting cloth | cutting",
        "cleaning: cleaning",
        "inspection: inspection",
    )
    actions: tuple[Name, ...] = _names(
        "sand: sand",
        "trim: trim",
        "measure: measure",
        "check: check",
        "fill: fill",
        "drill: drill",
        "bond: bond",
        "weigh: weigh",
        "paint: paint",
    )

    sounds: tuple[Name, ...] = ()
    """Further pronunciations of words, each in phones of the CMU Pronouncing Dictionary: "p l ay"."""

    def __post_init__(self) -> None:
        for problem in _problems(self):
            raise VocabularyError(problem)

    def with_words(self, words: Mapping[str, Any]) -> Vocabulary:
        """The vocabulary with a builder's own words added: {"materials": {"aramid": ["aramid cloth"]}}.

        A name that is known, in whatever capitals, gets further ways of being said and is spelt as given;
        a new name joins the list. VocabularyError for what is no list of words.
        """
        changed: dict[str, Any] = {}
        for list_name, given in words.items():
            if list_name not in (*LISTS, SOUNDS):
                raise VocabularyError(f"'{list_name}' is not a word list; the lists are {', '.join(LISTS)}")
            if not isinstance(given, Mapping):
                raise VocabularyError(f"'{list_name}' must map each name to a list of ways to say it")
            changed[list_name] = _merged(getattr(self, list_name), given)
        return replace(self, **changed)

    @cached_property
    def assemblies(self) -> tuple[PartWords, ...]:
        """What several parts make together; one has sides where all its parts have them."""
        sided = {words.part.name: words.sided for words in self.parts}
        return tuple(
            PartWords(Name(name, (as_spoken(name),)), all(sided[part] for part in parts))
            for name, parts in assemblies(tuple(sided)).items()
        )

    def part(self, name: str) -> PartWords | None:
        """The part of this name, None where there is none."""
        return next((p for p in self.parts if p.part.name == name), None)


@lru_cache(maxsize=4)
def exchangeable(vocabulary: Vocabulary) -> tuple[frozenset[str], ...]:
    """Single words that can stand for each other: the sides, the cloths and resins, the faces."""
    lists = (
        vocabulary.materials,
        vocabulary.resins,
        [face for part in vocabulary.parts for face in part.faces],
    )
    spoken = (frozenset(way for name in names for way in name.spoken if " " not in way) for names in lists)
    return (frozenset(SIDES), *spoken)


def own_sounds(vocabulary: Vocabulary) -> dict[str, tuple[str, ...]]:
    """The builder's own pronunciations by word, as an engine's dictionary has phones."""
    return {name.name: tuple(way.upper() for way in name.spoken) for name in vocabulary.sounds}


def from_schedule(schedule: Schedule, words: Mapping[str, Any] | None = None) -> Vocabulary:
    """The trade's words, with what the print names and the builder's own words on top."""
    parts = tuple(
        PartWords(
            Name(part.name, part.said_as),
            bool(part.sides),
            *(
                tuple(Name(n.name, n.said_as) for n in names)
                for names in (part.faces, part.features, part.stations)
            ),
        )
        for part in schedule.parts
    )
    from_print = {
        name: {
            each.name: [each.name, *each.said_as] if not each.said_as else list(each.said_as)
            for each in given
        }
        for name, given in (
            ("materials", schedule.materials),
            ("orientations", schedule.orientations),
            ("items", schedule.items),
            ("resins", schedule.resins),
        )
    }
    usual = tuple(_left(Vocabulary.resins, schedule.resins))
    return Vocabulary(parts, resins=usual).with_words(from_print).with_words(words or {})


def _left(usual: tuple[Name, ...], resins: Iterable[Resin]) -> Iterable[Name]:
    """The usual resins, without the ways of saying that the print gives to others of its own."""
    taken = {way: resin.name.casefold() for resin in resins for way in Name(resin.name, resin.said_as).spoken}
    for name in usual:
        mine = name.name.casefold()
        ways = tuple(way for way in name.spoken if taken.get(way, mine) == mine)
        if ways:
            yield Name(name.name, ways)


def _merged(have: tuple[Name, ...], given: Mapping[str, Any]) -> tuple[Name, ...]:
    merged = {name.name.casefold(): name for name in have}
    for name, ways in given.items():
        if not isinstance(ways, list | tuple) or not all(isinstance(way, str) for way in ways):
            raise VocabularyError(f"the ways to say '{name}' must be a list of words, found {ways!r}")
        key = name.casefold()
        before = merged[key].spoken if key in merged else ()
        merged[key] = Name(name, tuple(dict.fromkeys((*before, *(as_spoken(way) for way in ways)))))
    return tuple(merged.values())


def _problems(vocabulary: Vocabulary) -> Iterable[str]:
    """Reasons why a vocabulary cannot be listened for."""
    for list_name in LISTS:
        yield from _clashes(list_name, getattr(vocabulary, list_name))
    yield from _no_sounds(vocabulary.sounds)
    yield from _clashes("parts", [p.part for p in vocabulary.parts])
    for words in vocabulary.parts:
        yield from _clashes(f"faces of {words.part.name}", words.faces)
        yield from _clashes(f"features of {words.part.name}", words.features)
        yield from _clashes(f"stations of {words.part.name}", words.stations)


def _no_sounds(sounds: Iterable[Name]) -> Iterable[str]:
    for name in sounds:
        for way in name.spoken:
            if strange := sorted(set(way.upper().split()) - PHONES):
                yield f"sounds: {name.name!r} has {', '.join(strange)}, no phones of the CMU dictionary"


def _clashes(list_name: str, names: Iterable[Name]) -> Iterable[str]:
    taken: dict[str, str] = {}
    for name in names:
        for way in name.spoken:
            if not way or way != as_spoken(way):
                yield f"{list_name}: {name.name!r} is said as {way!r}; use lower-case words, numbers as words"
            elif taken.setdefault(way, name.name) != name.name:
                yield f"{list_name}: {way!r} is said for both {taken[way]!r} and {name.name!r}; change one"
