"""Is all of it still what was written? Every line, link, document and sound, without changing a byte.

It takes no lock and reads as it goes, so it may run beside a log in use; an end that is being written
just then is told as unfinished, not as damage.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from plytally.store.documents import DOCUMENTS_NAME, copy_of, unframed
from plytally.store.errors import telling
from plytally.store.journal import JOURNAL_NAME
from plytally.store.line import EMPTY, Head, LineError, Record, follows, parse, strict_problem
from plytally.store.media import MEDIA_NAME, MediaFolder, digest_of
from plytally.store.tail import is_torn, month_files

Progress = Callable[[int, int], None]
"""Called with the bytes looked at and the bytes there are."""


@dataclass(frozen=True, slots=True)
class Damage:
    """One thing that is not what was written; `line` is 0 where a whole file is meant."""

    file: Path
    line: int
    what: str

    def __str__(self) -> str:
        return f"{self.file}{f', line {self.line}' if self.line else ''}: {self.what}"


@dataclass
class Report:
    """What a look at a data folder found.

    `records` counts the sound lines, `head` is the last one's; `unfinished` tells of an end that is being
    written or was cut by a power loss; `lacking` has the addresses of sounds and photos that entries
    name (`named`) and that are not here, which is no damage: a phone may still have them.
    """

    files: int = 0
    records: int = 0
    media: int = 0
    head: Head = EMPTY
    damage: list[Damage] = field(default_factory=list)
    unfinished: str = ""
    lacking: set[str] = field(default_factory=set)
    named: set[str] = field(default_factory=set)

    @property
    def sound(self) -> bool:
        """Whether everything is what was written."""
        return not self.damage


def verify(folder: Path, progress: Progress | None = None) -> Report:
    """Look at everything in a data folder. StoreError only if something cannot be read at all."""
    report = Report()
    with telling("verifying", folder):
        paths, media = journal_files(folder), MediaFolder(folder / MEDIA_NAME)
        step = _stepper([*paths, *map(media.path, media)], progress)
        for _ in SoundRecords(report, step).read(paths):
            pass
        _look_at_documents(folder / DOCUMENTS_NAME, report)
        _look_at_media(media, report, step)
    return report


class SoundRecords:
    """Reads the records that are whole, unchanged and the first with their id; tells `report` of all else."""

    def __init__(self, report: Report, step: Callable[[int], None] = lambda size: None) -> None:
        self._report, self._step = report, step
        self._head: Head | None = report.head
        self._seen: set[str] = set()

    def read(self, paths: list[Path]) -> Iterator[Record]:
        """The sound records of these files, in order."""
        for path in paths:
            self._report.files += 1
            for number, line in self._lines(path, last=path == paths[-1]):
                self._step(len(line))
                record = self._judged(path, number, line)
                if record is not None:
                    self._report.records, self._report.head = self._report.records + 1, record.head
                    self._report.named |= _media_of(record)
                    yield record

    def _lines(self, path: Path, last: bool) -> Iterator[tuple[int, bytes]]:
        """Each line with its number, up to an end that was never finished."""
        with path.open("rb") as lines:
            for number, line in enumerate(lines, 1):
                if last and (not line.endswith(b"\n") or b"\0" in line):
                    at = lines.tell()
                    if is_torn(rest := line + lines.read()):
                        self._report.unfinished = (
                            f"{path}: its last {len(rest)} bytes are not a finished line"
                        )
                        return
                    lines.seek(at)
                yield number, line

    def _judged(self, path: Path, number: int, line: bytes) -> Record | None:
        try:
            record = parse(line)
        except LineError as problem:
            self._head = None  # whatever follows cannot be held against this line
            self._report.damage.append(Damage(path, number, str(problem)))
            return None
        problems = [
            follows(record, self._head) if self._head else "",
            strict_problem(line, record),
            "its operation is in the log already" if record.operation.id in self._seen else "",
        ]
        self._report.damage += [Damage(path, number, problem) for problem in problems if problem]
        self._head = record.head
        self._seen.add(record.operation.id)
        return None if any(problems[1:]) else record


def journal_files(folder: Path) -> list[Path]:
    """The log's files of a data folder, none if it has no log yet."""
    journal = folder / JOURNAL_NAME
    return month_files(journal) if journal.is_dir() else []


def _media_of(record: Record) -> set[str]:
    media = record.operation.body.get("media")
    return {media} if record.operation.act == "attach" and isinstance(media, str) else set()


def _look_at_documents(path: Path, report: Report) -> None:
    for file in (path, copy_of(path)):
        if file.exists() and unframed(file) is None:
            report.damage.append(Damage(file, 0, "it is not what was written"))


def _look_at_media(media: MediaFolder, report: Report, step: Callable[[int], None]) -> None:
    present = set[str]()
    for address in media:
        path = media.path(address)
        step(path.stat().st_size)
        present.add(address)
        if digest_of(path) != address:
            report.damage.append(Damage(path, 0, "it is not what its name says"))
    report.media, report.lacking = len(present), report.named - present


def _stepper(paths: list[Path], progress: Progress | None) -> Callable[[int], None]:
    """Counts the bytes looked at, against those in `paths`."""
    if progress is None:
        return lambda size: None
    total, done = sum(path.stat().st_size for path in paths), 0

    def step(size: int) -> None:
        nonlocal done
        done = min(done + size, total)
        progress(done, total)

    return step
