"""How a word was pronounced: the sound near it held against the ways that are known and those near them.

The sentence is searched for twice, with the known ways of the word and with all others besides; what the
second scores more is what another pronunciation explains better.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from plytally.core.automaton import Automaton, automaton
from plytally.core.grammar import Either, Say, Seq
from plytally.core.judging import heard_automaton
from plytally.core.listening import Grammar
from plytally.core.other_ways import other_ways
from plytally.core.settled_words import changed_words
from plytally.speech.conditioning import conditioned
from plytally.speech.decoder import Decoder
from plytally.speech.port import Pcm16k, Samples

CLEARLY = 50.0
"""Natural logarithm of the acoustic score by which another way must fit better than every known one. Words
said as the dictionary has them fitted some other way by up to 43, words said otherwise by 44 to 136."""

SETTINGS = {"beam": 1e-80, "pbeam": 1e-80, "wbeam": 1e-60, "compallsen": True}


@dataclass(frozen=True)
class WaySaid:
    """A pronunciation of `word` that fits the sound clearly better than those known.

    `phones` are those of the CMU Pronouncing Dictionary, parted by spaces; `better_by` is a natural
    logarithm.
    """

    word: str
    phones: str
    better_by: float

    def as_json(self) -> dict[str, Any]:
        """As plain JSON values."""
        return {"word": self.word, "phones": self.phones, "better_by": round(self.better_by, 1)}


def how_said(sound: Pcm16k, texts: Sequence[str], heard: str, grammar: Grammar) -> tuple[WaySaid, ...]:
    """For each word in which the text that fits best differs from what was heard: another way, if clear.

    `texts` are sentences that may have been said, one of them was; `heard` is what was heard instead.
    """
    decoder, samples = Decoder(**SETTINGS), conditioned(sound.samples)
    decoder.learn(grammar.words, grammar.sounds)
    return tuple(_found(decoder, samples, texts, heard))


def _found(decoder: Decoder, samples: Samples, texts: Sequence[str], heard: str) -> Iterator[WaySaid]:
    text = _best(decoder, samples, texts)
    if text is None:
        return
    start, end = changed_words(heard, text)
    for at in range(start, end):
        way = _of_word(decoder, samples, text.split(), at)
        if way is not None:
            yield way


def _best(decoder: Decoder, samples: Samples, texts: Sequence[str]) -> str | None:
    scores = {text: _score(decoder, samples, heard_automaton(text.split())) for text in texts}
    found = {text: score for text, (_, score) in scores.items() if score is not None}
    return max(found, key=lambda text: found[text], default=None)


def _of_word(decoder: Decoder, samples: Samples, words: Sequence[str], at: int) -> WaySaid | None:
    word = words[at]
    known = decoder.known_ways(word)
    tried = {f"{word}~{number}": way for number, way in enumerate(other_ways(word, known))}
    for name, way in tried.items():
        decoder.learn_way(name, way)
    before, after = (tuple(map(Say, part)) for part in (words[:at], words[at + 1 :]))
    others = automaton(Seq((*before, Either(tuple(Say(name) for name in (word, *tried))), *after)))
    _, usual = _score(decoder, samples, heard_automaton(words))
    said, best = _score(decoder, samples, others)
    if usual is None or best is None or len(said) != len(words) or said[at] not in tried:
        return None
    return WaySaid(word, tried[said[at]], best - usual) if best - usual >= CLEARLY else None


def _score(decoder: Decoder, samples: Samples, searched: Automaton) -> tuple[tuple[str, ...], float | None]:
    decoder.listen_by("said", searched)
    path = decoder.best_path("said", samples)
    if path is None or not searched.accepts(path.words):
        return (), None
    return path.words, path.score
