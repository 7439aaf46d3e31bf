"""What must have been said, after a person settled what an entry is: what to hold the sound against."""

from __future__ import annotations

from collections.abc import Iterator

from plytally.core.doubting import KIND
from plytally.core.entry import Entry
from plytally.core.hearing import typed
from plytally.core.rivals import NOT_SAID, Rival, rivals, ways_to_say
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary


def said_after_all(heard: str, settled: Entry, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The sentences of the phrasebook, one field away from what was heard, that make the settled entry.

    Empty where what was heard makes it already, where more than one field was settled otherwise, and where
    what was heard is no sentence of the phrasebook.
    """
    if _makes(heard, settled, vocabulary):
        return ()
    near = dict.fromkeys(_one_away(heard, settled, vocabulary))
    return tuple(text for text in near if _makes(text, settled, vocabulary))


def _one_away(heard: str, settled: Entry, vocabulary: Vocabulary) -> Iterator[str]:
    for rival in rivals(heard, vocabulary):
        for other in _settled_in(rival, settled, vocabulary):
            yield " ".join(f"{rival.before} {other} {rival.after}".split())


def _settled_in(rival: Rival, settled: Entry, vocabulary: Vocabulary) -> Iterator[str]:
    """What stands in the rival's place for the settled entry; for its kind, whatever may."""
    if KIND in rival.fields:
        yield from rival.others
    for field in rival.fields:
        if field in settled.fields:
            yield from ways_to_say(field, settled.fields[field], vocabulary)
        elif NOT_SAID in rival.others:
            yield NOT_SAID


def _makes(text: str, settled: Entry, vocabulary: Vocabulary) -> bool:
    made = understand(typed(text), vocabulary).entry
    return made is not None and (made.kind, dict(made.fields)) == (settled.kind, dict(settled.fields))


def changed_words(heard: str, said: str) -> tuple[int, int]:
    """The words of `said`, from one place up to another, that stand instead of others in `heard`.

    >>> changed_words("laid two plies of bid", "laid two plies of uni")
    (4, 5)
    """
    one, other = heard.split(), said.split()
    start = 0
    while start < min(len(one), len(other)) and one[start] == other[start]:
        start += 1
    end = 0
    while end < min(len(one), len(other)) - start and one[-1 - end] == other[-1 - end]:
        end += 1
    return start, len(other) - end
