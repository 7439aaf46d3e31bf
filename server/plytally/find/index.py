"""The index in DATA/find.sqlite, brought up to date from the log before each question.

Another form of the index, another log (its epoch), or a log that is behind it: thrown away and built anew.
A file that SQLite cannot read is thrown away too; nothing is lost by that but seconds.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import TypeVar

from plytally.core.history import Logged
from plytally.find.rows import found
from plytally.store.log import BuildLog

T = TypeVar("T")
TOLD_EVERY = 500

INDEX_NAME = "find.sqlite"
FORM = "3"
"""Another number for another form of the index."""

_TABLES = """
CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE entries (
  number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, day TEXT NOT NULL, wall TEXT NOT NULL,
  kind TEXT NOT NULL, author TEXT NOT NULL, stands TEXT NOT NULL, photos INTEGER NOT NULL, line TEXT NOT NULL
);
CREATE INDEX by_kind ON entries (kind, number);
CREATE INDEX by_stands ON entries (stands, number);
CREATE INDEX by_author ON entries (author, number);
CREATE TABLE names (field TEXT NOT NULL, value TEXT NOT NULL, number INTEGER NOT NULL,
  PRIMARY KEY (field, value, number)) WITHOUT ROWID;
CREATE INDEX names_of ON names (number);
CREATE TABLE touched (part TEXT NOT NULL, side TEXT NOT NULL, number INTEGER NOT NULL,
  PRIMARY KEY (part, side, number)) WITHOUT ROWID;
CREATE INDEX touched_of ON touched (number);
CREATE VIRTUAL TABLE words USING fts5 (told, tokenize = "unicode61 remove_diacritics 2");
CREATE VIRTUAL TABLE loose USING fts5 (told, tokenize = "unicode61 remove_diacritics 2");
"""
Progress = Callable[[int, int], None]


class IndexClosed(RuntimeError):
    """The index was closed while it was being built; the next opening builds it."""


class Index:
    """The index of one log. Threads may share it; one asks at a time.

    `progress` is told how many entries of how many are in, while the index is built.
    """

    def __init__(self, log: BuildLog, progress: Progress | None = None) -> None:
        self._log, self._path = log, log.folder / INDEX_NAME
        self._progress = progress or (lambda done, whole: None)
        self._mutex, self._ending = threading.RLock(), threading.Event()
        self._open: sqlite3.Connection | None = None
        self._in_memory = False

    def ask(self, question: Callable[[sqlite3.Connection], T]) -> T:
        """What the question finds in the index, which is brought up to date first.

        A file that SQLite cannot read is thrown away, and the question asked once more. Where none can be
        written, as on a full disk, the index is made in memory.
        """
        with self._mutex, suppress(sqlite3.DatabaseError, OSError):
            return question(self._caught_up())
        with self._mutex, suppress(sqlite3.DatabaseError, OSError):
            self.throw_away()
            return question(self._caught_up())
        with self._mutex:
            self._give_back()
            self._in_memory = True
            try:
                return question(self._caught_up())
            except sqlite3.DatabaseError:
                self._give_back()
                self._in_memory = False
                raise

    def throw_away(self) -> None:
        """Forget the index; the next question builds it anew."""
        with self._mutex:
            self._give_back()
            for end in ("", "-wal", "-shm"):
                self._path.with_name(INDEX_NAME + end).unlink(missing_ok=True)

    def close(self) -> None:
        """Give the file back, also in the middle of building; a later question opens it again."""
        self._ending.set()
        with self._mutex:
            self._ending.clear()
            self._give_back()

    def _give_back(self) -> None:
        if self._open is not None:
            self._open.close()
            self._open = None

    def _caught_up(self) -> sqlite3.Connection:
        """The database with everything in it that the log has now."""
        head, epoch = self._log.journal.head.seq, self._log.journal.epoch
        db = self._database()
        about = dict(db.execute("SELECT name, value FROM about"))
        seen = int(about.get("seq", "0"))
        if (about.get("form"), about.get("epoch")) != (FORM, epoch) or seen > head:
            self.throw_away()
            db, seen = self._database(), 0
        if seen < head:
            self._take_in(db, seen, head, epoch)
        return db

    def _database(self) -> sqlite3.Connection:
        if self._open is None:
            if not self._in_memory:
                self._path.touch(mode=0o600)
            where = ":memory:" if self._in_memory else self._path
            self._open = sqlite3.connect(where, check_same_thread=False, isolation_level=None)
            self._open.execute("PRAGMA journal_mode = WAL")
            self._open.execute("PRAGMA synchronous = NORMAL")
            self._open.execute("PRAGMA cache_size = -65536")
            if not self._open.execute("SELECT 1 FROM sqlite_master WHERE name = 'about'").fetchone():
                self._open.executescript(f"BEGIN; {_TABLES} COMMIT;")
        return self._open

    def _take_in(self, db: sqlite3.Connection, seen: int, head: int, epoch: str) -> None:
        """Index again each entry that an operation behind `seen` is about."""
        state = self._log.state
        if seen == 0:
            concerned: Iterable[str] = state.entries.keys()
        else:
            concerned = dict.fromkeys(r.operation.entry_id for r in self._log.journal.read(seen))
        entries = [state.entries[each] for each in concerned if each in state.entries]
        db.execute("BEGIN IMMEDIATE")
        try:
            for done, logged in enumerate(entries):
                _put(db, logged, fresh=seen == 0)
                if done % TOLD_EVERY == 0:
                    self._progress(done, len(entries))
                    if self._ending.is_set():
                        raise IndexClosed("the index was closed before it was built")
            rows = (("form", FORM), ("epoch", epoch), ("seq", str(head)))
            db.executemany("INSERT OR REPLACE INTO about VALUES (?, ?)", rows)
            db.execute("COMMIT")
        except BaseException:
            db.execute("ROLLBACK")
            raise


def _put(db: sqlite3.Connection, logged: Logged, *, fresh: bool) -> None:
    """Write what can be found of an entry, in the place of what was written before."""
    one = found(logged)
    if not fresh:
        before = db.execute("SELECT number FROM entries WHERE id = ?", (one.id,)).fetchone()
        if before:
            for table in ("words", "loose"):
                db.execute(f"DELETE FROM {table} WHERE rowid = ?", before)  # noqa: S608 - our own names
            for table in ("names", "touched", "entries"):
                db.execute(f"DELETE FROM {table} WHERE number = ?", before)  # noqa: S608 - our own names
    row = (one.number, one.id, one.day, one.wall, one.kind, one.author, one.stands, one.photos, one.line)
    db.execute("INSERT INTO entries VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", row)
    db.execute("INSERT INTO words (rowid, told) VALUES (?, ?)", (one.number, one.words))
    if one.loose:
        db.execute("INSERT INTO loose (rowid, told) VALUES (?, ?)", (one.number, one.loose))
    db.executemany(
        "INSERT OR IGNORE INTO names VALUES (?, ?, ?)", [(*name, one.number) for name in one.names]
    )
    db.executemany(
        "INSERT OR IGNORE INTO touched VALUES (?, ?, ?)", [(*spot, one.number) for spot in one.touched]
    )
