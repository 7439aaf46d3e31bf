"""A recording in a file, heard: what the command line and the demo do with each one."""

from __future__ import annotations

import mimetypes
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.core.entry import value_to_json
from plytally.core.expecting import NOTHING
from plytally.core.hearing import Hearing
from plytally.core.leaning import by_context
from plytally.speech.audio import decode
from plytally.speech.port import Recogniser
from plytally.store.log import Recording
from plytally.workshop.bench import Bench, Reply


@dataclass(frozen=True)
class Heard:
    """One file, what was heard in it, and what came of it."""

    file: Path
    hearing: Hearing
    reply: Reply

    def as_json(self) -> dict[str, Any]:
        """The whole as plain JSON values."""
        understood, logged = self.reply.understood, self.reply.logged
        return {
            "file": str(self.file),
            "hearing": self.hearing.as_json(),
            "makes": understood.makes,
            "name": understood.name,
            "fields": {name: value_to_json(value) for name, value in understood.fields.items()},
            "unused": list(understood.unused),
            "doubts": [doubt.as_json() for doubt in understood.doubts],
            "said_back": list(self.reply.lines),
            "entry": None if logged is None else logged.id,
        }


def hear_file(
    file: Path, engine: Recogniser, bench: Bench, *, keep: bool = True, leaning: bool = True
) -> Heard:
    """Hear one recording and do what it says; with `keep` false only say what it would mean.

    With `leaning` false what goes on in the shop does not count.
    AudioError if there is no sound to be heard; the file itself is never touched.
    """
    by = bench.expecting("builder", bench.now().millis) if leaning else NOTHING
    hearing = engine.hear(decode(file), by_context(bench.grammar(), bench.vocabulary, by))
    if not keep:
        return Heard(file, hearing, Reply(bench.meaning(hearing), ()))
    mime = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
    return Heard(file, hearing, bench.take(hearing, Recording(file.read_bytes(), mime, "sound", file.name)))
