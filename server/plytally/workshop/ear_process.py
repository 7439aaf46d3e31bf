"""What runs in the process of `Ear`: the engines, and what is asked of them."""

from __future__ import annotations

import os
import threading
from collections.abc import Sequence
from multiprocessing import parent_process
from multiprocessing.connection import wait
from pathlib import Path

from plytally.core.expecting import Expected
from plytally.core.hearing import Hearing
from plytally.core.leaning import by_context
from plytally.core.listening import grammar
from plytally.core.vocabulary import Vocabulary
from plytally.speech.audio import decode
from plytally.speech.engines import open_engine
from plytally.speech.port import Recogniser, SpeechError
from plytally.speech.sphinx import SphinxRecogniser
from plytally.speech.voice_learning import Learnt, Said, learn_voice
from plytally.speech.ways_said import WaySaid, how_said

LOWER_PRIORITY = 10
MOST_VOICES = 3
"""Voices whose engines are kept ready; each takes about 60 MB."""

_engines: list[Recogniser] = []
_voices: dict[tuple[Path, int], SphinxRecogniser] = {}


class VoiceNotLearnt(SpeechError):
    """The engine learns no voices: a Vosk model is trained on many, and has no map to change."""


def start(data: Path, engine: str, model: Path | None) -> None:
    """Begin the process."""
    threading.Thread(target=_end_with_the_server, daemon=True).start()
    os.nice(LOWER_PRIORITY)
    _engines.append(open_engine(data, engine, model))


def _end_with_the_server() -> None:
    """A server that is killed cannot end this process; it would stay for ever, with its model in memory."""
    server = parent_process()
    if server is not None:
        wait([server.sentinel])
        os._exit(0)


def hear(recording: bytes, name: str, vocabulary: Vocabulary, voice: Path | None, by: Expected) -> Hearing:
    """What is heard in a recording, of this voice where the engine learns voices, with `by` expected."""
    listened = by_context(grammar(vocabulary), vocabulary, by)
    return _of_voice(voice).hear(decode(recording, name), listened)


def learn(said: Sequence[tuple[str, bytes]], vocabulary: Vocabulary) -> Learnt:
    """The voice of the recordings."""
    return learn_voice(list(_sounds(said)), grammar(vocabulary), _embedded())


def ways_said(
    recording: bytes, name: str, texts: Sequence[str], heard: str, vocabulary: Vocabulary
) -> tuple[WaySaid, ...]:
    """How words were pronounced that were heard as others."""
    _embedded()
    return how_said(decode(recording, name), texts, heard, grammar(vocabulary))


def _sounds(said: Sequence[tuple[str, bytes]]) -> list[Said]:
    found = []
    for text, recording in said:
        try:
            found.append(Said(text, decode(recording, text)))
        except SpeechError:
            continue  # a recording without sound teaches nothing
    return found


def _embedded() -> SphinxRecogniser:
    engine = _engines[0]
    if not isinstance(engine, SphinxRecogniser):
        raise VoiceNotLearnt(f"{engine.name} learns neither voices nor pronunciations")
    return engine


def _of_voice(voice: Path | None) -> Recogniser:
    engine = _engines[0]
    if voice is None or not isinstance(engine, SphinxRecogniser):
        return engine
    key = voice, voice.stat().st_mtime_ns
    made = _voices.pop(key, None) or SphinxRecogniser(voice)
    _voices[key] = made  # the last asked for is the last to go
    while len(_voices) > MOST_VOICES:
        del _voices[next(iter(_voices))]
    return made
