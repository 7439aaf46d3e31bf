"""Finding at the bench: the builder's words for a place become the index's, and the index is asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import Any

from plytally.core.entry import Place
from plytally.core.likes import Likes
from plytally.core.readback import shown
from plytally.find.index import Index, IndexClosed, Progress
from plytally.find.query import Answer, Question, ask
from plytally.find.rows import NAMED
from plytally.workshop.bench import Bench

STANDS = ("open", "unseen", "accepted", "withdrawn")


class Finder:
    """Finds entries in one log; the index is made when the first question comes, or by `make_ready`."""

    def __init__(self, bench: Bench, progress: Progress | None = None) -> None:
        self._bench, self._index = bench, Index(bench.log, progress)

    def make_ready(self) -> None:
        """Bring the index up to date now, so that no question waits for it; `close` may cut it short."""
        with suppress(IndexClosed):
            self._index.ask(lambda db: None)

    def find(
        self,
        words: str = "",
        *,
        at: str = "",
        names: Mapping[str, str] | None = None,
        stands: Sequence[str] = (),
        limit: int = 50,
        before: int | None = None,
        **more: Any,
    ) -> Answer:
        """The entries that fit everything asked. UnknownPlace if `at` is no place on the print.

        `more` are kind, author, first_day, last_day and photos, as in `Question`.
        """
        place, ways = self._place(at)
        parts = self._bench.schedule.assemblies.get(place.part, ()) if place else ()
        named = [(name, value) for name, value in (names or {}).items() if name in NAMED and value]
        question = Question(
            words, named, place, ways, parts, stands=tuple(stands), limit=limit, before=before, **more
        )
        return self._index.ask(lambda db: ask(db, question))

    def line(self, entry_id: str, likes: Likes) -> str:
        """What an entry that was found says, days and amounts as they are liked."""
        return shown(self._bench.log.entry(entry_id).entry, likes)

    def _place(self, at: str) -> tuple[Place | None, tuple[str, ...]]:
        if not at.strip():
            return None, ()
        with self._bench.mutex:
            place = self._bench.place(at)
            words = self._bench.vocabulary.part(place.part)
        return place, words.part.spoken if words else ()

    def close(self) -> None:
        """Give the index's file back."""
        self._index.close()
