"""The desk at work: the days of the log, its entries with what was heard, and what is done to them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from plytally.clock import local_zone
from plytally.core.clock_acts import with_due
from plytally.core.desk import acts as plans
from plytally.core.desk import photos as photo_plans
from plytally.core.desk import rows
from plytally.core.desk.acts import Act, ActError, Asker
from plytally.core.desk.answers import AnswerError
from plytally.core.desk.days import STANDS, Days
from plytally.core.desk.rows import Heard
from plytally.core.desk.typed_value import TypedValueError
from plytally.core.entry import Entry
from plytally.core.hearing import Hearing, typed
from plytally.core.history import Logged
from plytally.core.hours import Hours, time_told
from plytally.core.likes import USUAL, Likes
from plytally.core.next_time import Zone
from plytally.core.readback import asked, shown
from plytally.core.understand import understand
from plytally.core.wall import Wall, read_wall
from plytally.store.heard import HeardAgain
from plytally.workshop.bench import Bench
from plytally.workshop.desk_words import DeskWords

Json = dict[str, Any]
PHONE, SHOP = "phone", "shop computer"


class EntryChanged(ValueError):
    """Something came to an entry since the desk looked at it; nothing was done."""


class NoEntry(ValueError):
    """What was typed is no entry; the message says what it is."""


class DeskWork:
    """What the desk's pages ask and do. Threads may share it."""

    def __init__(self, bench: Bench, hear_again: Callable[[str], None] | None = None) -> None:
        self.bench, self._log = bench, bench.log
        self.vocabulary = DeskWords(bench, hear_again)
        self._heard, self._days = HeardAgain(bench.log.folder), Days()

    @property
    def device(self) -> str:
        """The name under which the desk's own operations are in the log."""
        return self._log.device

    def days(self) -> Json:
        """Every day that has entries, the latest first, with how many stand how."""
        with self.bench.mutex:
            self._days.catch_up(self._log.state)
            counts = self._days.counts()
        schedule = self.bench.schedule
        return {
            "aircraft": schedule.aircraft,
            "revision": schedule.revision,
            "days": [
                {"day": day, "entries": sum(count.values())} | {name: count[name] for name in STANDS}
                for day, count in counts.items()
            ],
        }

    def day(self, day: str, likes: Likes = USUAL) -> Json:
        """A day's entries as rows, the first done first, and its hours."""
        with self.bench.mutex:
            self._days.catch_up(self._log.state)
            entries, hours = self._days.entries(day), self._days.hours(day)
        return {
            "day": day,
            "entries": [rows.row(logged, likes) for logged in entries],
            "hours": _hours(hours, likes),
        }

    def entry(self, entry_id: str, likes: Likes = USUAL) -> Json:
        """All of one entry. UnknownEntry if there is none."""
        logged = self._log.entry(entry_id)
        return rows.whole(logged, self._hearings(logged), likes)

    def meaning(self, words: str, instead_of: Sequence[str] = (), likes: Likes = USUAL) -> Json:
        """What typed words would mean, and which of them nothing knows; nothing is kept.

        `instead_of` are the entries that they would take the place of.
        """
        entries = [self._log.entry(each) for each in instead_of]
        with self.bench.mutex:
            meant = self.bench.meaning(typed(words), entries)
        entry = self._noted_at(meant.entry, self._when(entries[0]) if entries else self.bench.now())
        return {
            "makes": meant.makes,
            "line": shown(entry, likes) if entry else "",
            "questions": [asked(likes.doubt(doubt)) for doubt in (entry.doubts if entry else meant.doubts)],
            "unknown": self.vocabulary.unknown(words),
        }

    def do(self, asker: Asker, asked_for: Mapping[str, Any], likes: Likes = USUAL) -> Json:
        """Do one act of the desk; what was done before is not done again.

        EntryChanged if an entry is not as the desk saw it; ActError, AnswerError, TypedValueError, NoEntry
        and UnknownEntry say why it cannot be. `asked_for` has `act`, `entries` ({id, version} each), and
        what the act needs; for photos `shots`, a `Photo` each.
        """
        with self.bench.mutex:
            ids = [each["id"] for each in asked_for.get("entries", ())]
            entries = [self._log.entry(each) for each in ids]
            state = self._log.state
            repeated = any(trace in state for trace in asker.traces(ids))
            left: list[Json] = []
            if asked_for["act"] == "accept":
                planned, left = self._accept(asker, asked_for["entries"], entries)
            else:
                if not repeated and asked_for["act"] != "attach":  # a photo judges nothing
                    _unchanged(entries, asked_for.get("entries", ()))
                planned = self._plan(asker, entries, asked_for, repeated)
            kept = self._log.perform(planned)
        shown_ids = dict.fromkeys((*ids, *(act.target or act.id for act in planned)))
        return {
            "kept": list(kept),
            "left": left,
            "entries": [self.entry(each, likes) for each in shown_ids],
            "teach": self._teachable(asked_for, next(iter(shown_ids), "")),
        }

    def _teachable(self, asked_for: Mapping[str, Any], entry_id: str) -> Json | None:
        """What the act on an entry teaches."""
        if not entry_id:
            return None
        heard = [each.hearing for each in self._hearings(self._log.entry(entry_id)) if each.hearing]
        return self.vocabulary.teachable(asked_for, entry_id, heard)

    def _hearings(self, logged: Logged) -> list[Heard]:
        """What was heard in an entry's own recordings: on the phone first, then by the shop computer."""
        first = self._log.hearing(logged.id)
        sounds = [each.operation for each in logged.attachments if each.role == "sound"]
        found = [] if first is None else [Heard(sounds[0] if sounds else "", PHONE, first, logged.noted)]
        for attachment, row in self._heard.of_entry(logged.id).items():
            again = Hearing.from_json(row["heard"]) if row.get("heard") else None
            entry = self._understood(again, logged) if again else None
            found.append(Heard(attachment, SHOP, again, entry, str(row.get("problem", "")), row["place"]))
        return found

    def _understood(self, hearing: Hearing, logged: Logged) -> Entry:
        meant = self._noted_at(understand(hearing, self.bench.vocabulary).entry, self._when(logged))
        return meant or Entry("note", {"text": hearing.text}, hearing.text)

    def _when(self, logged: Logged) -> Wall:
        return Wall(logged.happened_millis, read_wall(logged.wall).offset_min)

    def _noted_at(self, entry: Entry | None, said: Wall) -> Entry | None:
        """What words mean that were said then: "at nine" becomes an instant, and is asked about."""
        now = self.bench.now().millis
        return entry and with_due(entry, said, _zone(said), now if said.millis < now else None)

    def _again(self, logged: Logged) -> Entry | None:
        heard = [each.entry for each in self._hearings(logged) if each.where == SHOP and each.entry]
        return heard[-1] if heard else None

    def _accept(
        self, asker: Asker, seen: Sequence[Mapping[str, str]], entries: Sequence[Logged]
    ) -> tuple[list[Act], list[Json]]:
        """The acceptance of all that can be accepted, and why the others were left."""
        planned, left = list[Act](), list[Json]()
        for logged, one in zip(entries, seen, strict=True):
            try:
                if plans.accepted(logged) is None:
                    _unchanged([logged], [one])
                planned += plans.accept(asker, logged)
            except (ActError, EntryChanged) as problem:
                left.append({"id": logged.id, "why": str(problem)})
        return planned, left

    def _plan(
        self, asker: Asker, entries: Sequence[Logged], wanted: Mapping[str, Any], repeated: bool
    ) -> list[Act]:
        try:
            changes = _zone(self._when(entries[0])).changes if entries else ()
            return _PLANS[wanted["act"]](self, replace(asker, changes=changes), entries, wanted)
        except (ActError, AnswerError, TypedValueError):
            if repeated:
                return []
            raise

    def _meant(self, words: str, instead_of: Sequence[Logged] = (), wall: str = "") -> Entry:
        """The entry that typed words make; NoEntry if they are a command or a question.

        `wall` is when that was done, where it is told later and takes the place of nothing.
        """
        said = self._when(instead_of[0]) if instead_of else read_wall(wall) if wall else self.bench.now()
        meant = self._noted_at(self.bench.meaning(typed(words), instead_of).entry, said)
        if meant is None:
            raise NoEntry(f"{words!r} is no entry but a question or a command; type what was done")
        return meant

    def _shown_in(self, words: str, wall: str) -> Entry:
        """What a new entry with photos says: the words, or that it is a photo."""
        return self._meant(words, wall=wall) if words.strip() else Entry("photo")


def _zone(said: Wall) -> Zone:
    """Local time from then on: with this machine's daylight saving, where it was the same then and there."""
    here = local_zone(said.millis)
    return here if here.offset_min == said.offset_min else Zone(said.offset_min)


def _unchanged(entries: Sequence[Logged], seen: Sequence[Mapping[str, str]]) -> None:
    for logged, one in zip(entries, seen, strict=True):
        if plans.version(logged) != one["version"]:
            raise EntryChanged(
                "something came to this entry since you looked at it; see how it is now, and judge it again"
            )


def _hours(hours: Hours, likes: Likes) -> Json:
    return {
        "minutes": hours.minutes,
        "told": time_told(hours.minutes),
        "sessions": [
            {
                "author": session.author,
                "from": session.walls[0],
                "to": session.walls[1],
                "minutes": session.minutes,
                "told": time_told(session.minutes),
                "part": session.part,
                "category": session.category,
            }
            for session in hours.sessions
        ],
        "remarks": [likes.days_in(remark) for remark in hours.remarks],
    }


Planner = Callable[[DeskWork, Asker, Sequence[Logged], Mapping[str, Any]], list[Act]]


def _answer(work: DeskWork, asker: Asker, entries: Sequence[Logged], wanted: Mapping[str, Any]) -> list[Act]:
    field, choice, words = wanted["field"], wanted["choice"], wanted.get("words", "")
    again = work._again(entries[0])
    return plans.answer(asker, entries[0], field, choice, words, work.bench.vocabulary, again)


_PLANS: Mapping[str, Planner] = {
    "answer": _answer,
    "settle": lambda _work, asker, entries, wanted: plans.settle(
        asker, entries[0], wanted["field"], wanted["operation"]
    ),
    "correct": lambda work, asker, entries, wanted: plans.correct(
        asker, entries[0], wanted["field"], wanted["words"], work.bench.vocabulary
    ),
    "reword": lambda work, asker, entries, wanted: plans.reword(
        asker, entries[0], work._meant(wanted["words"], entries), wanted["words"]
    ),
    "withdraw": lambda _work, asker, entries, wanted: plans.withdraw(asker, entries[0], wanted["why"]),
    "bring_back": lambda _work, asker, entries, wanted: plans.bring_back(asker, entries[0], wanted["why"]),
    "split": lambda work, asker, entries, wanted: plans.split(
        asker, entries[0], [work._meant(words, entries) for words in wanted["parts"]]
    ),
    "join": lambda work, asker, entries, wanted: plans.join(
        asker, entries, work._meant(wanted["words"], entries)
    ),
    "note": lambda work, asker, _entries, wanted: plans.note(
        asker, work._meant(wanted["words"], wall=wanted.get("wall", "")), wanted.get("wall", "")
    ),
    "attach": lambda _work, asker, entries, wanted: photo_plans.attach(asker, entries[0], wanted["shots"]),
    "note_photos": lambda work, asker, _entries, wanted: photo_plans.note_photos(
        asker,
        work._shown_in(wanted["words"], wanted.get("wall", "")),
        wanted["shots"],
        wanted.get("wall", ""),
    ),
}
