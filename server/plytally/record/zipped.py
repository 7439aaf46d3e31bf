"""An export as one file, a ZIP (APPNOTE 6.3, stored or deflated), and back into the folder it stands for.

Only what an export is made of comes out of such a file, under the names that it has there: no folders, no
links, nothing encrypted, nothing that opens to much more than it says or than there is room for. What then
lies in the folder is looked at by `importing`, as if it had been carried there.
"""

from __future__ import annotations

import re
import shutil
import stat
import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from plytally.record.content import Content
from plytally.record.errors import ImportRefused
from plytally.record.export import ABOUT, LOG, MEDIA, STOCK, WORDS, Export
from plytally.record.importing import MOST_MEDIUM, MOST_SMALL
from plytally.record.reading import Progress, Reading
from plytally.record.tables import TABLES
from plytally.store.disk import FRESH, Disk, RealDisk, ensure_folder, write_all
from plytally.store.errors import telling

MOST_FILES = 2_000_000
MOST_GROWTH = 200
"""A file may open to so many times its size in the ZIP; the log's own lines open to some ten times."""

SMALLEST_JUDGED = 1 << 20
ROOM_LEFT = 64 * 1024 * 1024
PIECE = 1 << 20
_TABLE_NAMES = tuple(f"{name}.csv" for name in TABLES)
_SMALL = (ABOUT, "print.yaml", "print.csv", WORDS, STOCK)
_MEDIUM = re.compile(rf"{MEDIA}/[0-9a-f]{{64}}(\.[a-z0-9]{{1,8}})?")
_BEGINNING = (1980, 1, 1, 0, 0, 0)  # the earliest that a ZIP can say: the same log gives the same bytes


def zip_export(
    reading: Reading, content: Content, out: Path, progress: Progress | None = None
) -> dict[str, Any]:
    """Write the whole export into the new file `out`; what stands in its about.json."""
    made = Export(reading, content, progress)
    with telling("exporting to", out), zipfile.ZipFile(out, "x", allowZip64=True) as packed:
        for name, pieces in made.files():
            info = zipfile.ZipInfo(name, _BEGINNING)
            info.external_attr = (stat.S_IFREG | 0o644) << 16
            # sounds and photos are packed already
            info.compress_type = zipfile.ZIP_STORED if name.startswith(MEDIA) else zipfile.ZIP_DEFLATED
            with packed.open(info, "w", force_zip64=True) as file:
                for piece in pieces:
                    file.write(piece)
    return made.about


def unpack(archive: Path, folder: Path, progress: Progress | None = None, disk: Disk | None = None) -> None:
    """Take an export out of its ZIP into a new folder. ImportRefused for anything that is not one."""
    disk, step = disk or RealDisk(), progress or (lambda done, total: None)
    try:
        with zipfile.ZipFile(archive) as packed:
            files = list(_looked_at(archive, packed))
            _room_for(folder.parent, sum(info.file_size for info in files))
            with telling("unpacking into", folder):
                ensure_folder(disk, folder / MEDIA)
                for done, info in enumerate(files, 1):
                    _take_out(disk, packed, info, folder)
                    step(done, len(files))
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, RuntimeError) as problem:
        raise ImportRefused(f"{archive.name} is no whole ZIP file: {problem}") from problem


def _looked_at(archive: Path, packed: zipfile.ZipFile) -> Iterator[zipfile.ZipInfo]:
    """Each file that is to be taken out; the tables are for reading only and stay in."""
    infos, seen = packed.infolist(), set[str]()
    if len(infos) > MOST_FILES:
        raise ImportRefused(f"{archive.name} holds {len(infos)} files; an export has {MOST_FILES} at most")
    for info in infos:
        name = info.orig_filename
        why = _why_not(info, name) or ("it is there twice" if name in seen else "")
        if why:
            raise ImportRefused(f"{archive.name}: {name[:120]!r}: {why}")
        seen.add(name)
        if name not in _TABLE_NAMES:
            yield info


def _why_not(info: zipfile.ZipInfo, name: str) -> str:
    """Why a file has no place in an export, "" where it has one."""
    kind = stat.S_IFMT(info.external_attr >> 16)
    medium = _MEDIUM.fullmatch(name) is not None
    if not (medium or name == LOG or name in _SMALL or name in _TABLE_NAMES):
        return "an export has no such file"
    if kind not in (0, stat.S_IFREG) or info.is_dir():
        return "it must be a plain file, no link and no folder"
    if info.flag_bits & 0x1:
        return "it is encrypted"
    most = MOST_MEDIUM if medium else MOST_SMALL if name in _SMALL else None
    if most is not None and info.file_size > most:
        return f"it opens to {info.file_size} bytes, the limit is {most}"
    if info.file_size > max(SMALLEST_JUDGED, MOST_GROWTH * info.compress_size):
        return f"it opens to {info.file_size} bytes out of {info.compress_size}, as no log does"
    return ""


def _room_for(place: Path, wanted: int) -> None:
    free = shutil.disk_usage(place).free
    if wanted + ROOM_LEFT > free:
        raise ImportRefused(f"this export needs {wanted} bytes, and only {free} are free here; make room")


def _take_out(disk: Disk, packed: zipfile.ZipFile, info: zipfile.ZipInfo, folder: Path) -> None:
    fd, left = disk.open(folder / info.orig_filename, FRESH), info.file_size
    try:
        with packed.open(info) as file:
            while piece := file.read(PIECE):
                left -= len(piece)
                if left < 0:
                    raise ImportRefused(f"{info.orig_filename} opens to more than it says")
                write_all(disk, fd, piece)
    finally:
        disk.close(fd)
