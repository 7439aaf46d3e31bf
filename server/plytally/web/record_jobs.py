"""Records being made: one at a time, in a thread, so that the page that asked can show how far it is.

What is made is held in memory and gone with the server; the newest few are kept.
"""

from __future__ import annotations

import io
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import structlog

from plytally.record.book import write_pdf
from plytally.record.content import Content, Scope
from plytally.record.photos import SmallPhoto

MOST_KEPT, MOST_WAITING = 2, 4
log = structlog.get_logger(__name__)


@dataclass
class Job:
    """One record: `state` is "waiting", "making", "ready" or "failed"; pages done and in all (0: unknown)."""

    id: str
    scope: Scope
    paper: str
    state: str = "waiting"
    done: int = 0
    pages: int = 0
    pdf: bytes = field(default=b"", repr=False)

    def as_json(self) -> dict[str, Any]:
        """What the desk is told."""
        return {
            "id": self.id,
            "told": self.scope.told,
            "state": self.state,
            "done": self.done,
            "pages": self.pages,
        }


class Records:
    """Makes records; `content` gives what a scope holds. Threads may share it."""

    def __init__(self, content: Callable[[Scope], Content], small: SmallPhoto) -> None:
        self._content, self._small = content, small
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._mutex, self._press = threading.Lock(), threading.Lock()

    def begin(self, job_id: str, scope: Scope, paper: str) -> Job | None:
        """Begin a record; None while so many wait already that one more would be too many."""
        job = Job(job_id, scope, paper)
        with self._mutex:
            if sum(each.state in ("waiting", "making") for each in self._jobs.values()) >= MOST_WAITING:
                return None
            self._jobs[job_id] = job
            over = [each for each in self._jobs.values() if each.state in ("ready", "failed")]
            for old in over[:-MOST_KEPT]:
                del self._jobs[old.id]
        threading.Thread(target=self._make, args=(job,), name="record", daemon=True).start()
        return job

    def find(self, job_id: str) -> Job | None:
        """A record that is made or being made."""
        return self._jobs.get(job_id)

    def make_now(self, scope: Scope, paper: str) -> bytes | None:
        """A PDF at once; None while another record is being made."""
        if not self._press.acquire(blocking=False):
            return None
        try:
            out = io.BytesIO()
            write_pdf(self._content(scope), out, self._small, paper)
            return out.getvalue()
        finally:
            self._press.release()

    def _make(self, job: Job) -> None:
        with self._press:
            job.state = "making"
            out = io.BytesIO()
            try:
                write_pdf(self._content(job.scope), out, self._small, job.paper, lambda *at: _told(job, *at))
            except Exception as problem:  # whatever happens, the page that waits must hear of it
                job.state = "failed"
                log.error("record_failed", error=type(problem).__name__)
                return
            job.pdf, job.state = out.getvalue(), "ready"
            log.info("record_made", pages=job.pages)


def _told(job: Job, done: int, pages: int) -> None:
    job.done, job.pages = done, pages
