"""The log as pictures and records are made from it: with the print, the stock list and a ledger."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from plytally.core.likes import USUAL, Likes
from plytally.core.pictures.drawing import Figure
from plytally.core.pictures.svg import svg
from plytally.core.stock import Stock
from plytally.record.content import Content, Scope
from plytally.workshop.bench import Bench
from plytally.workshop.stock_shelf import TABLE, stock_in


@dataclass(frozen=True)
class Books:
    """What the routes that show the log ask; threads may share it."""

    bench: Bench
    liked: Callable[[], Likes] = lambda: USUAL

    @property
    def stock(self) -> Stock:
        """The stock list that counts."""
        with self.bench.log.documents.table(TABLE) as table:
            return stock_in(table.all())

    @property
    def likes(self) -> Likes:
        """How days and amounts are to be written."""
        return self.liked()

    @contextmanager
    def open(self, scope: Scope | None = None) -> Iterator[Content]:
        """The content of a scope, over the bench's own ledger: look at it only inside the block."""
        stock = self.stock
        with self.bench.mutex:
            log, bench = self.bench.log, self.bench
            ledger, head = bench.ledger, log.journal.head
            yield Content(
                log.state, bench.schedule, ledger, head, str(bench.now()), scope or Scope(), stock, self.likes
            )

    def apart(self, scope: Scope) -> Content:
        """The content of a scope with a ledger of its own, for work that takes long."""
        with self.bench.mutex:
            log, schedule = self.bench.log, self.bench.schedule
            state, head, now = log.state, log.journal.head, str(self.bench.now())
            rows = self.bench.shelf.rows()
        print_sha256 = rows[-1]["sha256"] if rows else ""
        return Content.of(state, schedule, head, now, scope, self.stock, self.likes, print_sha256)


def figure_json(figure: Figure) -> dict[str, Any]:
    """A figure as plain JSON: its SVG, the table that says the same, and its remarks."""
    return {
        "title": figure.title,
        "svg": svg(figure.drawing) if figure.drawing else None,
        "head": list(figure.table.head),
        "rows": [list(row) for row in figure.table.rows],
        "remarks": list(figure.remarks),
    }
