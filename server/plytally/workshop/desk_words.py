"""The builder's words at the desk: which nothing knows, which to propose, and teaching one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from plytally.core.hearing import Hearing
from plytally.core.names import as_spoken
from plytally.core.vocabulary import LISTS, SOUNDS
from plytally.workshop.bench import Bench
from plytally.workshop.desk_proposals import proposal, unknown_in
from plytally.workshop.print_copy import own_words

Json = dict[str, Any]


class DeskWords:
    """The vocabulary as the desk sees and changes it. `hear_again` as in `DeskWork`."""

    def __init__(self, bench: Bench, hear_again: Callable[[str], None] | None = None) -> None:
        self.bench, self._log, self._hear_again = bench, bench.log, hear_again

    def lists(self) -> Json:
        """The word lists: every name with its ways of being said, and which the builder added."""
        own = own_words(self._log.documents)
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

    def teach(self, list_name: str, name: str, said_as: Sequence[str], entry_id: str = "") -> Json:
        """Add a name or further ways of saying it, and hear an entry's recording again at once with it.

        VocabularyError if the word cannot be used, UnknownEntry if there is no such entry.
        """
        logged = self._log.entry(entry_id) if entry_id else None
        with self.bench.mutex:
            before = own_words(self._log.documents).get(list_name, {}).get(name, [])
            ways = list(dict.fromkeys([*before, *map(as_spoken, said_as or [name])]))
            if ways != before:
                self.bench.add_words(list_name, name, ways)
        sounds = [each for each in (logged.attachments if logged else ()) if each.role == "sound"]
        hears = bool(sounds) and self._hear_again is not None
        if hears and self._hear_again is not None:
            self._hear_again(entry_id)
        return {"list": list_name, "name": name, "said_as": ways, "heard_again": hears}

    def unknown(self, words: str) -> list[str]:
        """The words that no phrase and no list has, each run of them together."""
        return unknown_in(words, self.bench.vocabulary)

    def teachable(
        self, wanted: Mapping[str, Any], entry_id: str, heard: Sequence[Hearing] = ()
    ) -> Json | None:
        """What to propose for the vocabulary after an act; None where there is nothing to teach."""
        return proposal(wanted, self._log.entry(entry_id).entry, heard, self.bench.vocabulary)
