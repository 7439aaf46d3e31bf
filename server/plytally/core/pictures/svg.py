"""A drawing as SVG text: no script, no style, no link, every word escaped; drawn in the colour of the text.

Tints are left to the page, by the class of each box; on paper and without a style sheet it is black on white.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from plytally.core.pictures.drawing import MARKS, Box, Drawing, Shape, Stroke, Words, hatch

DASHES = "4 3"


def svg(drawing: Drawing) -> str:
    """The drawing as one `svg` element, its title as its name for those who do not see it."""
    inner = "".join(part for shape in drawing.shapes for part in _shape(shape))
    size = f"0 0 {_n(drawing.width)} {_n(drawing.height)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{size}" width="{_n(drawing.width)}" '
        f'height="{_n(drawing.height)}" role="img" aria-label="{escape(_plain(drawing.title))}" '
        f'font-family="system-ui, sans-serif" fill="currentColor">{inner}</svg>'
    )


def _shape(shape: Shape) -> Iterator[str]:
    if isinstance(shape, Box):
        yield from _box(shape)
    elif isinstance(shape, Stroke):
        dashes = f' stroke-dasharray="{DASHES}"' if shape.dashed else ""
        yield (
            f'<line x1="{_n(shape.x1)}" y1="{_n(shape.y1)}" x2="{_n(shape.x2)}" y2="{_n(shape.y2)}" '
            f'stroke="currentColor" stroke-width="{_n(shape.weight)}"{dashes}/>'
        )
    else:
        yield _words(shape)


def _box(box: Box) -> Iterator[str]:
    mark = MARKS[box.mark]
    dashes = f' stroke-dasharray="{DASHES}"' if mark.dashed else ""
    fill = "currentColor" if mark.solid else "none"
    yield (
        f'<rect class="{box.mark}" x="{_n(box.x)}" y="{_n(box.y)}" width="{_n(box.width)}" '
        f'height="{_n(box.height)}" fill="{fill}" stroke="currentColor" '
        f'stroke-width="{_n(mark.weight)}"{dashes}/>'
    )
    lines = [line for angle in mark.angles for line in hatch(box, angle, mark.apart)]
    if lines:
        path = "".join(f"M{_n(line.x1)} {_n(line.y1)}L{_n(line.x2)} {_n(line.y2)}" for line in lines)
        yield f'<path d="{path}" fill="none" stroke="currentColor" stroke-width="0.7"/>'


def _words(words: Words) -> str:
    weight = ' font-weight="600"' if words.bold else ""
    return (
        f'<text x="{_n(words.x)}" y="{_n(words.y)}" text-anchor="{words.anchor}" '
        f'font-size="{_n(words.size)}"{weight}>{escape(_plain(words.text))}</text>'
    )


def _n(number: float) -> str:
    return f"{round(number, 1):g}"


def _plain(text: str) -> str:
    """Text without what XML 1.0 cannot hold (its section 2.2: control characters, half characters)."""
    return "".join(
        each
        if each in "\t\n\r" or " " <= each < "\ud800" or "\ue000" <= each < "\ufffe" or each > "\uffff"
        else "\ufffd"
        for each in text
    )
