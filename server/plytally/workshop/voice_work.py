"""The thread that learns voices: when a phone asks, and by itself once enough notes teach it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import structlog

from plytally.core.merge import State
from plytally.core.vocabulary import Vocabulary
from plytally.speech.port import SpeechError
from plytally.speech.voice_fit import TooLittleSpeech
from plytally.speech.voice_learning import Learnt
from plytally.steady import Steady
from plytally.store.errors import MediaError, StoreError
from plytally.workshop.bench import Bench
from plytally.workshop.lessons import Material
from plytally.workshop.voices import Voices

LOOK_EVERY_S = 5.0

log = structlog.get_logger()


class Learns(Protocol):
    """What learns a voice; `Ear` is the real one."""

    def learn(self, said: Sequence[tuple[str, bytes]], vocabulary: Vocabulary) -> Learnt:
        """The voice of recordings, each with the words said in it."""


class VoiceWork:
    """Learns the voices that are wanted, one after the other."""

    def __init__(self, bench: Bench, voices: Voices, ear: Learns) -> None:
        self._bench, self._voices, self._ear = bench, voices, ear
        self._counted = State()
        self._steady = Steady("voices", self._work, LOOK_EVERY_S)

    def start(self) -> None:
        """Work in a thread until `close`."""
        self._steady.start()

    def nudge(self) -> None:
        """Say that a voice is wanted."""
        self._steady.nudge()

    def close(self) -> None:
        """Finish what is being learnt, and stop."""
        self._steady.close()

    def waiting(self) -> int:
        """How many voices wait, for /health."""
        return len(list(self._voices.wanted()))

    def learn_next(self) -> bool:
        """Learn one voice that is wanted; False where none is."""
        for device in self._changed():
            self._voices.want_unasked(device)
        for device in self._voices.wanted():
            self._learn(device)
            return True
        return False

    def _learn(self, device: str) -> None:
        said = [pair for pair in map(self._read, self._voices.material(device)) if pair is not None]
        try:
            learnt = self._ear.learn(said, self._bench.vocabulary)
        except (SpeechError, TooLittleSpeech) as problem:
            self._voices.not_learnt(device, str(problem))
            log.warning("voice_not_learnt", problem=type(problem).__name__)
            return
        self._voices.keep(device, learnt)
        fitted = learnt.fitted
        log.info("voice_learnt", notes=fitted.notes, gain=round(fitted.gain, 2), helps=learnt.helps)

    def _read(self, material: Material) -> tuple[str, bytes] | None:
        try:
            return material.text, self._bench.log.media.read(material.media)
        except MediaError:
            return None

    def _changed(self) -> frozenset[str]:
        """The phones of whose notes something is new."""
        state = self._bench.log.state
        found = frozenset(logged.device for logged in state.changed_since(self._counted))
        self._counted = state
        return found

    def _work(self) -> bool:
        try:
            return self.learn_next()
        except StoreError as problem:
            log.error("voices_stopped", problem=type(problem).__name__)
            return False
