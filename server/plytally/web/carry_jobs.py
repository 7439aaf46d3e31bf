"""Everything on its way out as one file, and in from one: in a thread, so that a page can show how far it is.

    DATA/carrying/<id>.zip       an export that is ready, or what has come of an import so far
    DATA/carrying/<id>.unpacked  the same as files, while it is looked at
    DATA/carrying/<id>.log       the log that is made from them

These are copies; the folder is emptied when the server starts, and by the next export or import.
"""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import structlog

from plytally.clock import fresh_id
from plytally.core.schedule import ScheduleError
from plytally.record.content import Scope
from plytally.record.errors import RecordError
from plytally.record.reading import read_folder
from plytally.record.zipped import ROOM_LEFT, unpack, zip_export
from plytally.store.adopting import check_empty
from plytally.store.disk import GROWING, RealDisk, ensure_folder, write_all
from plytally.store.errors import StoreError, telling
from plytally.web.problem import Problem, told_to_the_desk
from plytally.workshop.bench import Bench
from plytally.workshop.carrying import take_into
from plytally.workshop.record_copy import content_of

FOLDER = "carrying"
MOST_BYTES = 1 << 42
log = structlog.get_logger(__name__)


@dataclass
class Job:
    """One export or import: `state` is "coming", "working", "ready" or "failed", `doing` what is done now.

    `size` is of the file in bytes; of an import it is what shall come, `done` of `total` what has.
    """

    id: str
    way: str
    state: str
    doing: str
    done: int = 0
    total: int = 0
    size: int = 0
    told: str = ""
    why: str = ""

    def as_json(self) -> dict[str, Any]:
        """What the desk is told."""
        names = ("id", "state", "doing", "done", "total", "size", "told", "why")
        return {name: getattr(self, name) for name in names}

    def step(self, doing: str) -> Callable[[int, int], None]:
        """What moves the job on while something is done."""

        def told(done: int, total: int) -> None:
            self.doing, self.done, self.total = doing, done, total

        return told


class Carrier:
    """Makes exports and takes imports, one at a time. Threads may share it."""

    def __init__(self, bench: Bench) -> None:
        self._bench, self._disk = bench, RealDisk()
        self._folder = bench.log.folder / FOLDER
        self._mutex, self._jobs = threading.Lock(), dict[str, Job]()
        shutil.rmtree(self._folder, ignore_errors=True)

    def export(self) -> Job:
        """Begin to write everything into one file; `cannot` while another export or import is at work."""
        job = self._begin("export", "working", "reading the log")
        self._start(job, self._write)
        return job

    def expect(self, size: int) -> Job:
        """Begin an import of so many bytes; a Problem or LogNotEmpty says why there can be none."""
        check_empty(self._bench.log)
        job = self._begin("import", "coming", "sending")
        job.size = job.total = size
        free = shutil.disk_usage(self._folder).free
        if 3 * size + ROOM_LEFT > free:  # the file, its files, and the log that is made of them
            raise Problem("disk-full", f"an import of this needs {3 * size} bytes, and {free} are free here")
        return job

    def take(self, job: Job, offset: int, piece: bytes) -> int:
        """Add a piece of an import; how much is here then. `wrong-offset` says where to go on."""
        with self._mutex:
            if job.state != "coming":
                raise Problem("cannot", "this import is not waiting for anything; begin another")
            if offset != job.done or job.done + len(piece) > job.size:
                raise Problem("wrong-offset", f"{job.done} of {job.size} bytes are here; go on from there")
            path = self.file(job)
            with telling("keeping", path):
                fd = self._disk.open(path, GROWING)
                try:
                    write_all(self._disk, fd, piece)
                finally:
                    self._disk.close(fd)
            job.done += len(piece)
            return job.done

    def take_in(self, job: Job) -> None:
        """All of an import has come: look at it, and make it the log if it is sound."""
        with self._mutex:
            if job.state != "coming" or job.done != job.size:
                raise Problem("cannot", f"{job.done} of {job.size} bytes are here: send the rest first")
            job.state, job.doing, job.done, job.total = "working", "unpacking", 0, 0
        self._start(job, self._read)

    def find(self, way: str, job_id: str) -> Job | None:
        """An export or import that was begun and is not forgotten."""
        job = self._jobs.get(job_id)
        return job if job is not None and job.way == way else None

    def file(self, job: Job) -> Path:
        """The file of an export or import."""
        return self._folder / f"{job.id}.zip"

    def _begin(self, way: str, state: str, doing: str) -> Job:
        """A job of its own, in the place of those that are done or were given up."""
        with self._mutex:
            if any(job.state == "working" for job in self._jobs.values()):
                raise Problem("cannot", "another export or import is at work; wait until it is done")
            self._jobs.clear()
            shutil.rmtree(self._folder, ignore_errors=True)  # copies only
            with telling("preparing", self._folder):
                ensure_folder(self._disk, self._folder)
            job = Job(fresh_id(self._bench.clock), way, state, doing)
            self._jobs[job.id] = job
        return job

    def _start(self, job: Job, work: Callable[[Job], None]) -> None:
        threading.Thread(target=self._work, args=(job, work), name=job.way, daemon=True).start()

    def _work(self, job: Job, work: Callable[[Job], None]) -> None:
        try:
            work(job)
            job.state = "ready"
            log.info("carried", way=job.way, size=job.size)
        except Exception as problem:  # whatever happens, the page that waits must hear of it
            foreseen = isinstance(problem, RecordError | ScheduleError | StoreError)
            log.warning("not_carried", way=job.way, error=type(problem).__name__)
            why = told_to_the_desk(problem) if foreseen else "a fault of the server; the log is as it was"
            job.why, job.state = (
                why.replace(f"{self._folder}/", "").replace(f"{job.id}.unpacked/", ""),
                "failed",
            )

    def _write(self, job: Job) -> None:
        reading = read_folder(self._bench.log.folder, job.step("reading the log"))
        content = content_of(reading, Scope(), self._bench.now())
        about = zip_export(reading, content, self.file(job), job.step("packing"))
        job.size = self.file(job).stat().st_size
        job.told = _counted(about["lines"], about["media"], about["head"])

    def _read(self, job: Job) -> None:
        unpacked, made = (self._folder / f"{job.id}.{end}" for end in ("unpacked", "log"))
        unpack(self.file(job), unpacked, job.step("unpacking"))
        found = take_into(self._bench, unpacked, made, job.step("looking at each line, sound and photo"))
        shutil.rmtree(unpacked, ignore_errors=True)
        self.file(job).unlink(missing_ok=True)
        job.told = _counted(found.lines, found.media, found.head.hash)


def _counted(lines: int, media: int, head: str) -> str:
    return f"{lines} lines of the log, {media} sounds and photos; the last line's hash is {head}"
