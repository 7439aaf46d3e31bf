"""What a builder reads aloud so that the shop computer learns the voice: about two minutes of short notes.

The sentences are phrases of the phrasebook with the builder's own parts in them, so that their words are
known and every part's name is heard once. `{place}` is filled with the parts in turn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import cycle

from plytally.core.names import as_spoken
from plytally.core.rivals import listened
from plytally.core.vocabulary import SIDES, PartWords, Vocabulary

# Between them: every English phone, every number word, and the verbs, materials and units of the shop.
ROWS = (
    "put down seven layers of bid on {place}",
    "pulled the peel ply off {place}",
    "mixed ninety grams of epoxy at five to one batch three six eight",
    "the gauge says twenty four and a half inches",
    "gap at {place} is eleven thousandths",
    "weighed {place} at two hundred and sixteen grams",
    "how long since i mixed",
    "sanded {place} with eighty grit",
    "drilled six holes in {place}",
    "shop is at seventy four degrees and thirty one percent",
    "started fitting on {place}",
    "added twelve plies of {material} {orientation} on {place}",
    "bag came off {place}",
    "{place} cured for nineteen hours at thirty five degrees",
    "checked {place}",
    "measured thickness ninety three thousandths at {place}",
    "remind me in fifty minutes",
    "glued the bushings to {place}",
    "what do i still owe on {place}",
    "trimming is done on {place}",
    "fresh cup of fourteen ounces of resin four to one",
    "finished sanding on {place}",
    "picture of the bracket on {place}",
    "make that eighteen",
    "clamped the hinge to {place}",
    "{place} was checked by the inspector",
    "vacuum sixteen inches on {place}",
    "where did i leave off on {place}",
)
FOR_A_NAME = "checked {place}"
MOST = 48


@dataclass(frozen=True)
class Sentence:
    """One sentence to read; `part` is the builder's part that it names, "" for none."""

    text: str
    part: str = ""


def reading_list(vocabulary: Vocabulary) -> tuple[Sentence, ...]:
    """The sentences to read, at most 48; only those that the grammar listens for.

    Each of the first parts is named at least once, by turns with a side, a face and a station where it has
    them. The same vocabulary gives the same sentences.
    """
    listens = listened(vocabulary)
    made = dict.fromkeys(_filled(vocabulary))
    return tuple(each for each in made if listens.accepts(tuple(each.text.split())))[:MOST]


def _filled(vocabulary: Vocabulary) -> Iterator[Sentence]:
    places = cycle(enumerate(vocabulary.parts)) if vocabulary.parts else None
    others = {
        "material": vocabulary.materials[-1].spoken[0],
        "orientation": vocabulary.orientations[0].spoken[0],
    }
    used = 0
    for row in ROWS:
        if "{place}" not in row:
            yield Sentence(row)
        elif places is not None:
            yield _about(row, *next(places), others)
            used += 1
    for at, part in list(enumerate(vocabulary.parts))[used:]:
        yield _about(FOR_A_NAME, at, part, others)


def _about(row: str, turn: int, part: PartWords, others: Mapping[str, str]) -> Sentence:
    return Sentence(row.format(place=_place(turn, part), **others), part.part.name)


def _place(turn: int, part: PartWords) -> str:
    """The part as it is said: its side, its name in one of its ways, and by turns a face or a station."""
    side = (SIDES[turn % 2],) if part.sided else ()
    name = part.part.spoken[turn % len(part.part.spoken)]
    after = [""]
    if part.faces:
        after.append(f"{part.faces[turn // 3 % len(part.faces)].spoken[0]} face")
    if part.stations:
        after.append(part.stations[turn % len(part.stations)].spoken[0])
    return as_spoken(" ".join((*side, name, after[turn % len(after)])))
