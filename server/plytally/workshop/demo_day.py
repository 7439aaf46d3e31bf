"""A Saturday at the Quillwing as two phones brought it, made into a log that has something for the desk.

Each phone understands its notes with the code that runs on a phone and makes its own operations; the log
receives them as a sync would. What the phones heard was written down when the recordings were made
(demo_entries/day/heard.json), and the shop computer's second hearing finds where that was wrong.
"""

from __future__ import annotations

import hashlib
import json
import mimetypes
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from plytally.core.clock import Stamp, first, tick, uuid7
from plytally.core.expecting import NOTHING, Expected
from plytally.core.hearing import Hearing
from plytally.core.history import Logged
from plytally.core.operation import Operation
from plytally.core.pocket import Pocket
from plytally.core.vocabulary import Vocabulary
from plytally.core.wall import Wall, read_wall
from plytally.workshop.bench import Bench
from plytally.workshop.demo import DemoClock, demo_folder
from plytally.workshop.history import replay
from plytally.workshop.print_copy import print_copy
from plytally.workshop.second_hearing import SecondHearing

MISHEARD_CONFIDENCE = 0.58
Json = dict[str, Any]


@dataclass
class DemoPhone:
    """One phone: its own understanding, numbers and stamps; the same notes give the same operations."""

    device: str
    author: str
    pocket: Pocket
    number: int = 0
    stamp: Stamp = field(default_factory=lambda: first("phone"))
    waiting: list[Operation] = field(default_factory=list)
    last: str = ""

    def make(self, act: str, target: str | None, body: Mapping[str, Any], when: Wall) -> Operation:
        """An operation of this phone, kept to be sent and seen by its own pocket."""
        self.number += 1
        self.stamp = tick(Stamp(self.stamp.millis, self.stamp.counter, self.device), when.millis)
        digest = hashlib.sha256(f"{self.device} {self.number}".encode()).digest()
        made = Operation(
            id=uuid7(when.millis, int.from_bytes(digest, "big") >> 182),
            device=self.device,
            number=self.number,
            stamp=self.stamp,
            wall=str(when),
            skew_ms=0,
            act=act,
            target=target,
            body={**body, "author": self.author},
        )
        self.waiting.append(made)
        self.pocket.saw([(made.as_json(), None)])
        self.last = made.entry_id
        return made

    def says(self, hearing: Json | str, when: Wall) -> None:
        """Take a note, as the phone would."""
        reply = self.pocket.take(hearing, str(when))
        for act in reply["acts"]:
            self.make(act["act"], act["target"], act["body"], when)


class Written:
    """What was heard in the recordings when they were made, in the place of an engine."""

    def __init__(self, folder: Path) -> None:
        self._heard: dict[str, Json] = json.loads((folder / "heard.json").read_text())

    def of(self, name: str, misheard: Mapping[str, str]) -> Json:
        """The hearing of a recording, with some words as a phone in more noise took them."""
        raw = dict(self._heard[name])
        raw["words"] = [
            word | {"text": misheard[word["text"]], "confidence": f"{MISHEARD_CONFIDENCE:.2f}"}
            if word["text"] in misheard
            else word
            for word in raw["words"]
        ]
        return raw

    def hear(
        self,
        recording: bytes,
        name: str,
        vocabulary: Vocabulary,
        voice: Path | None = None,
        by: Expected = NOTHING,
    ) -> Hearing:
        """As an ear: what is written down for this recording."""
        return Hearing.from_json(self._heard[name])


def make_day(folder: Path) -> Bench:
    """Put the months of log.yaml and then the day into a new log in `folder`; its bench, open."""
    bench = replay(folder)
    try:
        _Day(bench, demo_folder()).live()
    except BaseException:
        bench.close()
        raise
    return bench


class _Day:
    def __init__(self, bench: Bench, demo: Path) -> None:
        self.plan: Json = yaml.safe_load((demo / "day.yaml").read_text())
        self.bench, self.files, self.written = bench, demo / "day", Written(demo / "day")
        copy = print_copy(bench.log)
        self.phones = {
            name: DemoPhone(f"phone-{name}", author, Pocket(copy["print"], copy["words"]))
            for name, author in self.plan["phones"].items()
        }
        known = [(r.operation.as_json(), r.received_millis) for r in bench.log.journal.read()]
        for phone in self.phones.values():
            phone.pocket.saw(known)

    def live(self) -> None:
        """Take every note, sync as the phones would, and hear the recordings a second time."""
        apart = False
        for row in self.plan["notes"]:
            phone, when = self.phones[row["phone"]], self._when(row["at"])
            if not (apart and row.get("apart")):
                self._sync(when)
            apart = bool(row.get("apart"))
            self._note(phone, row, when)
        self._sync(self._when("17:00"))
        queue = SecondHearing(self.bench.log, self.bench, self.written)
        while queue.hear_next():
            pass

    def _when(self, at: str) -> Wall:
        return read_wall(f"{self.plan['day']}T{at}:00{self.plan['offset']}")

    def _note(self, phone: DemoPhone, row: Mapping[str, Any], when: Wall) -> None:
        if photo := row.get("photo"):
            self._attach(phone, photo, "photo", when)
            return
        sound = row.get("sound")
        phone.says(self.written.of(sound, row.get("misheard", {})) if sound else row["say"], when)
        if sound:
            self._attach(phone, sound, "sound", when)

    def _attach(self, phone: DemoPhone, name: str, role: str, when: Wall) -> None:
        content = (self.files / name).read_bytes()
        body = {
            "media": self.bench.log.media.keep(content),
            "mime": mimetypes.guess_type(name)[0] or "application/octet-stream",
            "size": len(content),
            "role": role,
            "name": name,
        }
        phone.make("attach", phone.last, body, when)

    def _sync(self, when: Wall) -> None:
        """Both phones bring what they have, then both know all of it."""
        assert isinstance(self.bench.clock, DemoClock)  # noqa: S101 - replay made it
        self.bench.clock.wall = when
        fresh = [made for phone in self.phones.values() for made in phone.waiting]
        for phone in self.phones.values():
            self.bench.log.receive([made.as_json() for made in phone.waiting], phone.device)
            phone.pocket.saw([(made.as_json(), when.millis) for made in fresh])
            phone.stamp = _latest([phone.stamp, *(made.stamp for made in fresh)], phone.device)
        for phone in self.phones.values():
            phone.waiting.clear()


def _latest(stamps: Sequence[Stamp], device: str) -> Stamp:
    last = max(stamps)
    return Stamp(last.millis, last.counter, device)


def day_of(bench: Bench) -> list[Logged]:
    """The entries of the demo's day, the first done first."""
    day = str(yaml.safe_load((demo_folder() / "day.yaml").read_text())["day"])
    return [logged for logged in bench.log.state.order if logged.wall[:10] == day]


def told(bench: Bench) -> Iterator[str]:
    """What the day holds for the desk, one line each."""
    day = day_of(bench)
    roles = Counter(each.role for logged in day for each in logged.attachments)
    doubts = [doubt for logged in day for doubt in logged.entry.doubts]
    yield f"{len(day)} entries on {day[0].wall[:10]}, by two phones; the months before as typed notes"
    yield f"{len(doubts)} open doubts, one of them a value that the two phones changed apart"
    yield f"{roles['sound']} recordings, {roles['photo']} photos"
