"""What a phone saved to a file, brought into the log: the way back for a phone that cannot sync any more.

Its operations are taken as if it had sent them, its sounds and photos by their hash. What had not become an
entry on the phone becomes one here, under ids that follow from the phone's own, so that the same file, or a
later one of the same phone, changes nothing that is here already.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.clock import local_zone
from plytally.core.clock import is_uuid7
from plytally.core.clock_acts import with_due
from plytally.core.desk.acts import Act, Asker
from plytally.core.entry import Doubt, Entry
from plytally.core.hearing import Hearing, typed
from plytally.core.wall import Wall
from plytally.record.errors import ImportRefused
from plytally.record.reading import Progress
from plytally.workshop.bench import Bench

OPERATIONS, WAITING, ABOUT_MEDIA = "operations.jsonl", "waiting.jsonl", "media.jsonl"
MOST_MEDIUM, MOST_LINES = 128 * 1024 * 1024, 256 * 1024 * 1024
BATCH = 200
SENDER = "a phone's file"
NOT_UNDERSTOOD = "the phone had not gone through it; the recording is kept"
_MEDIUM = re.compile(r"media/(?P<head>[0-9a-f]{16}|unsent)-[0-9a-f]{12}\.[a-z0-9.+-]{1,20}")


@dataclass(frozen=True)
class Taken:
    """What came in: operations by what became of them, media, and entries made of what had waited."""

    new: int
    known: int
    refused: tuple[str, ...]
    media: int
    notes: int
    damaged: tuple[str, ...]


def take_phone_file(bench: Bench, source: Path, progress: Progress | None = None) -> Taken:
    """Bring a phone's file in. ImportRefused if it is none, or not whole; what is damaged in it is named."""
    step = progress or (lambda done, total: None)
    try:
        with zipfile.ZipFile(source) as file:
            return _take(bench, _PhoneFile(file, source), step)
    except FileNotFoundError as problem:
        raise ImportRefused(f"there is no file {source}") from problem
    except (zipfile.BadZipFile, zipfile.LargeZipFile, OSError) as problem:
        raise ImportRefused(
            f"{source} is no file of a phone, or not whole ({problem}): save it again"
        ) from problem


def _take(bench: Bench, file: _PhoneFile, step: Progress) -> Taken:
    operations = list(file.lines(OPERATIONS))
    waiting, about = (
        list(file.lines(WAITING, optional=True)),
        list(file.lines(ABOUT_MEDIA, optional=True)),
    )
    kept, damaged, names = dict[str, str](), list[str](), file.media()
    for done, name in enumerate(names, 1):
        address = _keep(bench, file, name)
        if address is None:
            damaged.append(name)
        else:
            kept[name] = address
        step(done, len(names))
    new, known, refused = 0, 0, list[str]()
    for start in range(0, len(operations), BATCH):
        appended = bench.log.receive(operations[start : start + BATCH], SENDER)
        new, known = new + len(appended.records), known + len(appended.known)
        refused += [f"{refusal.id}: {refusal.why}" for refusal in appended.refused]
    notes = sum(_note_words(bench, each) for each in waiting)
    notes += sum(_note_medium(bench, each, kept) for each in about if not each.get("noted"))
    return Taken(new, known, tuple(refused), len(kept), notes, tuple(damaged))


class _PhoneFile:
    def __init__(self, file: zipfile.ZipFile, source: Path) -> None:
        self._file, self._source = file, source
        self._names = {info.filename: info.file_size for info in file.infolist()}

    def lines(self, name: str, *, optional: bool = False) -> Iterator[Mapping[str, Any]]:
        """The JSON objects of one of its lists. ImportRefused names the line that is none."""
        if name not in self._names:
            if optional:
                return
            raise ImportRefused(f"{self._source} holds no {name}: it is not what a phone saved")
        self._check(name, MOST_LINES)
        for number, line in enumerate(self._file.read(name).splitlines(), 1):
            try:
                found = json.loads(line)
            except (ValueError, RecursionError) as problem:
                raise ImportRefused(f"{self._source}, {name}, line {number}: {problem}") from problem
            if not isinstance(found, dict):
                raise ImportRefused(f"{self._source}, {name}, line {number}: wanted an object")
            yield found

    def media(self) -> list[str]:
        """The names of its sounds and photos."""
        found = [name for name in self._names if name.startswith("media/") and not name.endswith("/")]
        for name in found:
            if not _MEDIUM.fullmatch(name):
                raise ImportRefused(f"{self._source}: {name!r} is no name that a phone gives")
            self._check(name, MOST_MEDIUM)
        return found

    def read(self, name: str) -> bytes | None:
        """The bytes of a sound or photo; None where they are not what was put in."""
        try:
            content = self._file.read(name)
        except zipfile.BadZipFile:
            return None
        named = _MEDIUM.fullmatch(name)
        head = named["head"] if named else ""
        good = head == "unsent" or hashlib.sha256(content).hexdigest().startswith(head)
        return content if good else None

    def _check(self, name: str, most: int) -> None:
        if self._names[name] > most:
            raise ImportRefused(
                f"{self._source}: {name} takes {self._names[name]} bytes, the limit is {most}"
            )


def _keep(bench: Bench, file: _PhoneFile, name: str) -> str | None:
    content = file.read(name)
    return None if content is None else bench.log.media.keep(content)


def _note_words(bench: Bench, waiting: Mapping[str, Any]) -> int:
    """A written note that the phone had not gone through: understood here, or kept as a plain note."""
    asker = _asker(waiting)
    text = str(waiting.get("text", ""))
    if asker is None or not text.strip():
        return 0
    hearing, done = typed(text), _when(bench, waiting)
    understood = bench.meaning(hearing).entry or Entry("note", {"text": text}, said=text)
    entry = with_due(understood, done, local_zone(done.millis))
    return len(bench.log.perform([_noted(asker, entry, done, hearing)]))


def _note_medium(bench: Bench, about: Mapping[str, Any], kept: Mapping[str, str]) -> int:
    """A sound or photo that no entry of the phone tells of yet."""
    asker, address = _asker(about), kept.get(str(about.get("file")))
    if asker is None or address is None or about.get("reading") or _told_of(bench, address):
        return 0
    sound = about.get("role") == "sound"
    doubts = (Doubt("text", "", "", NOT_UNDERSTOOD),) if sound else ()
    note = _noted(asker, Entry("note" if sound else "photo", {}, doubts=doubts), _when(bench, about), None)
    attached = {
        "media": address,
        "mime": str(about.get("mime", "application/octet-stream")),
        "size": len(bench.log.media.read(address)),
        "role": "sound" if sound else "photo",
        "name": str(about.get("name", "")),
        "author": "builder",
    }
    made = bench.log.perform([note, Act(asker.id("attach"), "attach", note.id, attached, note.wall)])
    return 1 if made else 0


def _told_of(bench: Bench, address: str) -> bool:
    return any(each.media == address for logged in bench.log.state.order for each in logged.attachments)


def _asker(row: Mapping[str, Any]) -> Asker | None:
    key = row.get("id")
    return Asker("builder", key) if isinstance(key, str) and is_uuid7(key) else None


def _when(bench: Bench, row: Mapping[str, Any]) -> Wall:
    """When it was done by the phone's clock; now, where the file does not say."""
    millis = row.get("millis")
    return (
        Wall(millis, bench.clock.offset_min())
        if isinstance(millis, int) and 0 < millis < 2**47
        else bench.now()
    )


def _noted(asker: Asker, entry: Entry, done: Wall, hearing: Hearing | None) -> Act:
    body = {
        "entry": entry.as_json(),
        "doubts": [doubt.as_json() for doubt in entry.doubts],
        "hearing": None if hearing is None else hearing.as_json(),
        "author": "builder",
    }
    return Act(asker.id("note"), "note", None, body, str(done))
