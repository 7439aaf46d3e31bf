"""The chapters of the record, one after the other, as ReportLab sets them.

Each heading that belongs in the contents is a `Heading`; it tells the book on which page it came to stand.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak, Paragraph

from plytally.core.checklist import checklist
from plytally.core.entry import Doubt, Place
from plytally.core.history import Logged
from plytally.core.likes import month_told, weekday
from plytally.core.pictures.build import build_figure
from plytally.core.pictures.drawing import Figure
from plytally.core.pictures.faces import part_figures
from plytally.core.pictures.stores import stores_figures, used_figures
from plytally.core.pictures.work import days_figure, hours_figures
from plytally.core.readback import asked, shown
from plytally.core.telling import finding_told, place_told
from plytally.record.content import NO_APPROVAL, Content, device_told, field_told, said_of
from plytally.record.paper import STYLES, Picture, printable, table, words
from plytally.record.photos import Photos, SmallPhoto, attached

MEASURED = {
    "measured": "measure",
    "weighed": "mass",
    "vacuum": "gauge",
    "mixed": "mass",
    "cured": "temperature",
}
MEASURED |= {"shop_air": "temperature"}
STANDS = "The diagrams and counts are of the whole log as it stands at the line named at the foot."
SIGNATURES = 6
MOST_ROWS_TOGETHER = 16
ROOM_TO_BEGIN = 220.0
"""A chapter begins on the same page where so many points are left."""


class Heading(Paragraph):  # type: ignore[misc]  # ReportLab has no types
    """A heading that stands in the contents, at level 0 or 1."""

    def __init__(self, text: str, level: int) -> None:
        super().__init__(words(text, "body").text, STYLES["section" if level else "chapter"])
        self.told, self.level = printable(text), level


@dataclass(frozen=True)
class Chapters:
    """Makes the pages of one record; `small` is None while pages are only counted."""

    content: Content
    width: float
    small: SmallPhoto | None = None

    def all(self) -> Iterator[Flowable]:
        """Everything behind the contents."""
        for number, (title, chapter) in enumerate(CHAPTERS, 1):
            yield PageBreak() if chapter in ON_A_PAGE_OF_ITS_OWN else CondPageBreak(ROOM_TO_BEGIN)
            yield Heading(f"{number}  {title}", 0)
            yield from chapter(self)

    def plies(self) -> Iterator[Flowable]:
        """Plies asked against laid, a drawing and a table a face, and the steps that lay nothing."""
        content = self.content
        yield words(STANDS)
        if not content.scope.parts:
            yield from self._figure(build_figure(content.ledger))
        names = {logged.id: logged.author for logged in content.state.order}
        drawn = [each for each in content.places if content.scope.parts or content.begun(each)]
        for place in drawn:
            name = place_told(place)
            above: Sequence[Flowable] = [Heading(name, 1)]
            for figure in part_figures(content.ledger, place, self._shown(), content.likes):
                yield from self._figure(figure, figure.title.removeprefix(f"{name}, "), above)
                above = ()
            for sheet in checklist(content.ledger, place, names):
                rows = [
                    (
                        line.step,
                        line.what,
                        box.station,
                        {"x": "done", "?": "in doubt"}.get(box.mark, "open"),
                        content.likes.days_in(box.told),
                    )
                    for line in sheet.lines
                    for box in line.boxes
                ]
                if sheet.references:
                    yield words(f"Drawings: {sheet.references}", "small")
                head = ("step", "what the print asks", "where", "state", "when and by whom")
                yield table(head, rows, (1, 4, 1.6, 1.2, 4), self.width)
        yield from self._not_begun([each for each in content.places if each not in drawn])
        if not content.places:
            yield words("No part of the print is within this record.")

    def _not_begun(self, places: Sequence[Place]) -> Iterator[Flowable]:
        """What the print asks of parts on which nothing is noted: their steps alone."""
        if places:
            yield Heading("parts not begun", 1)
            yield words("Nothing is noted on these parts. All that the print asks of them is still owed.")
        for place in places:
            for sheet in checklist(self.content.ledger, place):
                name = place_told(place) + (f"  ({sheet.references})" if sheet.references else "")
                rows = [
                    (line.step, line.what, ", ".join(filter(None, (box.station for box in line.boxes))))
                    for line in sheet.lines
                ]
                head = ("step", "what the print asks", "where")
                yield KeepTogether([words(name, "entry"), table(head, rows, (1, 6, 4), self.width)])

    def entries(self) -> Iterator[Flowable]:
        """Every entry within the scope, once, under its day."""
        day, month, likes = "", "", self.content.likes
        for logged in self.content.entries:
            if logged.wall[:7] != month:
                month = logged.wall[:7]
                yield Heading(month_told(logged.wall), 1)
            if logged.wall[:10] != day:
                day = logged.wall[:10]
                yield words(f"{weekday(logged.wall)}, {likes.day(logged.wall)}", "section")
            yield from self._entry(logged)
        if not self.content.entries:
            yield words("No entry is within this record.")

    def measured(self) -> Iterator[Flowable]:
        """What was measured, weighed, read off a gauge, mixed."""
        rows = [
            (
                str(self.content.number[each.id]),
                self.content.likes.moment(each.wall),
                shown(each.entry, self.content.likes),
                self._doubtful(each),
            )
            for each in self.content.entries
            if each.entry.kind in MEASURED and each.withdrawn is None
        ]
        yield from self._rows(
            ("no.", "when", "what", "doubt"), rows, (0.6, 2.9, 4.6, 1.9), "Nothing was measured."
        )

    def hours(self) -> Iterator[Flowable]:
        """Hours by part, category and week, and the days worked."""
        for figure in (
            *hours_figures(self.content.hours, self.content.likes),
            days_figure(self.content.entries, self.content.hours, self.content.likes),
        ):
            yield from self._figure(figure)

    def stores(self) -> Iterator[Flowable]:
        """Resin and cloth."""
        content, scope = self.content, self.content.scope
        if scope.parts:
            yield words("Resin is mixed for no part in particular: a record of all parts has what was mixed.")
        if scope.parts or scope.first or scope.last:
            yield words("What is in stock and left stands in a record of everything.")
            figures = used_figures(content.entries, content.stock, content.likes)
        else:
            figures = stores_figures(content.entries, content.stock, content.now[:10], content.likes)
        for figure in figures:
            yield from self._figure(figure)

    def changes(self) -> Iterator[Flowable]:
        """Every change with the value before it; nothing is ever erased."""
        none = True
        for logged, change, old, new in self.content.changed(self.content.likes):
            none = False
            where, when = device_told(change.device), self.content.likes.moment(change.wall)
            who = f"{change.author or 'someone'} on {where}, {when}"
            why = f" (“{change.why}”)" if change.why else ""
            line = f"{field_told(change.field)}: {old} → {new}, by {who}{why}"
            yield words(line, "inside", bold=f"no. {self.content.number[logged.id]}")
        if none:
            yield words("Nothing was changed.")

    def doubts(self) -> Iterator[Flowable]:
        """What still waits for an answer; such an entry does not count against the print."""
        for logged in self.content.doubts:
            yield words(
                shown(logged.entry, self.content.likes), "body", bold=f"no. {self.content.number[logged.id]}"
            )
            for doubt in logged.entry.doubts:
                yield words(asked(self.content.likes.doubt(doubt)), "inside")
        if not self.content.doubts:
            yield words("No entry waits for an answer.")

    def disagreements(self) -> Iterator[Flowable]:
        """Where the log and the print disagree."""
        for found in self.content.findings:
            told, number = finding_told(found), self.content.number[found.entry.id]
            yield words(self.content.likes.days_in(told), "inside", bold=f"no. {number}")
        if not self.content.findings:
            yield words("Nothing in these entries disagrees with the print.")

    def inspection(self) -> Iterator[Flowable]:
        """Blank lines to sign on."""
        yield words(NO_APPROVAL, "notice")
        yield words("What was looked at, by whom, with which certificate. Each line is for one inspection.")
        head = ("what was seen", "remarks", "date", "name", "certificate, kind and number", "signature")
        named = [place_told(place) for place in self.content.places] if self.content.scope.parts else []
        rows = [(name, "", "", "", "", "") for name in (*named[:SIGNATURES], *[" "] * SIGNATURES)]
        yield table(head, rows, (2.2, 2.2, 1.2, 1.8, 2, 2.2), self.width, high=46)  # room to write by hand

    def _doubtful(self, logged: Logged) -> str:
        return "; ".join(_named(self.content.likes.doubt(doubt)) for doubt in logged.entry.doubts)

    def _shown(self) -> Container[str] | None:
        """The entries that remarks may be about: in a record of some parts, those of these parts."""
        return self.content.number if self.content.scope.parts else None

    def _entry(self, logged: Logged) -> Iterator[Flowable]:
        """An entry, its first photos on the same page as its words."""
        parts = [*self._entry_words(logged), *attached(logged.attachments, self.small, self.content.likes)]
        first = next((at for at, each in enumerate(parts) if isinstance(each, Photos)), None)
        if first is None:
            yield from parts
        else:
            yield KeepTogether(parts[: first + 1])
            yield from parts[first + 1 :]

    def _entry_words(self, logged: Logged) -> Iterator[Flowable]:
        number, likes = self.content.number[logged.id], self.content.likes
        mark = "" if logged.withdrawn is None else "  [withdrawn]"
        yield words(f"{shown(logged.entry, likes) or logged.entry.kind}{mark}", "entry", bold=f"{number}.")
        who = f"{logged.author} on {device_told(logged.device)}"
        yield words(f"{likes.moment(logged.wall)}, by {who}; entry {logged.id}", "small")
        if logged.entry.said:
            yield words(f"said: “{logged.entry.said}”", "inside")
        if logged.withdrawn is not None:
            yield words(f"withdrawn: {logged.withdrawn or 'no reason given'}; it does not count", "inside")
        yield from (words(f"open: {asked(likes.doubt(doubt))}", "inside") for doubt in logged.entry.doubts)
        for name, told in said_of(logged, likes):
            yield words(f"{name}: {told}", "inside")

    def _figure(self, figure: Figure, title: str = "", above: Sequence[Flowable] = ()) -> Iterator[Flowable]:
        """A figure under what is above it, on one page unless its table is long."""
        parts = [*above, *self._figure_parts(figure, title or figure.title)]
        if len(figure.table.rows) <= MOST_ROWS_TOGETHER:
            yield KeepTogether(parts)
        else:
            yield from parts

    def _figure_parts(self, figure: Figure, title: str) -> Iterator[Flowable]:
        yield words(title, "section")
        if figure.drawing is not None:
            yield Picture(figure.drawing)
        yield from (words(f"• {remark}", "inside") for remark in figure.remarks)
        if figure.table.rows:
            wide = [
                max(7, *(min(24, len(row[at])) for row in (figure.table.head, *figure.table.rows)))
                for at in range(len(figure.table.head))
            ]
            yield table(figure.table.head, figure.table.rows, wide, self.width)

    def _rows(
        self, head: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float], none: str
    ) -> Iterator[Flowable]:
        yield table(head, rows, widths, self.width) if rows else words(none)


ON_A_PAGE_OF_ITS_OWN = (Chapters.plies, Chapters.entries, Chapters.inspection)
CHAPTERS: tuple[tuple[str, Any], ...] = (
    ("Plies asked and laid", Chapters.plies),
    ("Entries", Chapters.entries),
    ("Measured values", Chapters.measured),
    ("Hours and days", Chapters.hours),
    ("Resin and cloth", Chapters.stores),
    ("Changes, with the old values", Chapters.changes),
    ("Open doubts", Chapters.doubts),
    ("Where the log and the print disagree", Chapters.disagreements),
    ("Inspection", Chapters.inspection),
)


def _named(doubt: Doubt) -> str:
    return f"{field_told(doubt.field)}: {doubt.heard or 'not heard'}" + (
        f" or {doubt.runner_up}" if doubt.runner_up else ""
    )
