"""The bench in a builder's pocket: what a phone makes of a note with its own copy of the log and the print.

Plain JSON values in, plain JSON values out, so that a page can call it across Pyodide. It keeps nothing and
makes no operation: it says which acts there should be, the phone makes them durable and shows them back
with `saw`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from plytally.core import clock_answers
from plytally.core.answering import answered, catch_up, dated, owed
from plytally.core.automaton import Automaton
from plytally.core.body import WITHDRAWN
from plytally.core.cards.keeping import bench_cards, entry_of, work_out
from plytally.core.checking import check_new
from plytally.core.choosing import choice
from plytally.core.clock_acts import started_told, with_due
from plytally.core.clock_lines import briefly, clock_json
from plytally.core.clocks import ClockBook
from plytally.core.commanding import commanded, scratched
from plytally.core.crediting import Dated
from plytally.core.ears import automaton_of, ears, weighed_against
from plytally.core.entry import PLACE, Entry, Place
from plytally.core.expecting import NOTHING, expected
from plytally.core.hearing import Hearing, typed
from plytally.core.history import Logged
from plytally.core.ledger import Ledger
from plytally.core.likes import Likes
from plytally.core.listening import listened
from plytally.core.merge import Fold, State
from plytally.core.next_time import zone_of
from plytally.core.operation import Operation, OperationError
from plytally.core.pocket_hearing import Weighing, found_in, sounded
from plytally.core.pot_life import ResinTimes
from plytally.core.readback import amounts_aloud, asked_aloud, spoken
from plytally.core.replies import BUILDER, Json
from plytally.core.replies import acts as _acts
from plytally.core.replies import reply as _reply
from plytally.core.replies import row as _row
from plytally.core.replies import told as _told
from plytally.core.retelling import retold
from plytally.core.rivals import ways_of_fields
from plytally.core.schedule import Schedule
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.settling import settled
from plytally.core.shop_answers import SHOP_QUESTIONS
from plytally.core.understand import Context, Understanding, understand
from plytally.core.vocabulary import from_schedule
from plytally.core.wall import read_wall
from plytally.core.worked_told import hours_told, time_doubts

NOTHING_BEFORE = "there is no entry before this one to change"
NOT_UNDERSTOOD = "kept, not understood"
MOST_SHOWN = 60


class Pocket:
    """One phone's understanding: the print, the builder's words, and the log as far as it is known here."""

    def __init__(
        self,
        print_copy: Mapping[str, Any] | None,
        words: Mapping[str, Any] | None = None,
        resin_times: Mapping[str, Any] | None = None,
        *,
        by_sound_alone: bool = False,
        likes: Mapping[str, Any] | None = None,
    ) -> None:
        """`print_copy` is a schedule's `as_json`; ScheduleError or VocabularyError say what is wrong.

        `resin_times` are the makers' pot lives, as `ResinTimes.as_json` gives them. With `by_sound_alone`
        what goes on in the shop does not count when something is heard. `likes` are the desk's settings of
        how days, times and amounts are written.
        """
        self.schedule = schedule_from_json(print_copy) if print_copy else Schedule(aircraft="", revision="")
        self.vocabulary = from_schedule(self.schedule, words or {})
        self._ledger = Ledger(self.schedule)
        self._listens: Automaton | None = None
        self._by_sound_alone = by_sound_alone
        self._weighing: Weighing | None = None
        self._likes = Likes.of(likes or {})
        self._fold, self._state = Fold(), State()
        self._book = ClockBook(ResinTimes.from_json(resin_times or {}).with_print(self.schedule))

    def saw(self, rows: Iterable[tuple[Mapping[str, Any], int | None]]) -> list[str]:
        """Take in operations, each with its time of receipt by the shop; the sentences on those refused."""
        refused = []
        for raw, received in rows:
            try:
                self._fold.apply(Operation.from_json(raw), received)
            except OperationError as problem:
                refused.append(f"{raw.get('id', 'an operation')}: {problem}")
        earlier, self._state = self._state, self._fold.state()
        catch_up(self._ledger, self._state, earlier)
        self._book.take(self._state.changed_since(earlier))
        return refused

    def take(
        self,
        hearing: Mapping[str, Any] | str,
        now: str,
        changes: Sequence[Sequence[int]] = (),
        skew_ms: int = 0,
    ) -> Json:
        """What a note asks for: the acts to keep, and the lines to show and to say.

        `hearing` is a Hearing's JSON, or typed words. `now` is RFC 3339. `changes` are the next changes of
        the clocks (daylight saving): from when, in Unix milliseconds, and minutes ahead of UTC from then.
        `skew_ms` is how far the phone's clock is ahead of the shop computer's.
        """
        heard = typed(hearing) if isinstance(hearing, str) else Hearing.from_json(hearing)
        meant = self._meaning(heard, now)
        if meant.entry is not None:
            there = read_wall(now)
            there = replace(there, millis=there.millis - skew_ms)
            entry = with_due(meant.entry, there, zone_of(now, changes))
            tail = started_told(entry, there, self._book)
            return self._noted(entry, None if isinstance(hearing, str) else heard, tail=tail)
        if meant.name in clock_answers.QUESTIONS:
            lines = clock_answers.answer(meant.name, meant.fields, self._book, self._entries(), now)
            return self._liked(_reply(meant, lines=lines))
        if meant.name == "hours_worked":
            where = Place(**{name: str(meant.fields.get(name, "")) for name in PLACE})
            return self._liked(_reply(meant, lines=hours_told(self._state.order, where, self.schedule)))
        if meant.makes == "question":
            lines = answered(meant, self._ledger, self._entries(), now, self._book.times)
            aloud = map(amounts_aloud, lines) if meant.name in SHOP_QUESTIONS else lines
            return self._liked(_reply(meant, lines=lines)) | {"say": list(aloud)}
        if meant.name in clock_answers.COMMANDS:
            done = clock_answers.command(meant.name, meant.fields, meant.said, self._book, read_wall(now))
            return _reply(meant, done.acts, done.lines, done.target)
        return self._commanded(meant)

    def choose(self, picked: Mapping[str, str]) -> Json:
        """For an entry built by large buttons: what to choose next, and the sentence so far."""
        return choice(picked, self.vocabulary, self._context().place.get("part", ""))

    def retell(
        self, entry_id: str, text: str, now: str, changes: Sequence[Sequence[int]] = (), skew_ms: int = 0
    ) -> Json:
        """The acts by which a note that was not understood becomes the entry that `text` makes."""
        true_now = read_wall(now).millis - skew_ms
        return retold(self._state.entries[entry_id], self._meaning(typed(text), now), true_now, changes)

    def settle(self, entry_id: str, field: str, choice: str, changes: Sequence[Sequence[int]] = ()) -> Json:
        """The acts by which a doubt is answered: `choice` is "heard", "runner_up", or words in its place."""
        return settled(self._state.entries[entry_id], field, choice, self.vocabulary, changes)

    def board(self, now: str) -> Json:
        """What a screen shows: the newest entries first, what waits for an answer, and what is owed."""
        newest = list(reversed(self._state.order))
        return {
            "aircraft": self.schedule.aircraft,
            "revision": self.schedule.revision,
            "entries": [_row(logged, self._likes) for logged in newest[:MOST_SHOWN]],
            "count": len(newest),
            "to_settle": [
                _row(logged, self._likes) for logged in reversed(self._state.to_settle) if _waits(logged)
            ],
            "owed": list(owed(self._ledger, Place())) if self.schedule.parts else [],
        }

    def entry(self, entry_id: str) -> Json | None:
        """One entry's row, however old it is; None where this phone has none of that id."""
        logged = self._state.entries.get(entry_id)
        return _row(logged, self._likes) if logged else None

    def clocks(self, now: str) -> list[Json]:
        """The clocks that run, the first due first, as `clock_json` tells them."""
        millis = read_wall(now).millis
        return [clock_json(clock, millis) for clock in self._book.running(millis)]

    def ears(self, dictionary: Callable[[str], str | None]) -> Json:
        """What an engine on the phone listens by: the automaton, and how each of its words is said."""
        return ears(self.vocabulary, dictionary)

    def hear_by(self, made: Json) -> None:
        """Take back what `ears` gave for this print, so that the first note need not wait for it."""
        self._listens = automaton_of(made)
        ways_of_fields(self.vocabulary)  # which is kept, as well

    def sounded(self, raw: Mapping[str, Any], at: str) -> Json:
        """What the phone's engine is to hold a note against that was begun at `at`: see pocket_hearing."""
        theirs = (dated(each) for each in reversed(self._state.order) if each.author == BUILDER)
        before = read_wall(at).millis
        by = NOTHING if self._by_sound_alone else expected(self._ledger, theirs, before)
        listens = self._listens or listened(self.vocabulary)
        self._weighing = note = sounded(raw, self.vocabulary, listens, by)
        return note.asks

    def weighed(self, told: Mapping[str, Any]) -> Json:
        """The hearing of that note, by what was found in its sound; ValueError where there was none."""
        if self._weighing is None:
            raise ValueError("nothing was heard that could be weighed")
        return found_in(told, self._weighing)

    def rivals(self, text: str) -> list[Json]:
        """What else could have been said in each weighty place of a sentence of the phrasebook."""
        return weighed_against(text, self.vocabulary, self._listens)

    def cards(self) -> Json:
        """The sums that can be asked, what the builder's own cloths are, and the places to keep one at."""
        return bench_cards(self.schedule, self._entries(), self._context().place)

    def sum(self, name: str, given: Mapping[str, Any]) -> Json:
        """What a sum comes to, or under `wrong` why it was refused."""
        return work_out(name, given)

    def keep_sum(self, name: str, given: Mapping[str, Any], where: Mapping[str, str]) -> Json:
        """The act that keeps a sum in the log; `where` is the place it is about, empty for none."""
        return self._noted(entry_of(name, given, where), None)

    def scratch(self, entry_id: str) -> Json:
        """The act by which an entry is scratched by touch, whichever it is; it stays readable."""
        acts, lines = scratched(self._state.entries[entry_id], "scratched by touch", self._likes)
        return _acts(acts) | {"lines": list(lines)}

    def _liked(self, reply: Json) -> Json:
        """An answer of ours, its days and times as they are liked."""
        return reply | {"lines": list(map(self._likes.in_sentence, reply["lines"]))}

    def _meaning(self, heard: Hearing, now: str) -> Understanding:
        meant = understand(heard, self.vocabulary, self._context())
        if meant.entry is None or not self.schedule.parts:
            return meant
        mine = {doubt.field for doubt in meant.doubts}
        theirs = (
            *check_new(self._ledger, meant.entry, now),
            *time_doubts(self._state.order, meant.entry, now),
        )
        return replace(meant, doubts=(*meant.doubts, *(d for d in theirs if d.field not in mine)))

    def _context(self) -> Context:
        said = next((each.entry.fields for each in self._counting() if "part" in each.entry.fields), {})
        return Context({name: str(said[name]) for name in PLACE if name in said})

    def _counting(self) -> Iterator[Logged]:
        return (logged for logged in reversed(self._state.order) if logged.is_work)

    def _entries(self) -> list[Dated]:
        return [dated(logged) for logged in self._state.order]

    def _noted(self, entry: Entry, heard: Hearing | None, remark: str = "", tail: Sequence[str] = ()) -> Json:
        body = {
            "entry": entry.as_json(),
            "doubts": [doubt.as_json() for doubt in entry.doubts],
            "hearing": None if heard is None else heard.as_json(),
            "author": BUILDER,
        }
        if heard is not None and not heard.covered:
            remark = NOT_UNDERSTOOD
        told = [remark] if remark else [*_told(entry, self._likes), *map(self._likes.in_sentence, tail)]
        note = {"act": "note", "target": None, "body": body}
        return {"makes": "entry", "name": entry.kind, "acts": [note], "target": "new"} | {
            "lines": told,
            "say": told if remark else [*map(asked_aloud, entry.doubts), spoken(entry), *map(briefly, tail)],
        }

    def _commanded(self, meant: Understanding) -> Json:
        if meant.name == "new_photo":
            return _reply(meant, lines=("ready for the photo",))
        last = next(self._counting(), None)
        if last is None:
            return _reply(meant, lines=(NOTHING_BEFORE,))
        acts, lines = commanded(last, meant, self.vocabulary, self._likes)
        return _reply(meant, acts, lines, last.id)


def _waits(logged: Logged) -> bool:
    """What was scratched asks nothing more, unless somebody else did not scratch it."""
    return logged.withdrawn is None or WITHDRAWN in logged.conflicts
