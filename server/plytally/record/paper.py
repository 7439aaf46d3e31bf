"""What the record's pages are set with: an embedded font, styles, tables, and drawings as on the screen.

The font is DejaVu Sans Condensed (record/fonts, free licence beside it): Latin, Greek, Cyrillic, signs. A
letter it lacks comes out as its code point, [U+65E5], so that nothing is lost in silence.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Flowable, LongTable, Paragraph, TableStyle

from plytally.core.pictures.drawing import MARKS, Box, Drawing, Shape, Stroke, Words, hatch

FONTS = Path(__file__).with_name("fonts")
PLAIN, BOLD = "Record", "Record-Bold"
_FILES = {PLAIN: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}
PADDING = 4.0
MOST_LETTERS = 20_000
"""Of one text on paper; the log has the rest, and the paper says so."""


def _style(name: str, size: float, lead: float, font: str = PLAIN, **more: Any) -> ParagraphStyle:
    return ParagraphStyle(name, fontName=font, fontSize=size, leading=lead, **more)


STYLES = {
    "title": _style("title", 26, 32, BOLD, spaceAfter=6),
    "subtitle": _style("subtitle", 14, 19, spaceAfter=14),
    "chapter": _style("chapter", 17, 22, BOLD, spaceBefore=22, spaceAfter=8, keepWithNext=1),
    "section": _style("section", 12.5, 16, BOLD, spaceBefore=10, spaceAfter=4, keepWithNext=1),
    "entry": _style("entry", 10, 13, BOLD, spaceBefore=7, keepWithNext=1),
    "body": _style("body", 9.5, 12.5, spaceAfter=3),
    "inside": _style("inside", 8.5, 11.2, leftIndent=14),
    "small": _style("small", 7.5, 9.6),
    "cell": _style("cell", 8, 10),
    "head": _style("head", 8, 10, BOLD),
    "notice": _style(
        "notice", 10.5, 14, BOLD, borderWidth=1.2, borderColor=colors.black, borderPadding=8, spaceBefore=12,
        spaceAfter=16, leftIndent=9, rightIndent=9,
    ),
}  # fmt: skip


@cache
def register_fonts() -> frozenset[int]:
    """Make the fonts known to ReportLab; the code points that both have."""
    known: set[int] | None = None
    for name, file in _FILES.items():
        font = TTFont(name, str(FONTS / file))
        pdfmetrics.registerFont(font)
        have = set(font.face.charToGlyph)
        known = have if known is None else known & have
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
    return frozenset(known or ())


def printable(text: str) -> str:
    """The text as the font can show it, control characters and what it lacks as code points."""
    if text.isascii() and text.isprintable():
        return text
    known = register_fonts()
    return "".join(each if ord(each) in known and each >= " " else _code(each) for each in text)


def _code(letter: str) -> str:
    return " " if letter in "\t\n\r" else f"[U+{ord(letter):04X}]"


def words(text: str, style: str = "body", bold: str = "") -> Paragraph:
    """A paragraph of plain text, escaped; `bold` comes before it."""
    cut = text[:MOST_LETTERS]
    told = escape(printable(cut))
    if len(text) > len(cut):
        told += escape(f" … ({len(text) - len(cut)} more letters are in the log)")
    head = f"<b>{escape(printable(bold))}</b> " if bold else ""
    return Paragraph(head + told, STYLES[style])


RULED = TableStyle(
    [
        ("GRID", (0, 0), (-1, -1), 0.5, colors.black),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("FONT", (0, 0), (-1, -1), PLAIN, 8, 10),
        ("TOPPADDING", (0, 0), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
        ("LEFTPADDING", (0, 0), (-1, -1), PADDING),
        ("RIGHTPADDING", (0, 0), (-1, -1), PADDING),
    ]
)


def _cell(text: str, style: str, width: float) -> Any:
    """What goes into a cell: plain text where it fits on one line, as that is much quicker to set."""
    font = BOLD if style == "head" else PLAIN
    told = printable(text[:MOST_LETTERS])
    fits = len(told) < 200 and pdfmetrics.stringWidth(told, font, 8) <= width - 2 * PADDING - 1
    return told if fits else words(text, style)


def table(
    head: Sequence[str],
    rows: Iterable[Sequence[str]],
    widths: Sequence[float],
    total: float,
    high: float | None = None,
) -> Flowable:
    """A ruled table whose head stands on each page; `widths` are shares of `total` points.

    `high` is the height of each row, by what is in it where None.
    """
    shares = [width * total / sum(widths) for width in widths]
    lines = [head] if any(head) else []
    cells = [[_cell(text, "head", wide) for text, wide in zip(row, shares, strict=True)] for row in lines]
    cells += [[_cell(text, "cell", wide) for text, wide in zip(row, shares, strict=True)] for row in rows]
    heights = [high if number or not lines else None for number in range(len(cells))]
    made = LongTable(
        cells, shares, heights, repeatRows=len(lines), splitByRow=1, splitInRow=1, hAlign="LEFT", style=RULED
    )
    if lines:
        made.setStyle(
            [("LINEBELOW", (0, 0), (-1, 0), 1.2, colors.black), ("FONTNAME", (0, 0), (-1, 0), BOLD)]
        )
    made.spaceBefore, made.spaceAfter = 4, 8
    return made


class Picture(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """A drawing of `core.pictures`, no wider than the page's text."""

    def __init__(self, drawing: Drawing) -> None:
        super().__init__()
        self.drawing, self.scale = drawing, 1.0

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """How much room it takes."""
        self.scale = min(1.0, width / self.drawing.width, (height - 1) / self.drawing.height)
        if self.scale < 0.4:
            self.scale = min(1.0, width / self.drawing.width)
        return self.drawing.width * self.scale, self.drawing.height * self.scale

    def draw(self) -> None:
        """Put it on the page."""
        canvas, height = self.canv, self.drawing.height
        canvas.saveState()
        canvas.scale(self.scale, self.scale)
        for shape in self.drawing.shapes:
            _put(canvas, shape, height)
        canvas.restoreState()


def _put(canvas: Any, shape: Shape, height: float) -> None:
    if isinstance(shape, Words):
        canvas.setFont(BOLD if shape.bold else PLAIN, shape.size * 0.92)
        put = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
        put[shape.anchor](shape.x, height - shape.y, printable(shape.text))
    elif isinstance(shape, Stroke):
        _stroke(canvas, shape, height)
    else:
        _box(canvas, shape, height)


def _stroke(canvas: Any, line: Stroke, height: float) -> None:
    canvas.setLineWidth(line.weight)
    canvas.setDash([4, 3] if line.dashed else [])
    canvas.line(line.x1, height - line.y1, line.x2, height - line.y2)


def _box(canvas: Any, box: Box, height: float) -> None:
    mark = MARKS[box.mark]
    for angle in mark.angles:
        for line in hatch(box, angle, mark.apart):
            _stroke(canvas, line, height)
    canvas.setLineWidth(mark.weight)
    canvas.setDash([4, 3] if mark.dashed else [])
    canvas.rect(box.x, height - box.y - box.height, box.width, box.height, stroke=1, fill=int(mark.solid))
