"""What a phone makes of a sound: its engine searches, this says what for, and how far to trust the words.

`sounded` takes the best path through the phrasebook and the best that free phones do, and gives the rivals to
search for; `weighed` takes what was found, and gives the hearing. Both are of one note, one after the other.
The rules are those of the shop computer's engine: see judging, leaning, trust. Plain JSON values in and out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from plytally.core.automaton import Automaton
from plytally.core.expecting import Expected
from plytally.core.hearing import Hearing, Word
from plytally.core.judging import Found, is_a_phrase, reach, weighed
from plytally.core.leaning import by_context
from plytally.core.listening import Grammar, Rival, rivals
from plytally.core.paths import FRAMES_A_SECOND, BestPath, Sounded
from plytally.core.replies import Json
from plytally.core.vocabulary import Vocabulary

A_GUESS = 0.3
"""The confidence of words that are none of the phrasebook: good for finding the note again."""


@dataclass(frozen=True)
class Weighing:
    """A note under way: what was heard, and the rivals that it is held against."""

    engine: str
    seconds: float
    heard: Sounded | None
    grammar: Grammar
    rivals: tuple[Rival, ...] = ()
    likely: tuple[Rival, ...] = ()

    @property
    def asks(self) -> Json:
        """What the engine is to search for; under `hearing` what was heard where there is nothing to weigh.

        Behind a margin of `reach` no other of a rival would be asked about.
        """
        if self.heard is None or not self.rivals:
            return {"hearing": self.hearing((), ()), "texts": [], "rivals": [], "likely": []}
        return {
            "hearing": None,
            "texts": list(self.heard.path.words),
            "rivals": [_searched(each, reach(each, self.heard, self.grammar)) for each in self.rivals],
            "likely": [_searched(each, 0.0) for each in self.likely],
        }

    def hearing(self, found: Sequence[Found], unweighed: Sequence[Rival]) -> Json:
        """The hearing, once the rivals were searched for; those `unweighed` are asked about."""
        covered = self.heard is not None and is_a_phrase(self.heard, self.grammar.automaton)
        words: tuple[Word, ...] = ()
        if self.heard is not None:
            words = weighed(self.heard, found, self.grammar, unweighed) if covered else _guess(self.heard)
        return Hearing(words, covered=covered, engine=self.engine, seconds=self.seconds).as_json()


def sounded(raw: Mapping[str, Any], vocabulary: Vocabulary, listens: Automaton, by: Expected) -> Weighing:
    """A note as the phone's engine has it, and what to hold it against where it is of the phrasebook.

    `raw`: engine, learnt, seconds, and as `path` and `phones` the pieces of either search, null for none.
    """
    book = Grammar(
        listens, "", (), rivals=lru_cache(maxsize=1)(lambda text: rivals(text, vocabulary, listens))
    )
    grammar = by_context(book, vocabulary, by)
    heard = None
    if raw["path"]:
        phones = BestPath.of(raw["phones"], 0.0) if raw["phones"] else None
        heard = Sounded(BestPath.of(raw["path"], 0.0), phones, raw["learnt"])
    engine = raw["engine"]
    if heard is None or not is_a_phrase(heard, listens):
        return Weighing(engine, raw["seconds"], heard, grammar)
    text = " ".join(heard.path.words)
    against = tuple(rival for rival in grammar.rivals(text) if rival.others)
    return Weighing(engine, raw["seconds"], heard, grammar, against, grammar.likely(text, against))


def found_in(told: Mapping[str, Any], note: Weighing) -> Json:
    """The hearing of the note, by what the engine found for it.

    `told`: `found` with the list, the place in it, the words and the margin of each; `left`, the places of
    rivals that there was no time for.
    """
    lists = {"rivals": note.rivals, "likely": note.likely}
    found = [Found(lists[f["of"]][f["at"]], tuple(f["words"]), f["margin"]) for f in told["found"]]
    return note.hearing(found, [note.rivals[at] for at in told["left"]])


def _searched(rival: Rival, within: float) -> Json:
    return {"start": rival.start, "end": rival.end, "others": list(rival.others), "reach": round(within, 2)}


def _guess(heard: Sounded) -> tuple[Word, ...]:
    return tuple(
        Word(piece.text, piece.start / FRAMES_A_SECOND, piece.end / FRAMES_A_SECOND, A_GUESS)
        for piece in heard.path.spoken
    )
