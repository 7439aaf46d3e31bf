"""A Vosk model for phones: packed once into an archive that is always the same, in pieces with their hashes.

A phone fetches the archive piece by piece, compares each with its SHA-256 and can go on where it was cut. The
archive's name carries its hash, so another model is another address.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import tarfile
import threading
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import structlog

from plytally.speech.port import SpeechError
from plytally.speech.vosk_model import whole_model

PIECE = 4 * 1024 * 1024
log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class Pack:
    """A packed model: its name, the archive's SHA-256 (`address`), its size, and the pieces' SHA-256."""

    name: str
    address: str
    size: int
    piece: int
    pieces: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The pack as plain JSON values."""
        return asdict(self) | {"pieces": list(self.pieces)}


def pack(folder: Path, into: Path) -> Pack:
    """Pack the model in `folder` into the folder `into`; what was packed before is taken as it is.

    ModelAbsent or ModelIncomplete says what is wrong with the model.
    """
    folder = whole_model(folder)
    into.mkdir(parents=True, exist_ok=True)
    told = into / f"{_mark(folder)}.json"
    if told.exists():
        raw = json.loads(told.read_text("utf-8"))
        known = Pack(**raw | {"pieces": tuple(raw["pieces"])})
        if (into / archive(known.address)).exists():
            return known
    part = into / "packing"
    _write(folder, part)
    made = _hashed(folder.resolve().name, part)
    part.replace(into / archive(made.address))
    told.write_text(json.dumps(made.as_json()), "utf-8")
    return made


def archive(address: str) -> str:
    """The archive's file name."""
    return f"{address}.tar.gz"


def _mark(folder: Path) -> str:
    """What the model's files are, without reading them."""
    stats = ((file.relative_to(folder), file.stat()) for file in _files(folder))
    rows = [f"{name} {stat.st_size} {stat.st_mtime_ns}" for name, stat in stats]
    return hashlib.sha256("\n".join([str(folder.resolve()), *rows]).encode()).hexdigest()[:16]


def _files(folder: Path) -> list[Path]:
    """What lies in the model: a link that leads out would hand phones another file of this machine."""
    inside = folder.resolve()
    found = (file for file in folder.rglob("*") if file.is_file())
    return sorted(file for file in found if file.resolve().is_relative_to(inside))


def _write(folder: Path, target: Path) -> None:
    with (
        target.open("wb") as raw,
        gzip.GzipFile(filename="", mode="wb", compresslevel=1, fileobj=raw, mtime=0) as packed,
        tarfile.open(fileobj=packed, mode="w", format=tarfile.USTAR_FORMAT) as tar,
    ):
        for file in _files(folder):
            entry = tarfile.TarInfo(f"model/{file.relative_to(folder).as_posix()}")
            entry.size = file.stat().st_size
            with file.open("rb") as content:
                tar.addfile(entry, content)


def _hashed(name: str, file: Path) -> Pack:
    whole, pieces, size = hashlib.sha256(), list[str](), 0
    with file.open("rb") as content:
        while piece := content.read(PIECE):
            whole.update(piece)
            pieces.append(hashlib.sha256(piece).hexdigest())
            size += len(piece)
    return Pack(name, whole.hexdigest(), size, PIECE, tuple(pieces))


class PhoneModel:
    """The model that phones are offered, packed in the background; `pack` is None until it is ready."""

    def __init__(self, folder: Path, into: Path) -> None:
        self.into, self.pack = into, None
        self._folder = folder
        self._thread = threading.Thread(target=self._make, name="phone-model", daemon=True)
        self._lacking = lru_cache(maxsize=2)(self._find)

    pack: Pack | None

    def start(self) -> None:
        """Begin to pack."""
        self._thread.start()

    def wait(self) -> None:
        """Wait until it is packed, or has failed."""
        self._thread.join()

    def lacks(self, words: Iterable[str]) -> Sequence[str]:
        """Those of the words that the model has no sound for; a sentence with one of them is never heard."""
        return self._lacking(tuple(sorted(set(words))))

    def _find(self, words: tuple[str, ...]) -> tuple[str, ...]:
        from plytally.speech.vosk import VoskRecogniser  # loads a library; only who needs it waits

        return VoskRecogniser(self._folder).lacks(words)

    def _make(self) -> None:
        try:
            self.pack = pack(self._folder, self.into)
        except (SpeechError, OSError) as problem:
            log.warning("phone_model_not_packed", problem=str(problem))
