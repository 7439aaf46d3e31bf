"""Which notes of a day's work a voice is learnt from, besides what was read aloud.

The words of such a recording must be known, and nobody is to be asked for them. Two kinds of notes say them
by themselves: those that were accepted at the desk as they were heard, and those that phone and shop
computer heard alike, word for word, with nothing in doubt and nothing changed since.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import islice

from plytally.core.desk.acts import ACCEPTED, accepted
from plytally.core.entry import Entry
from plytally.core.hearing import Hearing, typed
from plytally.core.history import Attachment, Logged
from plytally.core.rivals import listened
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary
from plytally.store.heard import HeardAgain
from plytally.workshop.bench import Bench

MOST_NOTES = 100
"""Notes of a day's work that a voice is learnt from: the newest."""

LOOK_BACK = 400
"""Recorded notes of a phone, the newest, among which they are looked for."""


@dataclass(frozen=True)
class Material:
    """A recording to learn from: its address, the words said in it, and when (Unix milliseconds; 0: read)."""

    text: str
    media: str
    millis: int = 0


class Lessons:
    """The notes of one shop that teach."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._known: dict[str, tuple[Logged, Vocabulary, bool]] = {}

    def of(self, device: str) -> list[Material]:
        """What this phone's notes teach, the newest first."""
        return list(islice(self._teaching(device), MOST_NOTES))

    def _teaching(self, device: str) -> Iterator[Material]:
        own = (each for each in reversed(self._bench.log.state.order) if each.device == device)
        recorded = ((each, sound) for each in own if (sound := _only_sound(each)) is not None)
        for logged, sound in islice(recorded, LOOK_BACK):
            if self._is_sure(logged, sound) and sound.media in self._bench.log.media:
                yield Material(logged.noted.said, sound.media, logged.happened_millis)

    def _is_sure(self, logged: Logged, sound: Attachment) -> bool:
        """Whether nothing is in doubt, and the words of the note are those that were said."""
        if logged.withdrawn is not None or logged.entry.doubts:
            return False
        if accepted(logged) is None and not self._passed(logged, sound):
            return False
        vocabulary = self._bench.vocabulary
        known = self._known.get(logged.id)
        if known is None or known[0] is not logged or known[1] is not vocabulary:
            known = logged, vocabulary, _says(logged.noted.said, logged.entry, vocabulary)
            self._known[logged.id] = known
        return known[2]

    def _passed(self, logged: Logged, sound: Attachment) -> bool:
        """Whether it was never in doubt, nobody touched it, and it was heard again just as it was noted."""
        if logged.noted.doubts or any(change.field != ACCEPTED for change in logged.changes):
            return False
        row = self._heard.of_entry(logged.id).get(sound.operation, {}).get("heard")
        if not row:
            return False
        again = Hearing.from_json(row)
        sure = again.covered and not any(word.runner_up for word in again.words)
        return sure and again.text == logged.noted.said

    @cached_property
    def _heard(self) -> HeardAgain:
        return HeardAgain(self._bench.log.folder)


def _says(said: str, entry: Entry, vocabulary: Vocabulary) -> bool:
    """Whether the words are a sentence that is listened for, and mean the entry as it stands."""
    if not listened(vocabulary).accepts(tuple(said.split())):
        return False
    meant = understand(typed(said), vocabulary).entry
    return meant is not None and (meant.kind, meant.fields) == (entry.kind, entry.fields)


def _only_sound(logged: Logged) -> Attachment | None:
    """The recording of a note; None where there is none, or more than one."""
    sounds = [each for each in logged.attachments if each.role == "sound"]
    return sounds[0] if len(sounds) == 1 else None
