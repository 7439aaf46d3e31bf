"""The builder's words at the desk: unknown ones, what to propose, teaching one, and taking it back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from plytally.core.hearing import Hearing
from plytally.core.history import Logged
from plytally.core.likes import USUAL, Likes
from plytally.core.names import as_spoken
from plytally.core.readback import shown
from plytally.core.vocabulary import LISTS, SOUNDS
from plytally.store.heard import HeardAgain
from plytally.workshop.bench import Bench
from plytally.workshop.desk_proposals import proposal, unknown_in
from plytally.workshop.print_copy import own_words
from plytally.workshop.taught import Lesson, Row, is_taken_back, rows_of, standing_words

Json = dict[str, Any]
NOT_HEARD = ""


class DeskWords:
    """The vocabulary as the desk sees and changes it. `hear_again` as in `DeskWork`."""

    def __init__(self, bench: Bench, hear_again: Callable[[str], None] | None = None) -> None:
        self.bench, self._log, self._hear_again = bench, bench.log, hear_again
        self._heard = HeardAgain(bench.log.folder)

    def lists(self) -> Json:
        """The word lists: every name with its ways of being said, and which the builder added."""
        own = own_words(self._log, self.bench.schedule)
        vocabulary = self.bench.vocabulary
        return {
            "lists": [
                {
                    "list": name,
                    "names": [
                        {
                            "name": each.name,
                            "said_as": list(each.spoken),
                            "own": each.name in own.get(name, {}),
                        }
                        for each in getattr(vocabulary, name)
                    ],
                }
                for name in (*LISTS, SOUNDS)
            ]
        }

    def teach(
        self, list_name: str, name: str, said_as: Sequence[str], entry_id: str = "", author: str = "builder"
    ) -> Json:
        """Add a name or further ways of saying it, and hear an entry's recording again at once with it.

        VocabularyError if the word cannot be used, UnknownEntry if there is no such entry.
        """
        logged = self._log.entry(entry_id) if entry_id else None
        with self.bench.mutex:
            before = own_words(self._log, self.bench.schedule).get(list_name, {}).get(name, [])
            ways = list(dict.fromkeys(map(as_spoken, said_as or [name])))
            fresh = tuple(way for way in ways if way not in before)
            if fresh:
                heard = self._last_heard(logged) if logged else NOT_HEARD
                self.bench.taught.teach(Lesson(list_name, name, fresh, entry_id, heard), author)
        hears = self._hear(logged)
        return {"list": list_name, "name": name, "said_as": [*before, *fresh], "heard_again": hears}

    def taught(self, likes: Likes = USUAL) -> Json:
        """Everything that was ever taught, the latest first: by whom, from which entry, and what came of it.

        `stands` says whether it counts; `clashes` that it would be said for something else by now, so that
        it is not listened for although it stands. `heard` is what the recording was heard as before, `now`
        what it is heard as since. `names` counts the entries that have the name in a field.
        """
        rows, state = rows_of(self._log), self._log.state
        listened_for = standing_words(rows, state, self.bench.schedule)
        return {"taught": [self._told(row, listened_for, likes) for row in reversed(rows)]}

    def set_standing(self, list_name: str, name: str, note: str, stands: bool, author: str) -> Json:
        """Take back what was taught, or teach it again; its entry's recording is heard again with that.

        NotTaught if there is no such thing or it stands so already, VocabularyError if it cannot any more.
        """
        with self.bench.mutex:
            row = self.bench.taught.named(list_name, name, note)
            (self.bench.taught.teach_again if stands else self.bench.taught.take_back)(row, author)
        logged = self._log.state.entries.get(row.get("entry", ""))
        return {"list": list_name, "name": name, "stands": stands, "heard_again": self._hear(logged)}

    def unknown(self, words: str) -> list[str]:
        """The words that no phrase and no list has, each run of them together."""
        return unknown_in(words, self.bench.vocabulary)

    def teachable(
        self, wanted: Mapping[str, Any], entry_id: str, heard: Sequence[Hearing] = ()
    ) -> Json | None:
        """What to propose for the vocabulary after an act; None where there is nothing to teach."""
        return proposal(wanted, self._log.entry(entry_id).entry, heard, self.bench.vocabulary)

    def _told(self, row: Row, listened_for: Mapping[str, Any], likes: Likes) -> Json:
        state = self._log.state
        noted, learnt_from = (state.entries.get(row.get(name, "")) for name in ("note", "entry"))
        stands, ways = not is_taken_back(row, state), listened_for.get(row["list"], {}).get(row["name"], [])
        ended = noted.standing["withdrawn"][-1] if noted and noted.standing.get("withdrawn") else None
        return {
            "list": row["list"],
            "name": row["name"],
            "said_as": list(row["said_as"]),
            "note": row.get("note", ""),
            "author": noted.author if noted else "",
            "wall": noted.wall if noted else "",
            "stands": stands,
            "clashes": stands and not set(row["said_as"]) <= set(ways),
            "ended": {"author": ended.author, "wall": ended.wall} if ended and not stands else None,
            "entry": None if learnt_from is None else _where(learnt_from, likes),
            "heard": row.get("heard", ""),
            "now": self._last_heard(learnt_from) if learnt_from else NOT_HEARD,
            "names": sum(row["name"] in each.entry.fields.values() for each in state.entries.values()),
        }

    def _last_heard(self, logged: Logged) -> str:
        """The words of the last hearing of an entry's recording, "" where it was never heard."""
        tries = sorted(self._heard.of_entry(logged.id).values(), key=lambda row: int(row["place"]))
        texts = [Hearing.from_json(row["heard"]).text for row in tries if row.get("heard")]
        first = self._log.hearing(logged.id)
        return texts[-1] if texts else first.text if first else NOT_HEARD

    def _hear(self, logged: Logged | None) -> bool:
        """Have an entry's recording heard again, with the words of now."""
        sounds = [each for each in (logged.attachments if logged else ()) if each.role == "sound"]
        if logged is None or not sounds or self._hear_again is None:
            return False
        self._hear_again(logged.id)
        return True


def _where(logged: Logged, likes: Likes) -> Json:
    return {"id": logged.id, "day": logged.wall[:10], "line": shown(logged.entry, likes)}
