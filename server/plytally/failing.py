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

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, TypeVar

import click

from plytally.on_screen import plain

Command = TypeVar("Command", bound=Callable[..., Any])

LOG_DAMAGED = 51
NOT_ALL = 47

# By their full names: only the module that has failed is loaded, so that a typed note need not wait for all.
EXIT_CODES: Mapping[str, int] = {
    "plytally.speech.audio.SoundMissing": 20,
    "plytally.speech.audio.EmptySound": 21,
    "plytally.speech.audio.SoundTooLong": 22,
    "plytally.speech.audio.NotSound": 23,
    "plytally.speech.port.ModelAbsent": 30,
    "plytally.speech.port.ModelIncomplete": 31,
    "plytally.speech.port.SpeechError": 32,
    "plytally.core.schedule.ScheduleError": 40,
    "plytally.workshop.places.UnknownPlace": 41,
    "plytally.core.vocabulary.VocabularyError": 42,
    "plytally.core.stock.StockError": 43,
    "plytally.record.errors.NoLog": 44,
    "plytally.record.errors.ExportRefused": 45,
    "plytally.record.errors.ImportRefused": 46,
    "plytally.store.errors.StoreLocked": 50,
    "plytally.store.errors.JournalDamaged": LOG_DAMAGED,
    "plytally.store.errors.StoreFull": 52,
    "plytally.store.errors.BackupRefused": 54,
    "plytally.store.errors.StoreError": 53,
    "plytally.core.shop.errors.ShopError": 60,
    "plytally.web.serve.ServeError": 70,
    "plytally.web.tls.TlsError": 71,
    "plytally.remind.keys.PushKeyError": 73,
    "plytally.web.desk.PassphraseError": 72,
}


def exit_code(problem: Exception) -> int | None:
    """The exit code of a failure, by its own kind or the family it belongs to.

    None where it is none that a builder can mend.
    """
    kinds = (f"{kind.__module__}.{kind.__qualname__}" for kind in type(problem).__mro__)
    return next((EXIT_CODES[kind] for kind in kinds if kind in EXIT_CODES), None)


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
