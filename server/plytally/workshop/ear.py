"""A recogniser in a process of its own, so that hearing a backlog never holds up the server's answers.

One process, lower in priority than the server, started when the first recording comes. A recording
that ends the process (a fault in a library) is told as EarFailed and the next one gets a new process.
"""

from __future__ import annotations

import os
import threading
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait
from pathlib import Path

from plytally.core.hearing import Hearing
from plytally.core.listening import grammar
from plytally.core.vocabulary import Vocabulary
from plytally.speech.audio import decode
from plytally.speech.engines import open_engine
from plytally.speech.port import Recogniser, SpeechError

LOWER_PRIORITY = 10
_engines: list[Recogniser] = []


class EarFailed(SpeechError):
    """The process that hears ended without an answer."""


class Ear:
    """Hears recordings one after the other in another process. Not for two threads at once."""

    def __init__(self, data: Path, engine: str = "best", model: Path | None = None) -> None:
        self._engine = (data, engine, model)
        self._pool: ProcessPoolExecutor | None = None

    def hear(self, recording: bytes, name: str, vocabulary: Vocabulary) -> Hearing:
        """What the best engine hears in a recording. SpeechError if it cannot be heard."""
        if self._pool is None:
            self._pool = ProcessPoolExecutor(1, get_context("spawn"), _start, self._engine)
        try:
            return self._pool.submit(_hear, recording, name, vocabulary).result()
        except BrokenProcessPool as problem:
            self.close()
            raise EarFailed(f"{name}: the process that hears ended without an answer") from problem

    def close(self) -> None:
        """End the process; the next recording starts another one."""
        if self._pool is not None:
            self._pool.shutdown(cancel_futures=True)
            self._pool = None


def _start(data: Path, engine: str, model: Path | None) -> None:
    threading.Thread(target=_end_with_the_server, daemon=True).start()
    os.nice(LOWER_PRIORITY)
    _engines.append(open_engine(data, engine, model))


def _end_with_the_server() -> None:
    """A server that is killed cannot end this process; it would stay for ever, with its model in memory."""
    server = parent_process()
    if server is not None:
        wait([server.sentinel])
        os._exit(0)


def _hear(recording: bytes, name: str, vocabulary: Vocabulary) -> Hearing:
    return _engines[0].hear(decode(recording, name), grammar(vocabulary))
