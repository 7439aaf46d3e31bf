"""The record as a PDF: title page, contents, chapters, page x of y, the log's hash at every foot.

Made in two goes. The first counts pages, with room in place of photos, and finds where each heading stands;
the second puts everything on paper. The same log at the same time gives the same bytes.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, BinaryIO

from reportlab import rl_config
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, KeepTogether, PageBreak, PageTemplate, Spacer

from plytally.record.content import NO_APPROVAL, Content, device_told
from plytally.record.pages import Chapters, Heading
from plytally.record.paper import BOLD, PLAIN, register_fonts, table, words
from plytally.record.photos import SmallPhoto

PAPERS: Mapping[str, tuple[float, float]] = {"a4": A4, "letter": LETTER}
EDGE, FOOT = 18 * mm, 24 * mm
LINES = (17.0, 13.0)
"""How high a line of the contents is, by its level."""

ROOM_OF_A_HEADING, MOST_TIGHT = 34.0, 0.84
FOOT_SAYS = "a builder's own record, no approval"
HOW_TO_READ = (
    "The print is the builder's own copy of the layup schedule; a ply is one layer of cloth. Asked is "
    "what the print calls for, laid what was noted and counts, owed what is missing, in doubt what was "
    "noted but waits for an answer and does not count, over what is more than asked. “BID at 45°” is a "
    "cloth and its angle, both by the names of the print.",
    "Each entry stands once, by the role of who noted it, with the device's own time and its offset "
    "from UTC. “said” has the words as a program heard them, or as they were typed. “plies: 7 → 6” has "
    "every value that a field was given, the first one first; chapter 6 says who gave it, and why. What "
    "is withdrawn stays, marked, and counts no more. “accepted” says who looked at an entry at the desk "
    "and found it right.",
    "Every line of the log is chained to the one before by SHA-256, and every sound and photo is named "
    "by the SHA-256 of its file: with the log and its files, any program for checksums shows whether "
    "they are what this paper tells of. The hash at the foot of each page stands for the whole log up "
    "to that line.",
)
"""For who has only the paper."""

rl_config.useA85 = 0  # photos go in as the JPEG they are, not as text a quarter larger

Progress = Callable[[int, int], None]
"""Called with the pages made and the pages there will be."""


@dataclass(frozen=True)
class Counted:
    """What the first go found: how many pages, and the page of each heading."""

    pages: int
    headings: tuple[tuple[str, int, int], ...]


class _Book(BaseDocTemplate):  # type: ignore[misc]  # ReportLab has no types
    """One go over the pages."""

    def __init__(self, out: BinaryIO, content: Content, paper: str, pages: int, step: Progress) -> None:
        size = PAPERS[paper]
        scope = content.scope.told_as(content.likes)
        what = f"Build record: {content.schedule.aircraft or 'no print yet'}, {scope}"
        super().__init__(
            out, pagesize=size, title=what, author="the builder", subject=NO_APPROVAL, creator="plytally",
            lang="en", invariant=1, pageCompression=1,
        )  # fmt: skip
        self.head, self.pages, self.step = content.head, pages, step
        self.found: list[tuple[str, int, int]] = []
        frame = Frame(EDGE, FOOT, size[0] - 2 * EDGE, size[1] - EDGE - FOOT, 0, 0, 0, 0)
        self.addPageTemplates(PageTemplate("page", [frame], onPage=self.foot))

    def foot(self, canvas: Any, document: Any) -> None:
        """What stands at the foot of each page."""
        across, right = canvas._pagesize[0], canvas._pagesize[0] - EDGE
        canvas.setLineWidth(0.6)
        canvas.line(EDGE, FOOT - 5 * mm, right, FOOT - 5 * mm)
        canvas.setFont(BOLD, 8)
        canvas.drawRightString(right, FOOT - 9 * mm, f"page {canvas.getPageNumber()} of {self.pages or '?'}")
        canvas.drawString(EDGE, FOOT - 9 * mm, FOOT_SAYS)
        canvas.setFont(PLAIN, 6.5)
        said = f"log up to line {self.head.seq}, SHA-256 {self.head.hash}"
        canvas.drawCentredString(across / 2, FOOT - 13 * mm, said)

    def afterFlowable(self, flowable: Flowable) -> None:
        """Note where a heading came to stand, and let the reader's side bar lead there."""
        if isinstance(flowable, Heading):
            key = f"h{len(self.found)}"
            self.canv.bookmarkPage(key)
            self.canv.addOutlineEntry(flowable.told, key, flowable.level, closed=flowable.level == 0)
            self.found.append((flowable.told, flowable.level, self.page))

    def afterPage(self) -> None:
        """Tell how far it is."""
        self.step(self.page, self.pages)


def write_pdf(
    content: Content, out: BinaryIO, small: SmallPhoto, paper: str = "a4", progress: Progress | None = None
) -> int:
    """Write the record to `out`; how many pages it has."""
    register_fonts()
    step = progress or (lambda done, total: None)
    width = PAPERS[paper][0] - 2 * EDGE
    blank = list(Chapters(content, width).all())
    counted = _go(
        io.BytesIO(), content, paper, Counted(0, tuple(_headings_in(blank))), blank, lambda *_: None
    )
    return _go(out, content, paper, counted, Chapters(content, width, small).all(), step).pages


def _go(
    out: BinaryIO, content: Content, paper: str, known: Counted, chapters: Any, step: Progress
) -> Counted:
    book = _Book(out, content, paper, known.pages, step)
    width = PAPERS[paper][0] - 2 * EDGE
    book.build([*_front(content, width), *_contents(known, width, PAPERS[paper][1]), *chapters])
    return Counted(book.page, tuple(book.found))


def _headings_in(flowables: Iterable[Flowable]) -> Iterator[tuple[str, int, int]]:
    """Every heading, in those that are kept together too: how long the contents will be."""
    for each in flowables:
        if isinstance(each, Heading):
            yield each.told, each.level, 0
        elif isinstance(each, KeepTogether):
            yield from _headings_in(each._content)


def _front(content: Content, width: float) -> Iterator[Flowable]:
    print_, likes = content.schedule, content.likes
    scope_told = content.scope.told_as(likes)
    yield Spacer(1, 60)
    yield words("Build record", "title")
    yield words(f"{print_.aircraft or 'no layup schedule yet'}, {scope_told}", "subtitle")
    yield words(NO_APPROVAL, "notice")
    authors = Counter(logged.author for logged in content.entries)
    devices = Counter(device_told(logged.device) for logged in content.entries)
    withdrawn = sum(logged.withdrawn is not None for logged in content.entries)
    walls = [logged.wall for logged in content.entries]
    ends = f"{likes.day(min(walls))} to {likes.day(max(walls))}" if walls else "no entries"
    rows = (
        ("aircraft", print_.aircraft or "not said"),
        ("print revision", print_.revision or "not said"),
        ("SHA-256 of its file", content.print_sha256 or "no file"),
        ("this record is of", scope_told),
        ("entries", f"{len(content.entries)}, {withdrawn} of them withdrawn; {ends}"),
        ("open doubts", str(len(content.doubts))),
        ("noted by", _counted(authors)),
        ("devices", _counted(devices)),
        ("made", likes.moment(content.now)),
        ("log", f"{content.head.seq} lines, each chained by SHA-256 to the one before"),
        ("last line's hash", content.head.hash),
        ("builder", ""),
        ("serial number", ""),
        ("builder's signature and date", ""),
    )
    yield table(("", ""), rows, (1, 2.6), width)
    yield words("How to read it", "section")
    yield from (words(told, "inside") for told in HOW_TO_READ)
    yield PageBreak()


def _contents(known: Counted, width: float, high: float) -> Iterator[Flowable]:
    """One line a heading; a few too many for a page are set closer, so that none stands alone on the next."""
    yield words("Contents", "chapter")
    wanted = sum(LINES[level] for _, level, _ in known.headings)
    room = high - EDGE - FOOT - ROOM_OF_A_HEADING
    tight = room / wanted if room < wanted <= room / MOST_TIGHT else 1.0
    for told, level, page in known.headings:
        yield _Leader(told, level, page, width, LINES[level] * tight)


def _counted(names: Counter[str]) -> str:
    return ", ".join(f"{name} ({count})" for name, count in names.most_common()) or "nobody yet"


class _Leader(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """One line of the contents, dotted across to its page."""

    def __init__(self, told: str, level: int, page: int, width: float, high: float) -> None:
        super().__init__()
        self.told, self.level, self.page, self.width, self.high = told, level, page, width, high

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """One line."""
        return self.width, self.high

    def draw(self) -> None:
        """The words, the dots, the page."""
        canvas, indent = self.canv, 14 * self.level
        font, size = (BOLD, 10.5) if self.level == 0 else (PLAIN, 9)
        canvas.setFont(font, size)
        told = _fitted(canvas, self.told, font, size, self.width - indent - 40)
        canvas.drawString(indent, 3, told)
        canvas.drawRightString(self.width, 3, str(self.page or ""))
        canvas.setDash([1, 3])
        canvas.setLineWidth(0.6)
        start = indent + canvas.stringWidth(told, font, size) + 6
        canvas.line(start, 4, self.width - 26, 4)
        canvas.setDash([])


def _fitted(canvas: Any, text: str, font: str, size: float, width: float) -> str:
    if canvas.stringWidth(text, font, size) <= width:
        return text
    while text and canvas.stringWidth(f"{text}…", font, size) > width:
        text = text[:-1]
    return f"{text}…"
