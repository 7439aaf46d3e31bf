"""One builder at work: a note in, an entry, a change or an answer out, all of it in the log.

Every entry is held against the print before it is kept, so that a repeated layup comes back as a doubt.
Nothing here is ever refused because of what was said: what has no meaning is kept as a plain note.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Self

from plytally.clock import Clock, MachineClock, local_zone
from plytally.core import clock_answers
from plytally.core.answering import answered, catch_up, dated
from plytally.core.checking import check_new
from plytally.core.clock_acts import started_told, with_due
from plytally.core.clocks import ClockBook
from plytally.core.correcting import CorrectionError, correction
from plytally.core.crediting import Dated
from plytally.core.doubting import doubts_of_fields
from plytally.core.entry import PLACE, Doubt, Entry, FieldValue, Place
from plytally.core.expecting import Expected, expected
from plytally.core.hearing import Hearing
from plytally.core.history import Logged
from plytally.core.ledger import Ledger
from plytally.core.listening import Grammar, grammar
from plytally.core.merge import State
from plytally.core.pot_life import ResinTimes
from plytally.core.readback import asked, shown
from plytally.core.schedule import Schedule
from plytally.core.understand import Context, Understanding, understand
from plytally.core.vocabulary import Vocabulary
from plytally.core.wall import Wall
from plytally.core.worked_told import hours_told, time_doubts
from plytally.resting import collector_resting
from plytally.store.log import BuildLog, Recording
from plytally.workshop.places import place_named
from plytally.workshop.print_copy import resin_times
from plytally.workshop.print_shelf import PrintShelf
from plytally.workshop.taught import Lesson, TaughtWords

CORRECTION = "correction"
"""The role of a sound that changed an entry; the sound it was made from has the role "sound"."""

FOR_THE_PHONE = "understood; this is for the phone, the shop computer has no camera"
NOTHING_BEFORE = "there is no entry before this one to change"


@dataclass(frozen=True)
class Reply:
    """What came of a note: what was understood, what to say back, and the entry that it made or changed."""

    understood: Understanding
    lines: tuple[str, ...]
    logged: Logged | None = None


class Bench:
    """The log, the print and the words of one builder, in one data folder.

    Threads that share one hold `mutex` while they understand something or look at the ledger: the ledger
    is brought up to date in place.
    """

    def __init__(self, log: BuildLog, clock: Clock | None = None) -> None:
        self.clock, self.log, self.mutex = clock or MachineClock(), log, threading.RLock()
        self.shelf = PrintShelf(log.folder, log.documents)
        self._use(self.shelf.current())

    @classmethod
    def open(cls, folder: Path, clock: Clock | None = None) -> Self:
        """The bench over the log in a data folder, which is made if it is missing."""
        log = BuildLog(folder, clock)
        try:
            return cls(log, clock)
        except BaseException:
            log.close()
            raise

    def _use(self, schedule: Schedule) -> None:
        self.schedule = schedule
        self.taught = TaughtWords(self.log, schedule)
        self._ledger = Ledger(schedule)
        self._counted: State | None = None
        self._clocks, self._clocked = ClockBook(self.resin_times()), State()

    def begin_anew(self) -> None:
        """Count from the start, because another log, print and words took the place of those before."""
        self._use(self.shelf.current())

    def take_schedule(self, file: Path) -> Schedule:
        """Make a schedule file the print that counts from now on."""
        self._use(self.shelf.take(file, self.now()))
        return self.schedule

    def take_text(self, text: str, kind: str) -> Schedule:
        """The same for text, "yaml" or "csv"."""
        self._use(self.shelf.take_text(text, self.now(), kind))
        return self.schedule

    @property
    def vocabulary(self) -> Vocabulary:
        """The trade's words, the print's, and the builder's own that were taught and stand."""
        return self.taught.vocabulary

    def add_words(self, list_name: str, name: str, said_as: list[str], author: str = "builder") -> None:
        """Add a word of the builder's own; VocabularyError says why one cannot be used."""
        self.taught.teach(Lesson(list_name, name, tuple(said_as)), author)

    def resin_times(self) -> ResinTimes:
        """What the makers' sheets say, as the builder gave it and as the print does."""
        return resin_times(self.log.documents).with_print(self.schedule)

    def now(self) -> Wall:
        """The time now, with the local offset."""
        return Wall(self.clock.now_millis(), self.clock.offset_min())

    def grammar(self) -> Grammar:
        """What a recogniser listens by for this builder."""
        return grammar(self.vocabulary)

    @property
    def ledger(self) -> Ledger:
        """Laid against asked, up to date with the log."""
        state, earlier = self.log.state, self._counted
        if earlier is not None:
            catch_up(self._ledger, state, earlier)
        else:
            with collector_resting():
                self._ledger = Ledger(self.schedule, map(dated, state.entries.values()))
                self._ledger.settle()
        self._counted = state
        return self._ledger

    def expecting(self, author: str, before: int) -> Expected:
        """What the log and the print make likely for the next note of a person (Unix milliseconds)."""
        with self.mutex:
            theirs = (each for each in reversed(self.log.state.order) if each.author == author)
            return expected(self.ledger, map(dated, theirs), before)

    @property
    def clocks(self) -> ClockBook:
        """The clocks that run, up to date with the log."""
        state, earlier = self.log.state, self._clocked
        self._clocks.take(state.changed_since(earlier))
        self._clocked = state
        return self._clocks

    def entries(self) -> list[Dated]:
        """All entries, the first done first."""
        return [dated(logged) for logged in self.log.state.order]

    def _counting(self) -> Iterator[Logged]:
        return (each for each in reversed(self.log.state.order) if each.is_work)

    def last(self) -> Logged | None:
        """The newest entry that counts."""
        return next(self._counting(), None)

    def meaning(self, hearing: Hearing, instead_of: Sequence[Logged] = ()) -> Understanding:
        """What a hearing means now, with the doubts that the print raises; nothing is kept.

        `instead_of` are entries that it would take the place of: the print is asked as if they were not.
        """
        understood = understand(hearing, self.vocabulary, self._context())
        if understood.entry is None or not self.schedule.parts:
            return understood
        mine = {doubt.field for doubt in understood.doubts}
        told = time_doubts(self.log.state.order, understood.entry, str(self.now()))
        theirs = (*self._held_against_print(understood.entry, instead_of), *told)
        return replace(understood, doubts=(*understood.doubts, *(d for d in theirs if d.field not in mine)))

    def _held_against_print(self, entry: Entry, instead_of: Sequence[Logged]) -> tuple[Doubt, ...]:
        ledger = self.ledger
        for logged in instead_of:
            ledger.add(replace(dated(logged), withdrawn=True))
        try:
            return check_new(ledger, entry, str(self.now()))
        finally:
            for logged in instead_of:
                ledger.add(dated(logged))

    def _context(self) -> Context:
        """Where the last entry that named a part was about."""
        said = next((each.entry.fields for each in self._counting() if "part" in each.entry.fields), {})
        return Context({name: str(said[name]) for name in PLACE if name in said})

    def place(self, text: str) -> Place:
        """The place that some words name; all of the aeroplane for none. UnknownPlace names near ones."""
        return place_named(text, self.vocabulary, self.schedule)

    def take(self, hearing: Hearing, recording: Recording | None = None, author: str = "builder") -> Reply:
        """Do what a note says: keep an entry, change the one before, or answer."""
        understood = self.meaning(hearing)
        now = self.now()
        if understood.entry is not None:
            entry = with_due(understood.entry, now, local_zone(now.millis))
            tail = started_told(entry, now, self.clocks)
            note = self.log.record(entry, hearing, author, recording)
            logged = self.log.entry(note.id)
            return Reply(understood, (*told(logged.entry), *tail), logged)
        if understood.makes == "question":
            lines = self._answer(understood, str(now))
            if recording is not None:
                self.log.media.keep(recording.content)
            return Reply(understood, lines)
        return self._command(understood, recording, author)

    def _answer(self, understood: Understanding, now: str) -> tuple[str, ...]:
        if understood.name in clock_answers.QUESTIONS:
            return clock_answers.answer(understood.name, understood.fields, self.clocks, self.entries(), now)
        if understood.name == "hours_worked":
            where = Place(**{name: str(understood.fields.get(name, "")) for name in PLACE})
            return hours_told(self.log.state.order, where, self.schedule)
        return answered(understood, self.ledger, self.entries(), now, self.clocks.times)

    def _command(self, understood: Understanding, recording: Recording | None, author: str) -> Reply:
        last = self.last()
        if understood.name == "new_photo":
            return self._for_the_phone(understood, recording, author)
        if understood.name in clock_answers.COMMANDS:
            return self._clock_command(understood, recording, author)
        if last is None:
            return Reply(understood, (NOTHING_BEFORE,))
        if recording is not None:
            self.log.attach(last.id, replace(recording, role=CORRECTION), author=author)
        lines = tuple(getattr(self, f"_{understood.name}")(last, understood, author))
        return Reply(understood, lines, self.log.entry(last.id))

    def _clock_command(self, understood: Understanding, recording: Recording | None, author: str) -> Reply:
        name, fields, said = understood.name, understood.fields, understood.said
        done = clock_answers.command(name, fields, said, self.clocks, self.now())
        for act in done.acts:
            body = act["body"]
            self.log.amend(act["target"], body["field"], body["value"], author=author, why=said)
        if recording is not None and done.target is not None:
            self.log.attach(done.target, replace(recording, role=CORRECTION), author=author)
        return Reply(understood, done.lines, self.log.entry(done.target) if done.target else None)

    def _for_the_phone(self, understood: Understanding, recording: Recording | None, author: str) -> Reply:
        note = self.log.record(
            Entry("note", {"text": understood.said}, understood.said), None, author, recording
        )
        return Reply(understood, (FOR_THE_PHONE,), self.log.entry(note.id))

    def _scratch(self, last: Logged, understood: Understanding, author: str) -> Iterator[str]:
        self.log.withdraw(last.id, understood.said, author=author)
        yield f"scratched: {shown(last.entry)}"

    def _make_it(self, last: Logged, understood: Understanding, author: str) -> Iterator[str]:
        doubted = [doubt.field for doubt in last.entry.doubts]
        try:
            changes = correction(last.entry, doubted, understood.fields)
        except CorrectionError as problem:
            yield f"nothing is changed: {problem}"
            return
        for name, value in changes.items():
            doubts = self._doubts_of_change(last.entry, name, value, understood.doubts)
            self.log.amend(last.id, name, value, author=author, why=understood.said, doubts=doubts)
        yield from told(self.log.entry(last.id).entry)

    def _doubts_of_change(
        self, entry: Entry, name: str, value: FieldValue, heard: tuple[Doubt, ...]
    ) -> list[Doubt]:
        """What was doubted in the correction's own words, and what the new value itself raises."""
        own = [replace(doubt, field=name) for doubt in heard if doubt.field in {name, "number"}]
        fields = {**entry.fields, name: value}
        return own or [
            doubt for doubt in doubts_of_fields(entry.kind, fields, self.vocabulary) if doubt.field == name
        ]

    def _confirm(self, last: Logged, understood: Understanding, author: str) -> Iterator[str]:
        missing = [
            doubt for doubt in last.entry.doubts if not doubt.heard and doubt.field not in last.entry.fields
        ]
        for doubt in last.entry.doubts:
            if doubt not in missing:
                self.log.confirm(last.id, doubt.field, author=author)
        yield from told(self.log.entry(last.id).entry)

    def _read_back(self, last: Logged, understood: Understanding, author: str) -> Iterator[str]:
        yield from told(last.entry)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Give the data folder back."""
        self.log.close()


def told(entry: Entry) -> tuple[str, ...]:
    """An entry as it is read back: its doubts first, then its line."""
    return (*(asked(doubt) for doubt in entry.doubts), shown(entry))
