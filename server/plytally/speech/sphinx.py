"""The embedded engine: pocketsphinx and the English model in its wheel. Nothing to download.

It hears the phrasebook; speech outside of it comes back uncovered.
"""

from __future__ import annotations

import threading

from plytally.core.hearing import Hearing, Word
from plytally.core.listening import Grammar
from plytally.speech.conditioning import conditioned
from plytally.speech.decoder import Decoder, Path
from plytally.speech.port import Pcm16k

BEAMS = {"beam": 1e-60, "pbeam": 1e-60, "wbeam": 1e-40}


class SphinxRecogniser:
    """Hears a builder by grammar. One decoder, guarded by a lock; notes do not influence one another."""

    name = "pocketsphinx en-us"

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._decoder = Decoder(**BEAMS)
        self._grammar_heard_by = ""

    def hear(self, sound: Pcm16k, grammar: Grammar) -> Hearing:
        """The words in `sound`, by the grammar."""
        with self._lock:
            self._listen_by(grammar)
            path = self._decoder.path("phrases", conditioned(sound.samples))
        return self._hearing(path, sound)

    def _listen_by(self, grammar: Grammar) -> None:
        """Set the decoder to the grammar, unless it is set to it already."""
        if grammar.jsgf != self._grammar_heard_by:
            self._decoder.learn(grammar.words)
            self._decoder.listen_by("phrases", grammar.automaton)
            self._grammar_heard_by = grammar.jsgf

    def _hearing(self, path: Path | None, sound: Pcm16k) -> Hearing:
        pieces = path.pieces if path else ()
        return Hearing(
            words=tuple(Word(p.text, p.start, p.end, p.posterior) for p in pieces),
            covered=path is not None,
            engine=self.name,
            seconds=sound.seconds,
            remarks=sound.remarks,
        )
