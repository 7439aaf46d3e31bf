"""The shop computer hears each arriving recording again, with its best engine.

What is still to be heard is worked out from the log (recordings of entries, less those that
`store.heard` has), so a killed server goes on where it was. Where the second hearing differs from what
the phone understood, the field gets a doubt with both; a field that a person has settled is left alone.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Protocol

import structlog

from plytally.core.body import KIND
from plytally.core.entry import FIELDS, Doubt, Entry, FieldValue, value_to_json
from plytally.core.expecting import NOTHING, Expected
from plytally.core.hearing import Hearing
from plytally.core.history import Attachment, Logged
from plytally.core.quantities import Quantity, format_quantity
from plytally.core.readback import shown
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary
from plytally.core.wall import wall_millis
from plytally.steady import Steady
from plytally.store.errors import MediaError, StoreError
from plytally.store.heard import HeardAgain
from plytally.store.log import BuildLog

SOUND = "sound"
DIFFERS = "the phone and the shop computer heard different things"
LOOK_EVERY_S = 5.0
log = structlog.get_logger()


class Hears(Protocol):
    """What hears a recording; `Ear` is the real one."""

    def hear(
        self,
        recording: bytes,
        name: str,
        vocabulary: Vocabulary,
        voice: Path | None = None,
        by: Expected = NOTHING,
    ) -> Hearing:
        """What is heard in a recording, by the voice in this file, in a shop where `by` is expected."""


class Words(Protocol):
    """What knows the builder's vocabulary now, and what goes on in the shop; `Bench` is the real one."""

    @property
    def vocabulary(self) -> Vocabulary:
        """The vocabulary now."""

    def expecting(self, author: str, before: int) -> Expected:
        """What was to be expected of a person's next note at that time (Unix milliseconds)."""


@dataclass(frozen=True)
class Pending:
    """A recording that is still to be heard."""

    entry: Logged
    sound: Attachment


class SecondHearing:
    """The queue of recordings to hear again, and the thread that works on it."""

    def __init__(
        self,
        build_log: BuildLog,
        words: Words,
        ear: Hears,
        voice_of: Callable[[str], Path | None] = lambda _device: None,
        *,
        leaning: bool = True,
    ) -> None:
        """`voice_of` gives the voice to hear a device's notes by.

        With `leaning` false what goes on in the shop does not count.
        """
        self._log, self._words, self._ear, self._voice_of = build_log, words, ear, voice_of
        self._leaning = leaning
        self._heard = HeardAgain(build_log.folder)
        self._again = deque[tuple[str, str]]()
        self._steady = Steady("second-hearing", self._work, LOOK_EVERY_S)

    def pending(self) -> list[Pending]:
        """What is still to be heard and is here, the oldest entry first."""
        return [
            Pending(logged, sound)
            for logged in self._log.state.order
            for sound in logged.attachments
            if sound.role == SOUND and sound.operation not in self._heard and sound.media in self._log.media
        ]

    def waiting(self) -> int:
        """How many recordings wait, for /health and the desk."""
        return len(self.pending())

    def given_up(self) -> int:
        """How many recordings could not be heard, for /health and the desk."""
        return self._heard.given_up

    def hear_next(self) -> bool:
        """Hear what was asked for again, else the oldest recording that waits; False where none does."""
        for pending in chain(self._asked_again(), self.pending()):
            self._hear(pending)
            return True
        return False

    def start(self) -> None:
        """Work on the queue in a thread until `close`."""
        self._steady.start()

    def again(self, entry_id: str) -> None:
        """Hear an entry's recordings once more before all others, because the words have changed."""
        logged = self._log.entry(entry_id)
        self._again.extend((entry_id, sound.operation) for sound in logged.attachments if sound.role == SOUND)
        self.nudge()

    def nudge(self) -> None:
        """Say that something may have arrived."""
        self._steady.nudge()

    def close(self) -> None:
        """Finish the recording that is being heard, and stop; the ear is left to whoever made it."""
        self._steady.close()

    def _asked_again(self) -> Iterator[Pending]:
        while self._again:
            entry_id, attachment = self._again.popleft()
            logged = self._log.state.entries.get(entry_id)
            for sound in logged.attachments if logged else ():
                if logged and sound.operation == attachment and sound.media in self._log.media:
                    yield Pending(logged, sound)

    def _work(self) -> bool:
        try:
            return self.hear_next()
        except StoreError as problem:
            log.error("second_hearing_stopped", problem=type(problem).__name__)
            return False

    def _hear(self, pending: Pending) -> None:
        try:
            hearing, again = self._listen(pending)
        except Exception as problem:  # whatever one recording does to a library, the next is heard
            if isinstance(problem, StoreError) and not isinstance(problem, MediaError):
                raise
            self._heard.keep(pending.sound.operation, pending.entry.id, None, (), str(problem))
            log.warning("not_heard_again", problem=type(problem).__name__)
            return
        differing = list(differences(pending.entry, again))
        for doubt, value in differing:
            self._log.amend(
                pending.entry.id, doubt.field, value, author="second hearing", why=DIFFERS, doubts=[doubt]
            )
        fields = [doubt.field for doubt, _ in differing]
        self._heard.keep(pending.sound.operation, pending.entry.id, hearing, fields, "")
        log.info("heard_again", differing=len(differing), engine=hearing.engine)

    def _listen(self, pending: Pending) -> tuple[Hearing, Entry]:
        """What is heard in the recording now, and the entry that makes."""
        sound, words = pending.sound, self._words.vocabulary
        name, voice = sound.name or sound.media[:12], self._voice_of(sound.device)
        logged, recording = pending.entry, self._log.media.read(sound.media)
        when = wall_millis(logged.wall)
        by = self._words.expecting(logged.author, when) if self._leaning else NOTHING
        hearing = self._ear.hear(recording, name, words, voice, by)
        return hearing, understand(hearing, words).entry or Entry("note", {"text": hearing.text})


def differences(logged: Logged, again: Entry) -> Iterator[tuple[Doubt, FieldValue | None]]:
    """Each field that the second hearing has otherwise, as a doubt with both, and the value that stays.

    Fields that were amended or settled since are left alone; so is the wording of a plain note, where
    two free guesses never agree.
    """
    noted, settled = logged.noted, set(logged.standing)
    if again.kind != noted.kind:
        if KIND not in settled:
            yield Doubt(KIND, shown(noted), shown(again), DIFFERS), logged.entry.kind
        return
    for name in dict.fromkeys((*noted.fields, *again.fields)):
        first, second = noted.fields.get(name), again.fields.get(name)
        if FIELDS[name].weighty and name not in settled and not _alike(first, second):
            yield Doubt(name, _told(first), _told(second), DIFFERS), first


def _alike(one: FieldValue | None, other: FieldValue | None) -> bool:
    return (one is None) == (other is None) and (
        one is None or value_to_json(one) == value_to_json(other or "")
    )


def _told(value: FieldValue | None) -> str:
    if value is None:
        return "not said"
    return format_quantity(value) if isinstance(value, Quantity) else str(value)
