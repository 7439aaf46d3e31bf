"""The print as the desk works on it: its text, what another text would change, and making that the print.

Nothing is written over: each text that ever counted stays on the shelf. A text takes the place of the one
that its writer had before them and of no other, so that two browsers cannot undo each other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from plytally.core.checklist import checklist
from plytally.core.checklist_page import checklist_html
from plytally.core.entry import Place
from plytally.core.ledger import Ledger
from plytally.core.likes import USUAL, Likes
from plytally.core.revised import effects, effects_told
from plytally.core.revisions import changes, changes_told
from plytally.core.schedule import Part, Schedule, ScheduleError
from plytally.core.telling import step_told
from plytally.schedule_table import csv_from_schedule
from plytally.workshop.bench import Bench
from plytally.workshop.print_shelf import YAML, schedule_from_text

Json = dict[str, Any]


class PrintMoved(Exception):
    """Another text was made the print meanwhile; nothing was changed."""


@dataclass(frozen=True)
class PrintDesk:
    """The print of one bench."""

    bench: Bench
    liked: Callable[[], Likes] = lambda: USUAL

    def shown(self) -> Json:
        """The print that counts: its text as it was given, its parts, and every text that counted before."""
        with self.bench.mutex:
            rows, print_ = self.bench.shelf.rows(), self.bench.schedule
            text = self.bench.shelf.text(rows[-1]) if rows else ""
        return {
            "text": text,
            "kind": rows[-1].get("kind", YAML) if rows else YAML,
            "base": rows[-1]["sha256"] if rows else "",
            "aircraft": print_.aircraft,
            "revision": print_.revision,
            "steps": len(print_.steps),
            "parts": [_part(part) for part in print_.parts],
            "revisions": [_revision(row) for row in reversed(rows)],
        }

    def text(self, sha256: str) -> str | None:
        """A text that counted once, as it was given; None for one that never did."""
        found = (row for row in self.bench.shelf.rows() if row["sha256"] == sha256)
        row = next(found, None)
        return self.bench.shelf.text(row) if row else None

    def compare(self, text: str, kind: str) -> Json:
        """What is wrong with a text, or what it would change in the print and in what is laid already."""
        try:
            new = schedule_from_text(text, kind)
        except ScheduleError as problem:
            return {"problems": list(problems_of(problem)), "changes": [], "effects": [], "told": ""}
        with self.bench.mutex:
            old, ledger, entries = self.bench.schedule, self.bench.ledger, self.bench.entries()
            laid = effects_told(effects(ledger, Ledger(new, entries))) if old.parts else ()
            changed = changes_told(changes(old, new)) if old.parts else ()
        return {
            "problems": [],
            "changes": list(changed),
            "effects": [self.liked().days_in(each) for each in laid],
            "told": _told(new),
        }

    def take(self, text: str, kind: str, base: str) -> Json:
        """Make a text the print that counts, in place of `base`. ScheduleError, PrintMoved."""
        with self.bench.mutex:
            rows = self.bench.shelf.rows()
            if (rows[-1]["sha256"] if rows else "") != base:
                raise PrintMoved
            self.bench.take_text(text, kind)
        return self.shown()

    def table(self) -> str:
        """The print that counts as CSV, for a spreadsheet."""
        return csv_from_schedule(self.bench.schedule)

    def checklist(self) -> str:
        """A checklist of the whole print as one page of HTML, to be printed."""
        with self.bench.mutex:
            names = {logged.id: logged.author for logged in self.bench.log.state.order}
            sheets = checklist(self.bench.ledger, Place(), names)
            print_, day = self.bench.schedule, str(self.bench.now())[:10]
        heading = f"{print_.aircraft or 'no print'}, print revision {print_.revision or '-'}"
        likes = self.liked()
        return checklist_html(sheets, f"{heading}: checklist of {likes.day(day)}", likes)


def problems_of(problem: ScheduleError) -> Iterator[Json]:
    """Each problem with where it is; line 0 is the whole text."""
    for each in problem.problems:
        yield {"line": each.line, "counted": each.counted, "message": each.message}


def _part(part: Part) -> Json:
    return {
        "part": part.name,
        "sides": list(part.sides),
        "references": "; ".join(filter(None, (part.drawing, part.manual))),
        "steps": [
            {
                "step": step.id,
                "told": step_told(step),
                "after": list(step.after),
                "disturbs": list(step.disturbs),
                "more": "; ".join(
                    [
                        *(f"{other.material} instead, because: {other.because}" for other in step.instead),
                        *filter(None, (step.drawing, step.manual, step.note)),
                    ]
                ),
            }
            for step in part.steps
        ],
    }


def _revision(row: Json) -> Json:
    told = {name: row[name] for name in ("sha256", "taken", "aircraft", "revision")}
    return told | {"kind": row.get("kind", YAML)}


def _told(new: Schedule) -> str:
    return (
        f"{new.aircraft}, revision {new.revision}: {len(new.parts)} parts, "
        f"{len(new.steps)} steps with both sides counted"
    )
