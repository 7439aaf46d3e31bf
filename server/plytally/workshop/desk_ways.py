"""Pronunciations proposed after a correction: how the builder said a word that was heard as another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Protocol

from plytally.core.history import Logged
from plytally.core.settled_words import said_after_all
from plytally.core.vocabulary import SOUNDS, Vocabulary
from plytally.speech.ways_said import WaySaid
from plytally.workshop.bench import Bench

Json = dict[str, Any]


class HearsWays(Protocol):
    """What holds a sound against pronunciations; `Ear` is the real one."""

    def ways_said(
        self, recording: bytes, name: str, texts: Sequence[str], heard: str, vocabulary: Vocabulary
    ) -> tuple[WaySaid, ...]:
        """How words were pronounced that were heard as others."""


def ways_proposed(bench: Bench, ear: HearsWays, entry_id: str) -> list[Json]:
    """Pronunciations that the recordings of a corrected entry speak for; nothing is changed by asking.

    Each is {"word", "phones", "heard", "better_by", "teach"}: the word that was settled, how it was said
    (phones of the CMU Pronouncing Dictionary), the words heard instead, by how much it fits better (a natural
    logarithm, 50 at least), and the body to send to POST /api/desk/words if the builder says yes. Empty
    where nothing was corrected, the sound is not here, or no other way fits clearly better. UnknownEntry if
    there is no such entry. Takes about as long as the note, so ask for it apart.
    """
    logged = bench.log.entry(entry_id)
    with bench.mutex:
        vocabulary = bench.vocabulary
        heard = logged.noted.said
        texts = said_after_all(heard, logged.entry, vocabulary)
    found: dict[tuple[str, str], Json] = {}
    for recording in _sounds(bench, logged) if texts else ():
        for way in ear.ways_said(recording, entry_id, texts, heard, vocabulary):
            found[way.word, way.phones] = way.as_json() | {"heard": heard, "teach": _teach(way, entry_id)}
    return list(found.values())


def _sounds(bench: Bench, logged: Logged) -> list[bytes]:
    here = (each.media for each in logged.attachments if each.role == "sound")
    return [bench.log.media.read(media) for media in here if media in bench.log.media]


def _teach(way: WaySaid, entry_id: str) -> Json:
    return {"list": SOUNDS, "name": way.word, "said_as": [way.phones.lower()], "entry": entry_id}
