"""What raises a doubt: sound that fitted two things, a field left unsaid, an amount that cannot be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from plytally.core.entry import FIELDS, KINDS, Doubt, FieldValue
from plytally.core.hearing import Hearing
from plytally.core.numbers import confusable
from plytally.core.runner_up import together
from plytally.core.small_words import FILLERS
from plytally.core.unusual import doubts_of_amounts
from plytally.core.vocabulary import Vocabulary

KIND = "kind"
"""What a doubt is about that is about no field, but about what was done."""

JOINING = frozenset(("at", "on", "to", "in", "from", "with", "for", "by", "batch", "ply", "plies", "face"))
"""Words that join the fields and say nothing of what was done: one of them heard unclearly asks nothing."""

FITS_BOTH, SOUND_ALIKE = "the sound fits both", "the two sound alike"
NOT_CLEAR = "not heard clearly"

SURE = 0.75
"""Below this confidence a weighty word is doubted. Set from tests/bench; see models_readme."""


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
            alike = other in confusable(tuple(heard.split()))
            same = other == heard  # the rival differs in words around the field alone
            why = NOT_CLEAR if same else SOUND_ALIKE if alike else FITS_BOTH
            yield Doubt(name, heard, "" if same else other, why)
        elif min((word.confidence for word in words), default=1.0) < SURE:
            yield Doubt(name, heard, "", NOT_CLEAR)


def doubts_of_kind(hearing: Hearing, places: Sequence[int]) -> Iterator[Doubt]:
    """A doubt where the words that say what was done ("bagged", "bonded") were not heard clearly."""
    words = [hearing.words[at] for at in places if hearing.words[at].text not in FILLERS]
    marked = [at for at, word in enumerate(words) if word.runner_up]
    if marked:
        between = words[marked[0] : marked[-1] + 1]
        other = together((word.text for word in between), (word.runner_up for word in between))
        yield Doubt(KIND, " ".join(word.text for word in between), other, FITS_BOTH)
    elif unclear := [w.text for w in words if w.confidence < SURE and w.text not in JOINING]:
        yield Doubt(KIND, " ".join(unclear), "", NOT_CLEAR)


def doubts_of_fields(kind: str, fields: Mapping[str, FieldValue], vocabulary: Vocabulary) -> Iterator[Doubt]:
    """A doubt for each field that is needed and unsaid, and for each amount out of the usual range."""
    for name in KINDS[kind].needs:
        if name not in fields:
            told = "how many plies" if name == "plies" else f"the {FIELDS[name].label or name}"
            yield Doubt(name, "", "", f"{told} was not said")
    yield from _place_doubts(kind, fields, vocabulary)
    yield from doubts_of_amounts(kind, fields)
    if kind == "shop_air" and not fields:
        yield Doubt("temperature", "", "", "neither temperature nor humidity was said")


def _place_doubts(kind: str, fields: Mapping[str, FieldValue], vocabulary: Vocabulary) -> Iterator[Doubt]:
    name = str(fields.get("part", ""))
    part = vocabulary.part(name)
    words = part or next((w for w in vocabulary.assemblies if w.part.name == name), None)
    if words is None:
        return
    if kind == "laid" and part is None:
        yield Doubt("part", name, "", f"plies are laid on a part: which part of the {name}?")
    if words.sided and "side" not in fields:
        yield Doubt("side", "", "", "left or right was not said")
    if kind == "laid" and words.faces and "face" not in fields:
        yield Doubt("face", "", "", "the face was not said")
    for name, own in (("face", words.faces), ("feature", words.features), ("station", words.stations)):
        if name in fields and fields[name] not in {each.name for each in own}:
            yield Doubt(name, str(fields[name]), "", f"the {words.part.name} has no such {name}")
