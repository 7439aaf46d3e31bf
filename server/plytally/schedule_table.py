"""A layup schedule's CSV file (RFC 4180) to a Schedule and back; what its rows mean is core's.

Cells are parted by commas; a cell with commas, quotes or line ends stands in double quotes.
"""

from __future__ import annotations

import csv
import io
import re

from plytally.core.schedule import Problem, Schedule, ScheduleError
from plytally.core.schedule_rows import rows_of, schedule_from_rows


def schedule_from_csv(text: str) -> Schedule:
    """Give the schedule that CSV text holds; ScheduleError tells every problem with its row."""
    return schedule_from_rows(table_rows(text))


def csv_from_schedule(schedule: Schedule) -> str:
    """Give a schedule as CSV text, with all that it holds."""
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows_of(schedule))
    return out.getvalue()


def table_rows(text: str) -> list[list[str]]:
    """Give the rows of RFC 4180 text. ScheduleError for a quote left open, or text after a closing one."""
    rows: list[list[str]] = []
    try:
        rows.extend(csv.reader(_lines(text), strict=True))
    except csv.Error as problem:
        told = f"this is not readable as a table ({problem}); check that every quote is closed and doubled"
        raise ScheduleError([Problem(f"{told} inside a cell", len(rows) + 1, "row")]) from problem
    if not rows:
        raise ScheduleError([Problem("the file is empty; a table begins with its heading", 1, "row")])
    return rows


def _lines(text: str) -> list[str]:
    """Lines with their ends: CR LF, LF or CR, and no other sign that splits."""
    return re.findall(r"[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+", text)
