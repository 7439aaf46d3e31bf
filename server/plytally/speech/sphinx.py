"""The embedded engine: pocketsphinx and the English model in its wheel. Nothing to download.

It hears the phrasebook, holds what it heard against free phones (is it a phrase at all?) and against what
else each field could have been (is the number sure?). Speech outside of the phrasebook is heard freely, by
a model of the phrasebook mixed with general English, and comes back uncovered.
"""

from __future__ import annotations

import math
import threading
from collections.abc import Mapping, Sequence
from pathlib import Path

from plytally.core.hearing import Hearing, Word
from plytally.core.judging import (
    FURTHEST,
    Found,
    found_by,
    heard_automaton,
    is_a_phrase,
    rivals_automaton,
    weighed,
)
from plytally.core.listening import Grammar, Rival
from plytally.core.paths import FRAMES_A_SECOND, BestPath, Sounded
from plytally.speech.conditioning import conditioned, loud_over_quiet_db
from plytally.speech.decoder import Decoder, general_english
from plytally.speech.free_model import arpa
from plytally.speech.port import Pcm16k, Samples
from plytally.speech.sphinx_model import is_from_notes

# Set on tests/bench (tuning voices). `compallsen` makes the scores of different searches comparable.
SETTINGS = {"beam": 1e-80, "pbeam": 1e-80, "wbeam": 1e-60, "wip": 0.1, "compallsen": True}
LEAST_OVER_NOISE_DB = 3.2  # measured: steady noise 0 to 3.1, speech at 5 dB from 4.2 on; below is no speech
A_GUESS = 0.3  # the confidence of words heard freely
GENERAL_WORDS = 5000  # of general English, heard besides the phrasebook's own


class SphinxRecogniser:
    """Hears a builder by grammar. One decoder, guarded by a lock; notes do not influence one another."""

    def __init__(self, voice: Path | None = None) -> None:
        """`voice` is the file of a voice's means (`sphinx_model.means_file`), None for anybody's."""
        self._lock, self._learnt = threading.Lock(), voice is not None and not is_from_notes(voice)
        self.name = "pocketsphinx en-us" if voice is None else "pocketsphinx en-us, voice learnt"
        self._decoder = Decoder(**SETTINGS, **({} if voice is None else {"mean": str(voice)}))
        self._decoder.listen_to_phones("phones")
        self._grammar_heard_by: tuple[str, Mapping[str, tuple[str, ...]]] = "", {}
        self._free_besides = ""

    def hear(self, sound: Pcm16k, grammar: Grammar) -> Hearing:
        """The words in `sound`, by the grammar; freely where they are none of its sentences."""
        with self._lock:
            self._listen_by(grammar)
            if loud_over_quiet_db(sound.samples) < LEAST_OVER_NOISE_DB:
                return self._hearing((), sound, covered=False)
            samples = conditioned(sound.samples)
            path = self._decoder.best_path("phrases", samples)
            phones = self._decoder.best_path("phones", samples)
            heard = None if path is None else Sounded(path, phones, self._learnt)
            if heard is None or not is_a_phrase(heard, grammar.automaton):
                return self._hearing(self._freely(samples, grammar), sound, covered=False)
            found = self._found(heard.path, samples, grammar)
            return self._hearing(weighed(heard, found, grammar), sound, covered=True)

    def _listen_by(self, grammar: Grammar) -> None:
        """Set the decoder to the grammar, unless it is set to it already."""
        if (grammar.jsgf, grammar.sounds) != self._grammar_heard_by:
            self._decoder.learn(grammar.words, grammar.sounds)
            self._decoder.listen_by("phrases", grammar.automaton, grammar.sentences)
            self._grammar_heard_by = grammar.jsgf, grammar.sounds

    def _found(self, path: BestPath, samples: Samples, grammar: Grammar) -> list[Found]:
        """The closest rival of each doubtful field. One search finds the closest of all: it stops early.

        Where a search loses every rival on the way, they fit so badly that none is asked about.
        """
        self._decoder.listen_by("heard", heard_automaton(path.words))
        heard, text = self._decoder.best_path("heard", samples) or path, " ".join(path.words)
        left = [rival for rival in grammar.rivals(text) if rival.others]
        likely = grammar.likely(text, left)
        found = self._closest(likely, heard, samples) if likely else []
        margin = -math.inf
        while left and margin < FURTHEST:
            closest = self._closest(left, heard, samples)
            if not closest:
                break
            found += closest
            margin = closest[0].margin
            left.remove(closest[0].rival)
        return found

    def _closest(self, rivals: Sequence[Rival], heard: BestPath, samples: Samples) -> list[Found]:
        """Which of the rivals comes closest; empty where none fits at all."""
        self._decoder.listen_by("rivals", rivals_automaton(rivals))
        closest = found_by(rivals, heard, self._decoder.best_path("rivals", samples))
        return [] if closest is None else [closest]

    def _freely(self, samples: Samples, grammar: Grammar) -> tuple[Word, ...]:
        if grammar.jsgf != self._free_besides:
            self._decoder.listen_freely("free", arpa(grammar.sentences, general_english(GENERAL_WORDS)))
            self._free_besides = grammar.jsgf
        path = self._decoder.best_path("free", samples)
        return tuple(
            Word(piece.text, piece.start / FRAMES_A_SECOND, piece.end / FRAMES_A_SECOND, A_GUESS)
            for piece in (path.spoken if path else ())
        )

    def _hearing(self, words: tuple[Word, ...], sound: Pcm16k, *, covered: bool) -> Hearing:
        return Hearing(
            words=words, covered=covered, engine=self.name, seconds=sound.seconds, remarks=sound.remarks
        )
