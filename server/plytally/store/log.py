"""One builder's log, open: what the command line and the web work with.

    DATA/lock                  one process at a time, see `lock.py`
    DATA/journal/              the log itself, see `journal.py`
    DATA/media/                sounds and photos, see `media.py`
    DATA/documents.json        phones, vocabulary, settings, see `documents.py`
    DATA/aside.jsonl           what could not be taken, see `aside.py`

Only the journal and the media are truth; the state is folded from the journal each time it is opened.
Every method that changes something returns when the change is on the medium. Threads may share the object.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from plytally.clock import Clock, MachineClock
from plytally.core.body import WITHDRAWN, change_body
from plytally.core.desk.acts import Act
from plytally.core.entry import Doubt, Entry, FieldValue
from plytally.core.hearing import Hearing
from plytally.core.history import Logged
from plytally.core.merge import Fold, State
from plytally.core.operation import Operation, OperationError
from plytally.store.aside import ASIDE_NAME, AsideFile
from plytally.store.disk import Disk, RealDisk, ensure_folder
from plytally.store.documents import DOCUMENTS_NAME, Documents
from plytally.store.errors import UnknownEntry, telling
from plytally.store.journal import JOURNAL_NAME, FileJournal
from plytally.store.line import Record
from plytally.store.lock import FolderLock
from plytally.store.making import Maker
from plytally.store.media import MEDIA_NAME, MediaFolder
from plytally.store.port import Appended, Refusal

MOST_UNFOLDED = 100
OWN_DEVICE = "shop-"
"""How the names of shop computers begin; no phone is paired under one."""

"""Records that may wait to be folded: few enough to hold what was heard in them in memory."""


@dataclass(frozen=True, slots=True)
class Recording:
    """A sound or photo to keep: its bytes, media type, what it is ("sound", "photo"), and a name."""

    content: bytes
    mime: str = "audio/wav"
    role: str = "sound"
    name: str = ""


class BuildLog:
    """The log in `folder`, which is made if it is missing. StoreLocked if another process has it.

    `device` names this machine's own operations; left empty, it is made from the log's epoch, so that
    a restored log numbers its own operations afresh.
    """

    def __init__(
        self, folder: Path, clock: Clock | None = None, device: str = "", disk: Disk | None = None
    ) -> None:
        self._clock, disk = clock or MachineClock(), disk or RealDisk()
        self._mutex, self._fold, self._maker = threading.RLock(), Fold(), Maker(self._clock)
        self._state: State | None = None
        self._unfolded: list[Record] = []
        self.folder = folder
        with telling("opening", folder):
            ensure_folder(disk, folder)
        self._disk, self._named = disk, device
        self._lock = FolderLock(folder)
        try:
            self._open_journal()
            self.media = MediaFolder(folder / MEDIA_NAME, disk)
            self.documents = Documents(folder / DOCUMENTS_NAME, disk)
            self.aside = AsideFile(folder / ASIDE_NAME, disk)
        except BaseException:
            self._lock.close()
            raise

    def _open_journal(self) -> None:
        """Open the journal and fold it from its start."""
        self._fold, self._state, self._unfolded = Fold(), None, []
        folder = self.folder / JOURNAL_NAME
        self.journal = FileJournal(folder, self._maker.new_id, self._disk, self._take_in)
        self.device = self._named or f"{OWN_DEVICE}{self.journal.epoch[-12:]}"

    @contextmanager
    def changing_journal(self) -> Iterator[Callable[[], None]]:
        """While another journal is put in the place of this one; what is yielded opens it."""
        with self._mutex:
            yield self._open_journal

    @property
    def remarks(self) -> tuple[str, ...]:
        """What was mended on opening, one sentence each, for the builder to read."""
        return (*self.journal.remarks, *self.documents.remarks)

    @property
    def state(self) -> State:
        """What the log says now; the value never changes, ask again for a later one."""
        with self._mutex:
            if self._state is None:
                self._fold_in()
                self._state = self._fold.state()
            return self._state

    def record(
        self,
        entry: Entry,
        hearing: Hearing | None = None,
        author: str = "builder",
        recording: Recording | None = None,
    ) -> Operation:
        """Note an entry with its doubts, and what it was heard from; the note's operation, durable."""
        body = {
            "entry": entry.as_json(),
            "doubts": [doubt.as_json() for doubt in entry.doubts],
            "hearing": None if hearing is None else hearing.as_json(),
            "author": author,
        }
        attached = None if recording is None else self._keep_media(recording, author)
        with self._mutex:
            acts = [note := self._maker.make(self.device, "note", None, body)]
            if attached is not None:
                acts.append(self._maker.make(self.device, "attach", note.id, attached, after=note))
            self._append(acts)
            return note

    def amend(
        self,
        entry_id: str,
        field: str,
        value: FieldValue | None,
        *,
        author: str = "builder",
        why: str = "",
        doubts: Sequence[Doubt] = (),
        act: str = "amend",
    ) -> Operation:
        """Give a field another value, None to take it out; it replaces every value that stands now.

        OperationError if the value does not fit the field, UnknownEntry if there is no such entry. A
        field may also be "kind". With `doubts` the new value waits for confirmation in its turn.
        """
        with self._mutex:
            logged = self.entry(entry_id)
            body = change_body(field, value, logged.heads(field), author=author, why=why, doubts=doubts)
            return self._act(act, entry_id, body)

    def resolve(
        self, entry_id: str, field: str, value: FieldValue | None, *, author: str = "builder", why: str = ""
    ) -> Operation:
        """Choose among the values that stand for a field, or answer its doubt."""
        return self.amend(entry_id, field, value, author=author, why=why, act="resolve")

    def confirm(self, entry_id: str, field: str, *, author: str = "builder") -> Operation:
        """Say that the value which a field shows is right; this settles its doubts."""
        with self._mutex:
            shown = self.entry(entry_id).shown(field)
            return self.resolve(entry_id, field, shown, author=author)

    def withdraw(self, entry_id: str, why: str, *, author: str = "builder") -> Operation:
        """Say that an entry should not count; it stays readable, and `bring_back` undoes this."""
        with self._mutex:
            over = list(self.entry(entry_id).heads(WITHDRAWN))
            return self._act("withdraw", entry_id, {"why": why, "over": over, "author": author})

    def bring_back(self, entry_id: str, *, author: str = "builder", why: str = "") -> Operation:
        """Let a withdrawn entry count again."""
        return self.amend(entry_id, WITHDRAWN, None, author=author, why=why)

    def attach(self, entry_id: str, recording: Recording, *, author: str = "builder") -> Operation:
        """Keep a sound or photo and say that it belongs to an entry."""
        attached = self._keep_media(recording, author)
        with self._mutex:
            self.entry(entry_id)
            return self._act("attach", entry_id, attached)

    def perform(self, acts: Sequence[Act]) -> tuple[str, ...]:
        """Do what the desk planned, in one batch; the ids of the operations that are new, durable.

        What is in the log already is passed over, so that a plan may be done again, also after a part of it.
        """
        with self._mutex:
            made = list[Operation]()
            for act in acts:
                if act.id not in self.state:
                    after = made[-1] if made else None
                    operation = self._maker.make(
                        self.device, act.act, act.target, act.body, after, act.id, act.wall
                    )
                    made.append(operation)
            if made:
                self._append(made)
            return tuple(operation.id for operation in made)

    def receive(self, raws: Sequence[object], sender: str) -> Appended:
        """Take in what a device sent: each is kept, known already, or refused with why.

        What is no operation, or clashes with one that is here, is also kept in `aside`, durably.
        """
        operations, refused = list[Operation](), list[Refusal]()
        for raw in raws:
            try:
                operations.append(Operation.from_json(raw))
            except OperationError as problem:
                refused.append(Refusal(_id_of(raw), str(problem)))
                self._set_aside(raw, problem.problems, sender)
        appended = self._append(operations)
        clashes = {refusal.id: refusal.why for refusal in appended.refused}
        for operation in operations:
            if operation.id in clashes:
                self._set_aside(operation.as_json(), (clashes[operation.id],), sender)
        return replace(appended, refused=(*refused, *appended.refused))

    def entry(self, entry_id: str) -> Logged:
        """The entry with this id; UnknownEntry if the log has none."""
        logged = self.state.entries.get(entry_id)
        if logged is None:
            raise UnknownEntry(f"the log has no entry {entry_id!r}; 'plytally log' lists them all")
        return logged

    def hearing(self, entry_id: str) -> Hearing | None:
        """What the entry was first heard as, None if that was not kept."""
        record = self.journal.find(entry_id)
        raw = record.operation.body.get("hearing") if record else None
        return None if raw is None else Hearing.from_json(raw)

    def close(self) -> None:
        """Give the folder back; a second call does nothing."""
        self.journal.close()
        self._lock.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, problem: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def _act(self, act: str, target: str, body: Mapping[str, Any]) -> Operation:
        operation = self._maker.make(self.device, act, target, body)
        self._append([operation])
        return operation

    def _append(self, operations: Sequence[Operation]) -> Appended:
        with self._mutex:
            appended = self.journal.append(operations, self._clock.now_millis())
            for record in appended.records:
                self._take_in(record)
            return appended

    def _take_in(self, record: Record) -> None:
        """Note a record; it is folded when someone asks for the state, so that no answer waits for it."""
        self._maker.saw(record)
        self._unfolded.append(record)
        self._state = None
        if len(self._unfolded) >= MOST_UNFOLDED:
            self._fold_in()

    def _fold_in(self) -> None:
        for record in self._unfolded:
            self._fold.apply(record.operation, record.received_millis)
        self._unfolded.clear()

    def _set_aside(self, raw: object, why: Sequence[str], sender: str) -> None:
        self.aside.keep(raw, why, sender, self._clock.now_millis())

    def _keep_media(self, recording: Recording, author: str) -> dict[str, Any]:
        return {
            "media": self.media.keep(recording.content),
            "mime": recording.mime,
            "size": len(recording.content),
            "role": recording.role,
            "name": recording.name,
            "author": author,
        }


def _id_of(raw: object) -> str:
    return str(raw.get("id", "")) if isinstance(raw, Mapping) else ""
