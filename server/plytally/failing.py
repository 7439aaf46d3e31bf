"""How a command fails: one clear line on stderr, and an exit code of its own for each way.

2   the command itself was wrong          41  no such part, face or station
20  there is no such recording            42  a word cannot be used
21  the recording is empty                50  another plytally has the data folder
22  the recording is too long             51  the log is damaged
23  the file is no recording              52  the disk is full
30  a speech model is absent              53  another fault of the data folder
31  a speech model is not complete        54  a backup cannot be made there, or used
32  another fault in speech               60  a sum of shop arithmetic cannot be done as asked
40  the layup schedule cannot be used     70  the server cannot listen there
43  the stock list cannot be used         44  there is no log in that folder
45  an export cannot be made there        46  no log can be made from that export
71  the keys for phones cannot be made    72  the passphrase cannot be taken
73  the key for calls cannot be read      47  not all of a phone's file could be taken in
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

import click

from plytally.core.schedule import ScheduleError
from plytally.core.shop.errors import ShopError
from plytally.core.stock import StockError
from plytally.core.vocabulary import VocabularyError
from plytally.on_screen import plain
from plytally.record.errors import ExportRefused, ImportRefused, NoLog
from plytally.remind.keys import PushKeyError
from plytally.speech.audio import EmptySound, NotSound, SoundMissing, SoundTooLong
from plytally.speech.port import ModelAbsent, ModelIncomplete, SpeechError
from plytally.store.errors import BackupRefused, JournalDamaged, StoreError, StoreFull, StoreLocked
from plytally.web.desk import PassphraseError
from plytally.web.serve import ServeError
from plytally.web.tls import TlsError
from plytally.workshop.places import UnknownPlace

Command = TypeVar("Command", bound=Callable[..., Any])

LOG_DAMAGED = 51
NOT_ALL = 47

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
    (StockError, 43),
    (NoLog, 44),
    (ExportRefused, 45),
    (ImportRefused, 46),
    (StoreLocked, 50),
    (JournalDamaged, LOG_DAMAGED),
    (StoreFull, 52),
    (BackupRefused, 54),
    (StoreError, 53),
    (ShopError, 60),
    (ServeError, 70),
    (TlsError, 71),
    (PushKeyError, 73),
    (PassphraseError, 72),
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
            click.echo(f"plytally: {plain(str(problem))}", err=True)
            raise SystemExit(code) from problem

    return told  # type: ignore[return-value]  # wraps keeps the signature
