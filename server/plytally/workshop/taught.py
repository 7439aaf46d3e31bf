"""Words that were taught: each a plain note of the log that says so, and a row beside it with how it is said.

    words   {"list", "name", "said_as", "note", "entry", "heard"}   a row each time something was taught

A row counts while its note stands. Whoever withdraws the note, at the desk or on a phone, takes the word
back, and bringing the note back teaches it again; the log says who did so and when. Rows that lack a note are
of an earlier version: they count, and get one when they are taken back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from tinydb import where

from plytally.clock import fresh_id
from plytally.core.body import TAUGHT
from plytally.core.desk.acts import YES
from plytally.core.desk.asker import ACCEPTED, Act
from plytally.core.entry import Entry
from plytally.core.merge import State
from plytally.core.schedule import Schedule
from plytally.core.vocabulary import SOUNDS, Vocabulary, VocabularyError, from_schedule
from plytally.store.log import BuildLog

Row = Mapping[str, Any]
Words = dict[str, dict[str, list[str]]]
TABLE = "words"
TAKEN_BACK, TAUGHT_AGAIN = "taken back", "taught again"


class NotTaught(VocabularyError):
    """A word that was never taught, or that stands as was asked already; the message says which."""


@dataclass(frozen=True)
class Lesson:
    """Something to be taught: the list, the name, and ways of saying it (phones for a pronunciation).

    `entry` is the entry from which it was learnt and `heard` what its recording was heard as until then,
    both "" where there was none.
    """

    list: str
    name: str
    said_as: tuple[str, ...]
    entry: str = ""
    heard: str = ""

    def as_row(self, note: str) -> dict[str, Any]:
        """The row that is kept of it."""
        ways = {"list": self.list, "name": self.name, "said_as": list(self.said_as)}
        return ways | {"note": note, "entry": self.entry, "heard": self.heard}


class TaughtWords:
    """The own words of one log over its print. Threads that change something hold the bench's mutex."""

    def __init__(self, log: BuildLog, schedule: Schedule) -> None:
        self._log, self._schedule = log, schedule
        self._seen, self._notes = State(), frozenset[str]()
        self._vocabulary = Vocabulary()
        self._look()

    @property
    def vocabulary(self) -> Vocabulary:
        """The trade's words, the print's, and those that were taught and stand."""
        state = self._log.state
        if state is not self._seen:
            if any(each.id in self._notes for each in state.changed_since(self._seen)):
                self._look()
            self._seen = state
        return self._vocabulary

    def teach(self, lesson: Lesson, author: str) -> str:
        """Keep what is taught, durably; the id of its note. VocabularyError says why it cannot be used."""
        self._check(lesson.as_row(""))
        note = fresh_id()
        with self._log.documents.table(TABLE) as table:
            table.insert(lesson.as_row(note))
        self._tell(note, lesson.as_row(note), author)
        self._look()
        return note

    def take_back(self, row: Row, author: str) -> None:
        """Let what was taught count no more. NotTaught if it was taken back before."""
        if is_taken_back(row, self._log.state):
            raise NotTaught(f"{row['name']!r} was taken back already")
        note = row.get("note") or self._given_a_note(row)
        self._tell(note, row, author)
        self._log.withdraw(note, TAKEN_BACK, author=author)
        self._look()

    def teach_again(self, row: Row, author: str) -> None:
        """Let what was taken back count again. NotTaught if it does, VocabularyError if it cannot."""
        if not is_taken_back(row, self._log.state):
            raise NotTaught(f"{row['name']!r} is listened for; there is nothing to teach again")
        self._check(row)
        self._log.bring_back(row["note"], author=author, why=TAUGHT_AGAIN)

    def named(self, list_name: str, name: str, note: str) -> dict[str, Any]:
        """The row with this note; the one of this name where it has none. NotTaught if there is none."""
        for row in rows_of(self._log):
            if (row["list"], row["name"], row.get("note", "")) == (list_name, name, note):
                return row
        raise NotTaught(f"{name!r} of the list {list_name!r} was not taught; look at the list again")

    def take_back_name(self, list_name: str, name: str, author: str) -> int:
        """Take back all that was taught of a name; how much that was. NotTaught if there is nothing."""
        found = [row for row in rows_of(self._log) if (row["list"], row["name"]) == (list_name, name)]
        standing = [row for row in found if not is_taken_back(row, self._log.state)]
        if not standing:
            raise NotTaught(f"{list_name} has no {name!r} that was taught and stands")
        for row in standing:
            note = row.get("note") or self._given_a_note(row)
            if not is_taken_back({"note": note}, self._log.state):
                self.take_back({**row, "note": note}, author)
        return len(standing)

    def _look(self) -> None:
        rows, self._seen = rows_of(self._log), self._log.state
        self._notes = frozenset(row["note"] for row in rows if row.get("note"))
        self._vocabulary = from_schedule(self._schedule, standing_words(rows, self._seen, self._schedule))

    def _check(self, row: Row) -> None:
        self.vocabulary.with_words({row["list"]: {row["name"]: list(row["said_as"])}})

    def _given_a_note(self, row: Row) -> str:
        note = fresh_id()
        alike = (where("list") == row["list"]) & (where("name") == row["name"]) & ~where("note").exists()
        with self._log.documents.table(TABLE) as table:
            table.update({"note": note}, alike)
        return note

    def _tell(self, note: str, row: Row, author: str) -> None:
        """Note in the log what was taught, accepted by who taught it; nothing if it is there."""
        if note in self._log.state.entries:
            return
        entry = Entry("note", {"text": told(row)})
        body: dict[str, Any] = {"entry": entry.as_json(), "doubts": [], "hearing": None, "author": author}
        marked, said = fresh_id(), {"author": author, "why": ""}
        self._log.perform(
            [
                Act(note, "note", None, body),
                Act(marked, "resolve", note, {"field": TAUGHT, "value": row["list"], "over": [], **said}),
                Act(
                    fresh_id(),
                    "resolve",
                    note,
                    {"field": ACCEPTED, "value": YES, "over": [note, marked], **said},
                ),
            ]
        )


def rows_of(log: BuildLog) -> list[dict[str, Any]]:
    """Everything that was ever taught, the first first, also what was taken back."""
    with log.documents.table(TABLE) as table:
        return [dict(row) for row in table.all()]


def is_taken_back(row: Row, state: State) -> bool:
    """Whether the note of what was taught is withdrawn."""
    noted = state.entries.get(row.get("note", ""))
    return noted is not None and noted.withdrawn is not None


def standing_words(rows: Iterable[Row], state: State, schedule: Schedule) -> Words:
    """The words that count, by list, as `Vocabulary.with_words` takes them.

    What would be said for two things by now, because the print or a later word took its way of being said,
    is left out: it must not keep the shop from opening.
    """
    standing = [row for row in rows if not is_taken_back(row, state)]
    vocabulary, words = from_schedule(schedule), Words()
    for row in standing:
        _add(words, row)
    if _fits(vocabulary, words):
        return words
    fitting = Words()
    for row in standing:
        tried = {name: {each: list(ways) for each, ways in names.items()} for name, names in fitting.items()}
        _add(tried, row)
        fitting = tried if _fits(vocabulary, tried) else fitting
    return fitting


def told(row: Row) -> str:
    """What the note of something taught says.

    >>> told({"list": "sounds", "name": "spar", "said_as": ["s p aa"]})
    'taught: “spar” is also pronounced S P AA'
    """
    if row["list"] == SOUNDS:
        return f"taught: “{row['name']}” is also pronounced {' or '.join(row['said_as']).upper()}"
    ways = " or ".join(f"“{way}”" for way in row["said_as"])
    return f"taught: {row['name']}, one of the {row['list']}, is said {ways}"


def _add(words: Words, row: Row) -> None:
    """Further ways of saying a name; a row of an earlier version holds all that were known."""
    names = words.setdefault(row["list"], {})
    before = names.get(row["name"], []) if row.get("note") else []
    names[row["name"]] = list(dict.fromkeys([*before, *row["said_as"]]))


def _fits(vocabulary: Vocabulary, words: Words) -> bool:
    try:
        vocabulary.with_words(words)
    except VocabularyError:
        return False
    return True
