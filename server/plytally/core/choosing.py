"""An entry built by large buttons: what to choose next, and the sentence that the choices make.

Whoever builds one this way says nothing that could not be spoken: the sentence goes the same way as typed
words, with the same doubts. Choices come from the builder's vocabulary, so no part or material is named here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from plytally.core import choosing_clock
from plytally.core.choosing_clock import CLOCK, WHEN
from plytally.core.clock_kinds import kind_of
from plytally.core.entry import KINDS, PLACE
from plytally.core.names import Name
from plytally.core.vocabulary import SIDES, PartWords, Vocabulary

SKIPPED = ""
"""What stands for a field that was passed over."""

KIND, WHERE = "kind", "where"
Picked = Mapping[str, str]


@dataclass(frozen=True)
class Ask:
    """The field to choose next: one of `choices`, or a number from a pad that ends in one of `units`.

    A pad without a unit has the unit "". Where there are `steps` a time is asked for: how long, "90 min",
    which one touch makes so many minutes longer; or until when, "21:30 today" or "07:00 tomorrow". One that
    is `optional` may be passed over.
    """

    field: str
    choices: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    steps: tuple[int, ...] = ()
    optional: bool = False

    def as_json(self) -> dict[str, Any]:
        """The question as plain JSON values."""
        return {
            "field": self.field,
            "choices": [{"value": each, "label": self._label(each)} for each in self.choices],
            "units": list(self.units),
            "steps": list(self.steps),
            "optional": self.optional,
        }

    def _label(self, choice: str) -> str:
        if self.field == CLOCK:
            return choosing_clock.TITLES[choice]
        return KINDS[choice].label or choice if self.field == KIND else choice


PADS: Mapping[str, tuple[str, ...]] = {
    "plies": ("",),
    "holes": ("",),
    "mass": ("grams", "ounces"),
    "ratio": ("to 1",),
    "batch": ("",),
    "gauge": ("inches",),
    "measure": ("thousandths", "millimeters", "inches"),
    "grit": ("",),
    "temperature": ("degrees fahrenheit", "degrees celsius"),
    "humidity": ("percent",),
    "duration": ("minutes", "hours"),
}
LISTS: Mapping[str, str] = {
    "material": "materials",
    "orientation": "orientations",
    "resin": "resins",
    "quality": "qualities",
    "item": "items",
    "by": "people",
    "category": "categories",
}

# Kind by kind, in the order of the sentence: the field ("?": it may be passed over), how it is said, and what
# is said in its stead where it was passed over. "where" stands for the place.
Piece = tuple[str, str, str]


def _pieces(*rows: str) -> tuple[Piece, ...]:
    """Rows are "field: said | said instead"."""
    split = (row.partition(":") for row in rows)
    return tuple((field, said.partition("|")[0], said.partition("|")[2]) for field, _, said in split)


SAID: Mapping[str, tuple[Piece, ...]] = {
    "laid": _pieces(
        "plies: laid {} ply", "material: {}", "orientation?: {}", "where: on the {}", "batch?: batch {}"
    ),
    "mixed": _pieces("mass: mixed {}", "resin?: of {}", "ratio?: at {}", "batch?: batch {}"),
    CLOCK: _pieces("clock: {}", "when?: {}", "where?: {}"),  # the sentence: choosing_clock
    "bagged": _pieces("where: bagged the {}"),
    "vacuum": _pieces("gauge: vacuum {}", "where?: on the {}"),
    "bag_off": _pieces("where: bag off the {}"),
    "peeled": _pieces("where: peel ply off the {}"),
    "measured": _pieces("quality: the {} is", "measure: {}", "where: on the {}"),
    "sanded": _pieces("where: sanded the {}", "grit?: with {} grit"),
    "trimmed": _pieces("where: trimmed the {}"),
    "drilled": _pieces("holes?: drilled {} holes in | drilled", "where: the {}"),
    "clamped": _pieces("item?: clamped the {} on | clamped", "where: the {}"),
    "bonded": _pieces("item?: bonded the {} on | bonded", "where: the {}"),
    "mounted": _pieces("item?: mounted the {} on | mounted", "where: the {}"),
    "cured": _pieces("where: the {} is cured"),
    "weighed": _pieces("where: the {} weighs", "mass: {}"),
    "checked": _pieces("where: the {}", "by?: was checked by {} | is checked"),
    "shop_air": _pieces("temperature: shop air {}", "humidity?: and {}"),
    "started": _pieces("category?: started {} | started work", "where?: on the {}"),
    "spent": _pieces("duration: worked {}", "category?: {}", "where?: on the {}"),
    "stopped": _pieces("category?: stopped {} | stopped work", "where?: on the {}"),
}


def choice(picked: Picked, vocabulary: Vocabulary, recent: str = "") -> dict[str, Any]:
    """What to choose next (null: nothing is left) and the sentence so far, as plain JSON values."""
    ask = next_ask(picked, vocabulary, (recent,))
    return {"ask": ask.as_json() if ask else None, "sentence": sentence(picked, vocabulary)}


def next_ask(picked: Picked, vocabulary: Vocabulary, recent: Iterable[str] = ()) -> Ask | None:
    """What to choose next, None when nothing is left to choose. `recent` parts are offered first."""
    if KIND not in picked:
        return Ask(KIND, tuple(kind for kind in SAID if vocabulary.parts or not _needs_place(kind)))
    for field, optional in _in_turn(picked[KIND]):
        if field == WHERE:
            asks = _of_place(picked, vocabulary, optional, recent)
        elif picked[KIND] == CLOCK:
            asks = _of_clock(field, picked)
        else:
            asks = _of_field(field, vocabulary, optional)
        for ask in asks:
            if ask.field not in picked:
                return ask
    return None


def sentence(picked: Picked, vocabulary: Vocabulary) -> str:
    """The choices as they would be spoken; "" as long as something that the kind needs was not chosen."""
    if KIND not in picked:
        return ""
    said = {field: _spoken(field, value, picked, vocabulary) for field, value in picked.items() if value}
    if "part" in said:
        said[WHERE] = " ".join(said[field] for field in PLACE if field in said)
    if picked[KIND] == CLOCK:
        return _clock_said(picked, said.get(WHERE, ""))
    parts = []
    for field, text, instead in SAID[picked[KIND]]:
        name = field.removesuffix("?")
        if name not in said and name == field:
            return ""
        parts.append(text.format(said[name]) if name in said else instead)
    return " ".join(" ".join(parts).split())


def _needs_place(kind: str) -> bool:
    return any(field == WHERE for field, _, _ in SAID[kind])


def _in_turn(kind: str) -> list[tuple[str, bool]]:
    """The fields in the order of asking, and which are optional; a place that is needed comes first."""
    fields = [(field.removesuffix("?"), field.endswith("?")) for field, _, _ in SAID[kind]]
    return sorted(fields, key=lambda row: row != (WHERE, False))


def _of_clock(field: str, picked: Picked) -> Iterator[Ask]:
    if field == CLOCK:
        yield Ask(CLOCK, choosing_clock.CHOICES)
    else:
        yield Ask(WHEN, steps=choosing_clock.STEPS, optional=kind_of(picked.get(CLOCK, "")).knows_how_long)


def _clock_said(picked: Picked, where: str) -> str:
    if CLOCK not in picked or picked[CLOCK] not in choosing_clock.CHOICES:
        return ""
    return choosing_clock.said(picked[CLOCK], picked.get(WHEN, ""), where)


def _of_field(field: str, vocabulary: Vocabulary, optional: bool) -> Iterator[Ask]:
    if field in PADS:
        yield Ask(field, units=PADS[field], optional=optional)
    else:
        names: tuple[Name, ...] = getattr(vocabulary, LISTS[field])
        yield Ask(field, tuple(name.name for name in names), optional=optional)


def _of_place(picked: Picked, vocabulary: Vocabulary, optional: bool, recent: Iterable[str]) -> Iterator[Ask]:
    """Part, then what this part has of side, face, feature and station; the last two may be passed over."""
    names = [words.part.name for words in vocabulary.parts]
    first = [name for name in recent if name in names]
    if names:
        yield Ask("part", tuple(dict.fromkeys((*first, *names))), optional=optional)
    part = vocabulary.part(picked.get("part", SKIPPED))
    if part is None:
        return
    if part.sided:
        yield Ask("side", SIDES)
    if part.faces:
        yield Ask("face", _names(part.faces), optional=picked[KIND] != "laid")
    if part.features:
        yield Ask("feature", _names(part.features), optional=True)
    if part.stations:
        yield Ask("station", _names(part.stations), optional=True)


def _names(names: Iterable[Name]) -> tuple[str, ...]:
    return tuple(name.name for name in names)


def _spoken(field: str, value: str, picked: Picked, vocabulary: Vocabulary) -> str:
    """How a choice is said; a number from a pad and a side are said as they are."""
    named = _named(field, picked, vocabulary)
    name = next((name for name in named if name.name == value), None)
    said = name.spoken[0] if name else value
    return f"{said.removesuffix(' face')} face" if field == "face" else said


def _named(field: str, picked: Picked, vocabulary: Vocabulary) -> Iterable[Name]:
    if field in LISTS:
        named: tuple[Name, ...] = getattr(vocabulary, LISTS[field])
        return named
    if field == "part":
        return [words.part for words in vocabulary.parts]
    part: PartWords | None = vocabulary.part(picked.get("part", SKIPPED))
    lists = {"face": "faces", "feature": "features", "station": "stations"}
    return getattr(part, lists[field]) if part and field in lists else ()
