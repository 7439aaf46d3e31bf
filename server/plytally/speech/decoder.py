"""A thin skin over pocketsphinx: words get sounds, a grammar becomes a search, samples become scored words.

Everything pocketsphinx does not say (a missing word, an unfinished sentence) is said here.
"""

from __future__ import annotations

import math
import re
import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pocketsphinx

from plytally.core.accents import in_british
from plytally.core.automaton import Automaton, likelihoods
from plytally.core.paths import BestPath, Piece
from plytally.core.pronounce import TRADE, pronunciations
from plytally.speech.port import GrammarRefused, Samples

# The library gives scores in a unit 1024 times coarser (senone scores are shifted by ten bits); here they are
# natural logarithms of the finer unit.
_COARSER = 1024
# A speaker has one accent: each is a whole copy of the grammar, over words of the dictionary named for it.
AMERICAN, BRITISH = "", "@gb"
ACCENTS = (AMERICAN, BRITISH)
_VARIANT = re.compile(r"(?:@gb)?(?:\(\d+\))?$")
_VARIANTS = range(2, 9)
_LEAST_SAMPLES = 1600  # a tenth of a second: less has no frames to work on


@dataclass(frozen=True)
class StateSpan:
    """One state of a phone: the phone's name, the number of its senone, and how many frames it lasts."""

    phone: str
    senone: int
    frames: int


class Decoder:
    """One pocketsphinx decoder with any number of named searches. Not for two threads at once."""

    def __init__(self, **settings: Any) -> None:
        # The lattice's best path may end in mid sentence, where a whole one scored a little less, and making
        # the lattice takes most of the time; without it a path is a whole sentence wherever one survived.
        self._sphinx = pocketsphinx.Decoder(lm=None, loglevel="FATAL", bestpath=False, **settings)

    def learn(self, words: Iterable[str], sounds: Mapping[str, tuple[str, ...]] | None = None) -> None:
        """Give every word its sounds in each accent: the dictionary's, else those of `pronounce`.

        `sounds` are the builder's own, by word; they are said alike in each accent.
        """
        for word in words:
            if self._sphinx.lookup_word(word) is None or word in TRADE:
                self._add(word, pronunciations(word, self._sphinx.lookup_word))
            own = (sounds or {}).get(word, ())
            british = tuple(in_british(word, way) for way in self._ways(word))
            self._add(word, own)
            self._add(word + BRITISH, (*british, *own))

    def known_ways(self, word: str) -> tuple[str, ...]:
        """How the word is said in every accent, as it was learnt."""
        return tuple(dict.fromkeys(way for accent in ACCENTS for way in self._ways(word + accent)))

    def learn_way(self, name: str, way: str) -> None:
        """Let `name` be heard where these phones are, in each accent alike."""
        for accent in ACCENTS:
            self._add(name + accent, (way,))

    def _ways(self, word: str) -> list[str]:
        found = (self._sphinx.lookup_word(name) for name in _names(word))
        return [way for way in found if way is not None]

    def _add(self, word: str, ways: tuple[str, ...]) -> None:
        """Add the ways that are not there yet."""
        have = self._ways(word)
        free = (name for name in _names(word) if self._sphinx.lookup_word(name) is None)
        for way in dict.fromkeys(ways):
            if way not in have:
                self._sphinx.add_word(next(free), way, False)

    def listen_by(self, name: str, automaton: Automaton, sentences: Sequence[str] = ()) -> None:
        """Make the automaton the search `name`, in place of one of that name. Its words must be learnt.

        `sentences` say how often each way is taken; without them no way costs anything.
        GrammarRefused for an automaton without a sentence, or with words that have no sound.
        """
        if not automaton.arcs:
            raise GrammarRefused("the grammar is empty: there is no sentence to listen for")
        start = len(ACCENTS) * automaton.states
        arcs = [arc for number in range(len(ACCENTS)) for arc in _copy(automaton, number, start, sentences)]
        try:
            self._sphinx.add_fsg(name, self._sphinx.create_fsg(name, start, start + 1, arcs))
        except (RuntimeError, ValueError) as problem:
            silent = sorted({a.word for a in automaton.arcs if self._sphinx.lookup_word(a.word) is None})
            raise GrammarRefused(
                f"pocketsphinx refuses the grammar; words without a sound: {', '.join(silent) or 'none'}"
            ) from problem

    def listen_to_phones(self, name: str) -> None:
        """Make `name` a search that takes any phones in any order: the best that the sound can score."""
        self._sphinx.add_allphone_file(name, None)

    def listen_freely(self, name: str, language_model: str) -> None:
        """Make an n-gram model (the text of an ARPA file) the search `name`. Its words must be learnt."""
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "free.arpa"
            file.write_text(language_model, "utf-8")
            self._sphinx.add_lm_file(name, str(file))

    def best_path(self, name: str, samples: Samples) -> BestPath | None:
        """The best path of search `name`; None where the sound fits nothing, or is under a tenth of a second.

        For a grammar this may be an unfinished sentence: noise can keep every whole one from the end.
        """
        if len(samples) < _LEAST_SAMPLES:
            return None
        self._sphinx.activate_search(name)
        self._run(samples)
        best = self._sphinx.hyp()
        if best is None or not best.hypstr:
            return None
        return BestPath(tuple(map(_piece, self._sphinx.seg())), _ln(best.score))

    def states(self, samples: Samples) -> tuple[StateSpan, ...]:
        """The states of the words of the best path just found in these samples, silences too.

        RuntimeError where the engine cannot find them.
        """
        words = [segment.word for segment in self._sphinx.seg() if segment.word[0] not in "<[+("]
        self._sphinx.set_align_text(" ".join(words))
        self._run(samples)
        self._sphinx.set_alignment()
        self._run(samples)
        return tuple(
            StateSpan(phone.name, int(state.name), state.duration)
            for word in self._sphinx.get_alignment().words()
            for phone in word
            for state in phone
        )

    def _run(self, samples: Samples) -> None:
        self._sphinx.reinit_feat()  # else the noise of the notes before is taken out of this one as well
        self._sphinx.start_utt()
        self._sphinx.process_raw(samples.tobytes(), full_utt=True)
        self._sphinx.end_utt()


def _copy(
    automaton: Automaton, number: int, start: int, sentences: Sequence[str]
) -> Iterator[tuple[Any, ...]]:
    """The arcs of one accent's copy, from the common start to the common end behind it."""
    first, accent = number * automaton.states, ACCENTS[number]
    likely = likelihoods(automaton, sentences) if sentences else None
    yield start, first, 1.0
    for at, arc in enumerate(automaton.arcs):
        yield first + arc.start, first + arc.end, likely.arcs[at] if likely else 1.0, arc.word + accent
    for final in automaton.finals:
        yield first + final, start + 1, likely.ends[final] if likely else 1.0


def _names(word: str) -> tuple[str, ...]:
    """What the dictionary calls the ways to say a word: word, word(2), word(3) and so on."""
    return (word, *(f"{word}({number})" for number in _VARIANTS))


def _piece(segment: Any) -> Piece:
    return Piece(
        text=_VARIANT.sub("", segment.word),
        start=max(0, segment.start_frame),
        end=segment.end_frame + 1,
        score=_ln(segment.ascore),
    )


def _ln(score: float) -> float:
    return _COARSER * math.log(score) if score > 0 else -math.inf


def general_english(words: int) -> dict[str, float]:
    """The commonest words of the wheel's general model with their probabilities."""
    folder = Path(pocketsphinx.get_model_path()) / "en-us"
    logs = pocketsphinx.LogMath()
    model = pocketsphinx.NGramModel(pocketsphinx.Config(), logs, str(folder / "en-us.lm.bin"))
    listed = (line.split()[0] for line in (folder / "cmudict-en-us.dict").read_text("utf-8").splitlines())
    shares = {word: logs.exp(model.prob([word])) for word in listed if "(" not in word}
    return {word: shares[word] for word in sorted(shares, key=lambda each: -shares[each])[:words]}
