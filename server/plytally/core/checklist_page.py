"""A checklist as one HTML page that needs nothing else: to be printed, signed and kept with the plans."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from plytally.core.checklist import Box, Line, Sheet
from plytally.core.likes import USUAL, Likes
from plytally.core.shop.cautions import DECIDE

_STYLE = """\
body { font: 11pt/1.35 sans-serif; color: #000; background: #fff; margin: 2em; }
section { break-inside: auto; margin-top: 1.5em; }
h2 { font-size: 1.15em; border-bottom: 1.5px solid #000; break-after: avoid; }
table { border-collapse: collapse; width: 100%; }
td, th { border: 1px solid #000; padding: .3em .5em; text-align: left; vertical-align: top; }
tr { break-inside: avoid; }
.box { width: 2em; text-align: center; font-size: 1.2em; }
.remark { font-size: .85em; }
.sign { margin-top: 1.5em; }
@page { margin: 15mm; }"""
_MARKS = {"x": ("☑", "done"), "?": ("?", "in doubt"), "": ("☐", "open")}


def checklist_html(sheets: Sequence[Sheet], heading: str, likes: Likes = USUAL) -> str:
    """Give sheets as a whole page of HTML; every word of the builder's is escaped."""
    body = "\n".join(line for sheet in sheets for line in _sheet(sheet, likes))
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{escape(heading)}</title>\n<style>\n{_STYLE}\n</style>\n</head>\n<body>\n<h1>{escape(heading)}</h1>\n{body}\n"
        f"<p>{escape(DECIDE)}</p>\n</body>\n</html>\n"
    )


def _sheet(sheet: Sheet, likes: Likes) -> Iterator[str]:
    yield f"<section>\n<h2>{escape(sheet.title)}</h2>"
    if sheet.references:
        yield f"<p>{escape(sheet.references)}</p>"
    yield "<table>\n<tr><th>step</th><th>what</th><th>where</th><th>done</th><th>when and by whom</th></tr>"
    for line in sheet.lines:
        for number, box in enumerate(line.boxes):
            yield f"<tr>{_what(line) if number == 0 else ''}{_box(box, likes)}</tr>"
    yield "</table>"
    yield from (f"<p>look at: {escape(likes.days_in(snag))}</p>" for snag in sheet.snags)
    yield '<p class="sign">seen by: ____________________ on: ____________</p>\n</section>'


def _what(line: Line) -> str:
    span = f' rowspan="{len(line.boxes)}"' if len(line.boxes) > 1 else ""
    remarks = "".join(f'<div class="remark">{escape(remark)}</div>' for remark in line.remarks)
    return f"<th{span}>{escape(line.step)}</th><td{span}>{escape(line.what)}{remarks}</td>"


def _box(box: Box, likes: Likes) -> str:
    sign, label = _MARKS[box.mark]
    mark = f'<td class="box" title="{label}">{sign}</td>'
    return f"<td>{escape(box.station)}</td>{mark}<td>{escape(likes.days_in(box.told))}</td>"
