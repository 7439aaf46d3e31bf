"""How a command fails: one clear line on stderr, and an exit code of its own for each way.

2 the command itself was wrong         40 the layup schedule cannot be used
20 there is no such recording           41 no such part, face or station
21 the recording is empty               42 a word cannot be used
22 the recording is too long            50 another plytally has the data folder
23 the file is no recording             51 the log is damaged
30 a speech model is absent             52 the disk is full
31 a speech model is not complete       53 another fault of the data folder
32 another fault in speech              60 a sum of shop arithmetic cannot be done as asked
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

import click

from plytally.core.schedule import ScheduleError
from plytally.core.shop.errors import ShopError
from plytally.core.vocabulary import VocabularyError
from plytally.speech.audio import EmptySound, NotSound, SoundMissing, SoundTooLong
from plytally.speech.port import ModelAbsent, ModelIncomplete, SpeechError
from plytally.store.backup import BackupRefused
from plytally.store.errors import JournalDamaged, StoreError, StoreFull, StoreLocked
from plytally.workshop.bench import UnknownPlace

Command = TypeVar("Command", bound=Callable[..., Any])

LOG_DAMAGED = 51

# The first that fits counts, so a kind stands before the family it belongs to.
EXIT_CODES: tuple[tuple[type[Exception], int], ...] = (
    (SoundMissing, 20),
    (EmptySound, 21),
    (SoundTooLong, 22),
    (NotSound, 23),
    (ModelAbsent, 30),
    (ModelIncomplete, 31),
    (SpeechError, 32),
    (ScheduleError, 40),
    (UnknownPlace, 41),
    (VocabularyError, 42),
    (StoreLocked, 50),
    (JournalDamaged, LOG_DAMAGED),
    (StoreFull, 52),
    (BackupRefused, 54),
    (StoreError, 53),
    (ShopError, 60),
)


def exit_code(problem: Exception) -> int | None:
    """The exit code of a failure, None where it is none that a builder can mend."""
    return next((code for kind, code in EXIT_CODES if isinstance(problem, kind)), None)


def telling_failures(command: Command) -> Command:
    """End a command with its message and exit code where it failed in a way that is told of here."""

    @wraps(command)
    def told(*args: Any, **kwargs: Any) -> Any:
        try:
            return command(*args, **kwargs)
        except Exception as problem:
            code = exit_code(problem)
            if code is None:
                raise
            click.echo(f"plytally: {problem}", err=True)
            raise SystemExit(code) from problem

    return told  # type: ignore[return-value]  # wraps keeps the signature
