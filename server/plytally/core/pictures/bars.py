"""Bars in rows: a name, a bar in pieces by mark, and what it comes to in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plytally.core.pictures.drawing import Box, Drawing, Shape, Words, legend

WIDTH, NAMES, BAR, ROW = 720.0, 230.0, 300.0, 24.0
MOST_LETTERS = 34


@dataclass(frozen=True, slots=True)
class Row:
    """One bar: its pieces as (mark, amount), all in one unit, and the words behind it."""

    name: str
    pieces: tuple[tuple[str, float], ...]
    told: str


def bars(
    title: str, rows: Sequence[Row], marks: tuple[str, ...] = (), *, to_the_end: bool = False
) -> Drawing:
    """The bars on one scale; with `to_the_end` each bar is as long as the others, whatever its amount."""
    longest = max((_sum(row) for row in rows), default=0)
    shapes: list[Shape] = []
    for number, row in enumerate(rows):
        y, x = 6 + number * ROW, NAMES
        shapes.append(Words(NAMES - 10, y + 14, _short(row.name), "end", 11))
        scale = BAR / (_sum(row) if to_the_end else longest) if _sum(row) else 0
        for mark, amount in row.pieces:
            if amount > 0:
                shapes.append(Box(x, y + 3, amount * scale, ROW - 9, mark))
                x += amount * scale
        shapes.append(Words((NAMES + BAR if to_the_end else x) + 10, y + 14, row.told, "start", 11))
    foot = 6 + len(rows) * ROW
    if marks:
        shapes += legend(marks, NAMES, foot + 18)
        foot += 24
    said = "; ".join(f"{row.name}: {row.told}" for row in rows)
    return Drawing(f"{title}. {said}", WIDTH, foot + 6, tuple(shapes))


def _sum(row: Row) -> float:
    return sum(amount for _, amount in row.pieces)


def _short(name: str) -> str:
    return name if len(name) <= MOST_LETTERS else f"{name[: MOST_LETTERS - 1]}…"
