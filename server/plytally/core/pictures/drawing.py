"""What a picture is made of: boxes with a mark, strokes and words, and the table that says the same.

Lengths are in points of 1/72 inch, x to the right, y down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mark:
    """How a box is filled: hatch lines at these angles, so far apart, or solid; its outline dashed or not."""

    label: str
    angles: tuple[int, ...] = ()
    apart: float = 5
    solid: bool = False
    dashed: bool = False
    weight: float = 1


MARKS: Mapping[str, Mark] = {
    "laid": Mark("laid", (45, 135), 4.5),
    "doubt": Mark("in doubt", (90,), 4, dashed=True),
    "owed": Mark("owed", dashed=True),
    "over": Mark("over", solid=True),
    "used": Mark("used", (45,), 4.5),
    "left": Mark("left"),
    "done": Mark("done", (45,), 4.5),
    "frame": Mark("frame", weight=0.6),
    "worked": Mark("worked", weight=1.8),
}
"""Every mark a box can have; the names are classes of the SVG's boxes, so that a page may tint them."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, its upper left corner at x and y, filled by its mark."""

    x: float
    y: float
    width: float
    height: float
    mark: str


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    weight: float = 1
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text on its base line at y; `anchor` is "start", "middle" or "end"."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    size: float = 11
    bold: bool = False


Shape = Box | Stroke | Words


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture of a size of its own."""

    title: str
    width: float
    height: float
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under a head of as many columns; the first column names the row."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture, the table that says the same, and what must be said beside them.

    `drawing` is None where there is nothing to draw; a remark then says why.
    """

    title: str
    drawing: Drawing | None
    table: Table
    remarks: tuple[str, ...] = ()


def hatch(box: Box, angle: int, apart: float) -> Iterator[Stroke]:
    """The hatch lines of a box at 45, 90 or 135 degrees, cut at its edges.

    >>> [(line.x1, line.y1, line.x2, line.y2) for line in hatch(Box(0, 0, 4, 2, "owed"), 90, 2)]
    [(2, 0, 2, 2)]
    """
    if angle == 90:
        for step in range(1, int((box.width - 0.01) / apart) + 1):
            yield Stroke(box.x + step * apart, box.y, box.x + step * apart, box.y + box.height, 0.7)
        return
    right, low = box.x + box.width, box.y + box.height
    across = apart * 1.41421356
    for step in range(1, int((box.width + box.height) / across) + 1):
        reach = step * across  # how far along the upper edge, and past it down the other one
        top, end = min(reach, box.width), min(reach, box.height)
        x1, y1 = top, reach - top
        x2, y2 = reach - end, end
        if angle == 45:
            yield Stroke(box.x + x1, box.y + y1, box.x + x2, box.y + y2, 0.7)
        else:
            yield Stroke(right - x1, box.y + y1, right - x2, min(low, box.y + y2), 0.7)


def legend(marks: tuple[str, ...], x: float, y: float) -> Iterator[Shape]:
    """A row that says what each mark means."""
    for mark in marks:
        yield Box(x, y - 9, 22, 10, mark)
        yield Words(x + 27, y, MARKS[mark].label, size=10)
        x += 44 + 6 * len(MARKS[mark].label)
