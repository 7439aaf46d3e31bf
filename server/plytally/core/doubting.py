"""What raises a doubt: sound that fitted two things, a field left unsaid, an amount that cannot be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from plytally.core.entry import FIELDS, KINDS, Doubt, FieldValue
from plytally.core.hearing import Hearing
from plytally.core.quantities import Quantity, format_quantity
from plytally.core.runner_up import together
from plytally.core.small_words import FILLERS
from plytally.core.vocabulary import Vocabulary

KIND = "kind"
"""What a doubt is about that is about no field, but about what was done."""

SURE = 0.75
"""Below this confidence a weighty word is doubted. Set from tests/bench; see models_readme."""


@dataclass(frozen=True)
class Range:
    """The amounts of a field that need no second look, in one unit, and what lies beyond."""

    field: str
    least: str
    most: str
    unit: str
    why: str


# Common practice, no source, but for the vacuum: 29.92 inHg is the standard atmosphere at sea level.
USUAL = (
    Range("plies", "1", "12", "", "an unusual number of plies for one entry"),
    Range("gauge", "1", "29.92", "inHg", "a gauge cannot show more vacuum than the air presses"),
    Range("humidity", "5", "100", "%", "no shop air is that dry or that wet"),
    Range("temperature", "32", "250", "degF", "an unusual temperature in a shop"),
    Range("measure", "0.001", "240", "in", "an unusual length for a part"),
    Range("mass", "1", "50000", "g", "an unusual mass"),
    Range("holes", "1", "200", "", "an unusual number of holes for one entry"),
)


def doubts_of_hearing(
    hearing: Hearing, fields: Mapping[str, FieldValue], spans: Mapping[str, Sequence[int]]
) -> Iterator[Doubt]:
    """A doubt for each weighty field whose words were heard with a runner-up or with little confidence.

    `spans` gives, by field, the places of its words in `hearing.words`.
    """
    for name, places in spans.items():
        if name not in fields or (name in FIELDS and not FIELDS[name].weighty):
            continue
        words = [hearing.words[at] for at in dict.fromkeys(places)]
        rivals = [word.runner_up for word in words]
        heard = " ".join(word.text for word in words)
        if any(rivals):
            other = together((word.text for word in words), rivals)
            yield Doubt(name, heard, other, "the sound fits both")
        elif min((word.confidence for word in words), default=1.0) < SURE:
            yield Doubt(name, heard, "", "not heard clearly")


def doubts_of_kind(hearing: Hearing, places: Sequence[int]) -> Iterator[Doubt]:
    """A doubt where the words that say what was done ("bagged", "bonded") were not heard clearly."""
    words = [hearing.words[at] for at in places if hearing.words[at].text not in FILLERS]
    marked = [at for at, word in enumerate(words) if word.runner_up]
    if marked:
        between = words[marked[0] : marked[-1] + 1]
        other = together((word.text for word in between), (word.runner_up for word in between))
        yield Doubt(KIND, " ".join(word.text for word in between), other, "the sound fits both")
    elif unclear := [word.text for word in words if word.confidence < SURE]:
        yield Doubt(KIND, " ".join(unclear), "", "not heard clearly")


def doubts_of_fields(kind: str, fields: Mapping[str, FieldValue], vocabulary: Vocabulary) -> Iterator[Doubt]:
    """A doubt for each field that is needed and unsaid, and for each amount out of the usual range."""
    for name in KINDS[kind].needs:
        if name not in fields:
            yield Doubt(name, "", "", f"the {FIELDS[name].label or name} was not said")
    yield from _place_doubts(kind, fields, vocabulary)
    for usual in USUAL:
        if usual.field in fields and not _is_usual(usual, fields[usual.field]):
            yield Doubt(usual.field, _told(fields[usual.field]), "", usual.why)
    if kind == "shop_air" and not fields:
        yield Doubt("temperature", "", "", "neither temperature nor humidity was said")


def _place_doubts(kind: str, fields: Mapping[str, FieldValue], vocabulary: Vocabulary) -> Iterator[Doubt]:
    words = vocabulary.part(str(fields.get("part", "")))
    if words is None:
        return
    if words.sided and "side" not in fields:
        yield Doubt("side", "", "", "left or right was not said")
    if kind == "laid" and words.faces and "face" not in fields:
        yield Doubt("face", "", "", "the face was not said")
    for name, own in (("face", words.faces), ("feature", words.features), ("station", words.stations)):
        if name in fields and fields[name] not in {each.name for each in own}:
            yield Doubt(name, str(fields[name]), "", f"the {words.part.name} has no such {name}")


def _is_usual(usual: Range, value: FieldValue) -> bool:
    if isinstance(value, Quantity):
        amount = value.to(usual.unit).amount
    elif isinstance(value, int):
        amount = Decimal(value)
    else:
        return True
    return Decimal(usual.least) <= amount <= Decimal(usual.most)


def _told(value: FieldValue) -> str:
    return format_quantity(value) if isinstance(value, Quantity) else str(value)
