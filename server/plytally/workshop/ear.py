"""A recogniser in a process of its own, so that hearing a backlog never holds up the server's answers.

Threads may share it; each waits for its turn. One process, lower in priority than the server, started when
the first recording comes. A recording that ends the process (a fault in a library) is told as EarFailed and
the next one gets a new process.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path
from typing import ParamSpec, TypeVar

from plytally.core.expecting import NOTHING, Expected
from plytally.core.hearing import Hearing
from plytally.core.vocabulary import Vocabulary
from plytally.speech.port import SpeechError
from plytally.speech.voice_learning import Learnt
from plytally.speech.ways_said import WaySaid
from plytally.workshop import ear_process

P = ParamSpec("P")
T = TypeVar("T")


class EarFailed(SpeechError):
    """The process that hears ended without an answer."""


class Ear:
    """Hears recordings one after the other in another process."""

    def __init__(self, data: Path, engine: str = "best", model: Path | None = None) -> None:
        self._engine = (data, engine, model)
        self._pool: ProcessPoolExecutor | None = None
        self._turn = threading.RLock()

    def hear(
        self,
        recording: bytes,
        name: str,
        vocabulary: Vocabulary,
        voice: Path | None = None,
        by: Expected = NOTHING,
    ) -> Hearing:
        """What the best engine hears in a recording, by the means in the file `voice`.

        `by` is what is to be expected in the shop.

        SpeechError if it cannot be heard.
        """
        return self._ask(name, ear_process.hear, recording, name, vocabulary, voice, by)

    def learn(self, said: Sequence[tuple[str, bytes]], vocabulary: Vocabulary) -> Learnt:
        """The voice of recordings, each with the words said in it; what cannot be heard is left out.

        TooLittleSpeech if too little is left, VoiceNotLearnt if the engine learns no voices.
        """
        return self._ask("the recordings", ear_process.learn, said, vocabulary)

    def ways_said(
        self, recording: bytes, name: str, texts: Sequence[str], heard: str, vocabulary: Vocabulary
    ) -> tuple[WaySaid, ...]:
        """How words were pronounced that were heard as others; see `speech.ways_said`."""
        return self._ask(name, ear_process.ways_said, recording, name, texts, heard, vocabulary)

    def _ask(self, name: str, work: Callable[P, T], *given: P.args, **named: P.kwargs) -> T:
        with self._turn:
            if self._pool is None:
                self._pool = ProcessPoolExecutor(1, get_context("spawn"), ear_process.start, self._engine)
            try:
                return self._pool.submit(work, *given, **named).result()
            except BrokenProcessPool as problem:
                self.close()
                raise EarFailed(f"{name}: the process that hears ended without an answer") from problem

    def close(self) -> None:
        """End the process; the next recording starts another one."""
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
            self._pool = None
