"""What a correction at the desk teaches: a name that the vocabulary lacks, or another way of saying one.

Nothing is taught here. A way is proposed from what stood in the recording where the name belongs: words that
no phrase has, heard freely, cannot be anything but the name said in a way that is not known yet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from plytally.core.desk.typed_value import OPEN_LISTS, TypedValueError, typed_value
from plytally.core.entry import Entry
from plytally.core.hearing import Hearing
from plytally.core.names import as_spoken
from plytally.core.phrasebook import phrase_words
from plytally.core.pronounce import TRADE, pronunciations
from plytally.core.small_words import FILLERS
from plytally.core.vocabulary import Vocabulary

Json = dict[str, Any]
MOST_LETTERS = 60
JOINING = FILLERS | {"on", "in", "at", "with", "for", "to"}
"""Words that stand between a name and what follows, and never at its edges."""


def unknown_in(words: str, vocabulary: Vocabulary) -> list[str]:
    """The words that no phrase and no list has, each run of them together.

    >>> unknown_in("laid two plies of aramid tape", Vocabulary())
    ['aramid']
    """
    known, runs = phrase_words(vocabulary), [""]
    for word in as_spoken(words).split():
        bare = word.strip("'")
        if bare in known or bare in FILLERS or bare.isdecimal():
            runs.append("")
        else:
            runs[-1] = f"{runs[-1]} {bare}".strip()
    return [run for run in runs if run]


def proposal(
    wanted: Mapping[str, Any], entry: Entry, heard: Sequence[Hearing], vocabulary: Vocabulary
) -> Json | None:
    """What to propose after the act `wanted` made `entry` what it is; `heard` are its recording's hearings.

    None where every word is known and nothing in the hearings is strange.
    """
    words, field = str(wanted.get("words", "")), str(wanted.get("field", ""))
    if wanted["act"] in {"reword", "note", "note_photos"}:
        unknown = unknown_in(words, vocabulary)
        return _new("", unknown[0], _strange(heard, vocabulary)) if unknown else None
    if wanted["act"] not in {"correct", "answer"} or field not in entry.fields:
        return None
    name = str(entry.fields[field])
    try:
        read = typed_value(field, words or name, entry, vocabulary)
    except TypedValueError:
        return None
    if read.new_in:
        return _new(read.new_in, str(read.value), _strange(heard, vocabulary))
    ways = _strange(heard, vocabulary)
    if field in OPEN_LISTS and ways and _takes(vocabulary, OPEN_LISTS[field], name, ways):
        return _told(OPEN_LISTS[field], name, ways, known=True, heard=ways)
    return None


def _new(list_name: str, name: str, ways: Sequence[str]) -> Json:
    own = as_spoken(name)
    others = [way for way in (_by_letter(own), *ways) if way and way != own]
    return _told(list_name, name, [own, *others], known=False, heard=ways)


def _told(list_name: str, name: str, ways: Sequence[str], *, known: bool, heard: Sequence[str]) -> Json:
    return {
        "list": list_name,
        "name": name,
        "said_as": ", ".join(dict.fromkeys(ways)),
        "known": known,
        "heard": list(heard),
        "sounds": [] if known else list(_sounds(as_spoken(name))),
    }


def _strange(heard: Iterable[Hearing], vocabulary: Vocabulary) -> list[str]:
    """The one run of heard words that nothing knows; none where there are several, as any may be the name."""
    for hearing in reversed(list(heard)):
        runs = _runs(hearing.text, vocabulary) if not hearing.covered else []
        if len(runs) == 1 and len(runs[0]) <= MOST_LETTERS:
            return runs
    return []


def _runs(text: str, vocabulary: Vocabulary) -> list[str]:
    """Strange words with the small ones between them."""
    known, runs = phrase_words(vocabulary) - JOINING, [list[str]()]
    for word in text.split():
        if word in known or word.isdecimal():
            runs.append([])
        else:
            runs[-1].append(word)
    return [run for words in runs if (run := _trimmed(words, vocabulary))]


def _trimmed(words: list[str], vocabulary: Vocabulary) -> str:
    while words and words[0] in JOINING:
        words = words[1:]
    while words and words[-1] in JOINING:
        words = words[:-1]
    known = phrase_words(vocabulary)
    return " ".join(words) if any(word not in known for word in words) else ""


def _takes(vocabulary: Vocabulary, list_name: str, name: str, ways: Sequence[str]) -> bool:
    """Whether none of the ways says something of that list already."""
    taken = {way for each in getattr(vocabulary, list_name) for way in each.spoken}
    return name != "" and not taken & set(ways)


def _by_letter(spoken: str) -> str:
    """Initials and type numbers letter by letter: "qx seven" -> "q x seven"; "" where nothing is initials."""
    words = [
        " ".join(word) if len(word) <= 3 and not set(word) & set("aeiouy") and word not in TRADE else word
        for word in spoken.split()
    ]
    told = " ".join(words)
    return told if told != spoken else ""


def _sounds(spoken: str) -> Iterable[str]:
    """How each word of a new name will be listened for, by the trade's table or its spelling."""
    for word in spoken.split():
        try:
            yield f"{word}: {' or '.join(pronunciations(word))}"
        except ValueError:
            continue
