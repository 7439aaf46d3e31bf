"""Sounds and photos on their way in: each upload's bytes grow in a file until they are whole.

    uploads/<id>.json     whose it is, how long it will be, the SHA-256 it must have, when it ends
    uploads/<id>.part     the bytes so far; their number is the offset, so a restart resumes where the disk is
    uploads/quarantine/   whole, but not what the SHA-256 said; or never finished. Kept, not deleted

A chunk is on the medium before it is acknowledged. What a crash leaves of one that was not is only ever a
beginning of it, or is found out by the SHA-256 at the end. A finished upload moves to the media by a rename.
"""

from __future__ import annotations

import json
import re
import secrets
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from pathlib import Path

import structlog

from plytally.clock import Clock
from plytally.store.disk import GROWING, Disk, RealDisk, ensure_folder, replace_file, write_all, write_file
from plytally.store.errors import MediaRefused, StoreError, telling
from plytally.store.media import MediaFolder
from plytally.web.allowance import UPLOADS_A_DAY, Allowance, check_floor
from plytally.web.problem import Problem

MAX_LENGTH = 128 * 1024 * 1024
LIFE_MS = 7 * 24 * 60 * 60 * 1000
DESK_OWNER = "desk"
"""What is uploaded at the desk is limited by the disk alone."""

MOST_OPEN = 500
"""Unfinished uploads of one owner."""

_ID = re.compile(r"[0-9a-f]{32}")
log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class Upload:
    """One upload as agreed: `expires` in Unix milliseconds, `room` is the bytes that it takes."""

    id: str
    owner: str
    sha256: str
    length: int
    metadata: str
    expires: int
    room: int = 0


class Uploads:
    """The uploads of one data folder; threads may share it."""

    def __init__(self, folder: Path, media: MediaFolder, clock: Clock, disk: Disk | None = None) -> None:
        self._folder, self._media, self._clock = folder, media, clock
        self._disk = disk or RealDisk()
        self._mutex, self._busy = threading.Lock(), set[str]()
        self._allowance = Allowance(clock, UPLOADS_A_DAY, "sounds and photos")
        with telling("opening the uploads in", folder):
            ensure_folder(self._disk, folder / "quarantine")
            self._uploads = {
                upload.id: upload for upload in map(_read, sorted(folder.glob("*.json"))) if upload
            }
        for upload in sorted(self._uploads.values(), key=lambda one: one.expires):
            self._allowance.took(upload.owner, upload.room, upload.expires - LIFE_MS)
        self._settle_whole()
        self.sweep()

    def __len__(self) -> int:
        """How many are unfinished."""
        return sum(self._part(upload).exists() for upload in list(self._uploads.values()))

    @property
    def quarantined(self) -> int:
        """How many lie in quarantine."""
        return sum(1 for _ in (self._folder / "quarantine").glob("*.part"))

    def create(self, owner: str, sha256: str, length: int, metadata: str = "") -> Upload:
        """Begin an upload, durably. What the media hold already is complete at once.

        Raises Problem `disk-full`, `too-much` (of one phone in a day) or `unavailable` (too many unfinished).
        """
        self.sweep()
        known = sha256 in self._media
        if not known:
            self._check_room(owner, length)
        upload = Upload(
            secrets.token_hex(16),
            owner,
            sha256,
            length,
            metadata,
            self._clock.now_millis() + LIFE_MS,
            0 if known else length,
        )
        with telling("beginning an upload in", self._folder):
            if not known:
                write_file(self._disk, self._part(upload), b"")
            replace_file(self._disk, self._info(upload), json.dumps(asdict(upload)).encode("ascii"))
        self._uploads[upload.id] = upload
        self._allowance.took(owner, upload.room)
        self.offset(upload)  # settles an empty one at once
        return upload

    def find(self, upload_id: str, owner: str) -> Upload:
        """The owner's upload; Problem `not-found`, or `gone` once it ended."""
        upload = self._uploads.get(upload_id)
        if upload is None or upload.owner != owner:
            raise Problem("not-found", "there is no such upload of yours: create it anew")
        if self._clock.now_millis() > upload.expires or self._lost(upload):
            raise Problem("gone", "this upload was not finished in time or was refused: create it anew")
        return upload

    def offset(self, upload: Upload) -> int:
        """How many bytes are here, durably. All of them means that they are in the media.

        A part that is whole, but was not settled because the server was killed or the disk was full just
        then, is settled now; so this raises what `append` raises.
        """
        part = self._part(upload)
        if part.exists() and part.stat().st_size == upload.length:
            with self._alone(upload):
                self._finish(upload)
        return self._size(upload)

    def append(self, upload: Upload, offset: int, chunk: bytes) -> int:
        """Add a chunk, durably, and give the new offset; the last one settles the upload in the media.

        Raises Problem: `wrong-offset`, `too-large`, `busy` (another request is adding), `hash-mismatch`,
        `disk-full`.
        """
        with self._alone(upload):
            here = self._size(upload)
            if offset != here:
                raise Problem(
                    "wrong-offset",
                    f"the upload is at {here}, this chunk begins at {offset}: go on from where HEAD says",
                    headers={"Upload-Offset": str(here)},
                )
            if here + len(chunk) > upload.length:
                raise Problem("too-large", f"the chunk goes beyond the upload's {upload.length} bytes")
            if chunk:
                check_floor(self._folder, len(chunk))
                self._write(self._part(upload), here, chunk)
            if here + len(chunk) == upload.length:
                self._finish(upload)
            return here + len(chunk)

    def drop(self, upload: Upload) -> None:
        """Forget an upload and delete its unfinished bytes, as its owner asks."""
        with self._alone(upload), telling("ending an upload in", self._folder):
            self._part(upload).unlink(missing_ok=True)
            self._forget(upload)

    def sweep(self) -> None:
        """Let go of uploads past their end; unfinished bytes go to quarantine, they may be all there is."""
        now = self._clock.now_millis()
        for upload in [one for one in list(self._uploads.values()) if now > one.expires]:
            with suppress(Problem), self._alone(upload):
                if self._part(upload).exists():
                    self._quarantine(upload, "expired")
                self._forget(upload)

    def _settle_whole(self) -> None:
        """Settle what was whole when the server was killed: it is here then, even if no phone asks again."""
        for upload in list(self._uploads.values()):
            with suppress(Problem, StoreError):
                self.offset(upload)

    def _finish(self, upload: Upload) -> None:
        """Move a whole part to the media; one that was moved already is left in peace."""
        if not self._part(upload).exists():
            return
        try:
            self._media.take(self._part(upload), upload.sha256)
        except MediaRefused as problem:
            self._quarantine(upload, "hash")
            raise Problem(
                "hash-mismatch", f"{problem}. What arrived is kept apart; create the upload anew"
            ) from problem

    def _size(self, upload: Upload) -> int:
        try:
            return self._part(upload).stat().st_size
        except FileNotFoundError:
            return upload.length

    def _write(self, part: Path, offset: int, chunk: bytes) -> None:
        with telling("receiving", part):
            fd = self._disk.open(part, GROWING)
            try:
                write_all(self._disk, fd, chunk)
                self._disk.sync(fd)
            except OSError:
                self._disk.truncate(fd, offset)
                raise
            finally:
                self._disk.close(fd)

    def _quarantine(self, upload: Upload, why: str) -> None:
        """Put the bytes and what was agreed about them apart."""
        log.warning("upload_quarantined", why=why, upload=upload.id)
        apart = self._folder / "quarantine"
        with telling("keeping apart", self._part(upload)):
            replace_file(
                self._disk, apart / f"{upload.id}.json", json.dumps(asdict(upload) | {"why": why}).encode()
            )
            self._disk.rename(self._part(upload), apart / f"{upload.id}.part")
            self._disk.sync_folder(apart)

    def _forget(self, upload: Upload) -> None:
        self._info(upload).unlink(missing_ok=True)
        self._disk.sync_folder(self._folder)
        self._uploads.pop(upload.id, None)

    def _check_room(self, owner: str, length: int) -> None:
        check_floor(self._folder, length)
        if owner != DESK_OWNER:
            self._allowance.check(owner, length)
        theirs = [
            one for one in list(self._uploads.values()) if one.owner == owner and self._part(one).exists()
        ]
        if len(theirs) >= MOST_OPEN:
            raise Problem("unavailable", f"{MOST_OPEN} uploads are unfinished: finish or end some first")

    @contextmanager
    def _alone(self, upload: Upload) -> Iterator[None]:
        with self._mutex:
            if upload.id in self._busy:
                raise Problem("busy", "another request is at this upload: wait a little, then ask with HEAD")
            self._busy.add(upload.id)
        try:
            yield
        finally:
            with self._mutex:
                self._busy.discard(upload.id)

    def _lost(self, upload: Upload) -> bool:
        return not self._part(upload).exists() and upload.sha256 not in self._media

    def _part(self, upload: Upload) -> Path:
        return self._folder / f"{upload.id}.part"

    def _info(self, upload: Upload) -> Path:
        return self._folder / f"{upload.id}.json"


def _read(path: Path) -> Upload | None:
    """An upload as kept; what cannot be read is left where it is."""
    try:
        return Upload(**json.loads(path.read_bytes())) if _ID.fullmatch(path.stem) else None
    except (ValueError, TypeError, OSError):
        log.warning("upload_unreadable", upload=path.stem)
        return None
