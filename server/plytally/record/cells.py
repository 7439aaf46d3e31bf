"""Tables as CSV by RFC 4180: CRLF ends, quotes where needed, UTF-8; and no cell that a spreadsheet would run.

A spreadsheet takes a cell that begins with = + - @ for a formula. Such a cell gets an apostrophe in front,
unless it is a plain number; so does one that begins with an apostrophe, so that `as_typed` can take it off.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence

MEDIA_TYPE = "text/csv; charset=utf-8; header=present"
GUARD = "'"
_RUNS = tuple("=+-@\t\r\n＝＋－＠" + GUARD)
_NUMBER = re.compile(r"[+-]?\d{1,15}(\.\d{1,15})?", re.ASCII)
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def guarded(text: str) -> str:
    """The text as a cell that no spreadsheet takes for a formula; control characters as code points.

    >>> guarded("=1+1"), guarded("-3"), guarded("- 3 plies")
    ("'=1+1", '-3', "'- 3 plies")
    """
    shown = _CONTROL.sub(lambda found: f"[U+{ord(found[0]):04X}]", text)
    return GUARD + shown if shown.startswith(_RUNS) and not _NUMBER.fullmatch(shown) else shown


def as_typed(cell: str) -> str:
    """The text that `guarded` made this cell of, but for control characters."""
    return cell.removeprefix(GUARD)


def csv_lines(head: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[bytes]:
    """The table, a piece for each row; a row may hold line ends inside its quotes."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(head)
    yield _taken(out)
    for row in rows:
        writer.writerow([guarded(text) for text in row])
        yield _taken(out)


def _taken(out: io.StringIO) -> bytes:
    text = out.getvalue()
    out.seek(0)
    out.truncate()
    return text.encode("utf-8")
