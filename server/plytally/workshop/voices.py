"""What the shop computer knows of each phone's voice: what was read aloud and what was learnt from it.

A phone has one voice: that of whoever carries it, through its own microphone. Tables of the documents,
and a file a voice:

    voice_readings         {"device", "text", "part", "media", "wall"}      a sentence read, the last time
    voices                 {"device", "on", "wanted", "learnt": … or null}  what came of it
    voice_unasked          {"device", "until", "never"}   notes up to then were learnt from; never: unasked
    voices/DEVICE.means    what the engine hears by
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from tinydb import where

from plytally.core.hearing import typed
from plytally.core.reading_list import Sentence, reading_list
from plytally.core.understand import understand
from plytally.core.vocabulary import SOUNDS
from plytally.speech.sphinx_model import means_file
from plytally.speech.voice_fit import FEWEST_NOTES
from plytally.speech.voice_learning import Learnt
from plytally.speech.ways_said import WaySaid
from plytally.store.disk import RealDisk, ensure_folder, replace_file
from plytally.store.errors import telling
from plytally.workshop.bench import Bench
from plytally.workshop.lessons import Lessons, Material

Json = dict[str, Any]
READINGS, VOICES, UNASKED = "voice_readings", "voices", "voice_unasked"
FIRST_UNASKED, AGAIN_UNASKED = 20, 40
"""Notes of a day's work that teach: from so many on a voice is learnt without being asked for, the first time
and, of newer ones, anew. Figures in docs/hearing.md."""


class NoSuchSentence(ValueError):
    """What was read is no sentence of the reading list: the words have changed since the page was opened."""


class Voices:
    """The voices of one shop's phones. Threads may share it."""

    def __init__(self, bench: Bench) -> None:
        self._bench, self._log, self._disk = bench, bench.log, RealDisk()
        self._lessons = Lessons(bench)

    def sentences(self) -> tuple[Sentence, ...]:
        """What there is to read, by the words as they are now."""
        return reading_list(self._bench.vocabulary)

    def read(self, device: str, text: str, media: str) -> None:
        """Keep that a sentence was read aloud, in place of an earlier time. NoSuchSentence if unknown."""
        sentence = next((each for each in self.sentences() if each.text == text), None)
        if sentence is None:
            raise NoSuchSentence(f"{text!r} is not to be read any more: the words have changed, look again")
        row = {"device": device, "text": text, "part": sentence.part, "media": media}
        with self._log.documents.table(READINGS) as table:
            table.upsert(
                row | {"wall": str(self._bench.now())},
                (where("device") == device) & (where("text") == text),
            )

    def file_of(self, device: str) -> Path | None:
        """The file to hear this phone's notes by; None where none helps, or it is off."""
        row = self._row(device)
        return self._file(device) if self._state(row | {"wanted": False}) == "helps" else None

    def told(self, device: str) -> Json:
        """All that a page shows of a phone's voice.

        `state` is "none", "learning", "helps", "does not help" or "off". `names` are the parts whose name was
        read, how it was heard, and whether it was heard right.
        """
        row, read = self._row(device), {each["text"]: each for each in self._readings(device)}
        learnt = row["learnt"] or {}
        return {
            "device": device,
            "state": self._state(row),
            "on": row["on"],
            "problem": row["problem"],
            "sentences": [
                {"text": each.text, "part": each.part, "read": each.text in read} for each in self.sentences()
            ],
            "fewest": FEWEST_NOTES,
            **{name: learnt.get(name) for name in ("notes", "seconds", "gain", "right", "of", "wall")},
            "names": learnt.get("names", []),
            "unasked": self._unasked(row),
        }

    def all(self) -> list[Json]:
        """The same of every phone that read aloud, whose voice was learnt, or whose notes teach it."""
        with self._log.documents.table(VOICES) as table:
            devices = dict.fromkeys(row["device"] for row in table.all())
        with self._log.documents.table(READINGS) as table:
            devices |= dict.fromkeys(row["device"] for row in table.all())
        noted = dict.fromkeys(logged.device for logged in self._log.state.order)
        devices |= dict.fromkeys(device for device in noted if self._lessons.of(device))
        return [self.told(device) for device in devices]

    def knows(self, device: str) -> bool:
        """Whether this phone read aloud, its voice was learnt or switched, or its notes teach it."""
        with self._log.documents.table(VOICES) as table:
            has_row = table.contains(where("device") == device)
        return has_row or bool(self._readings(device) or self._lessons.of(device))

    def want(self, device: str) -> None:
        """Ask for the voice to be learnt anew."""
        self._change_unasked(device, never=False)
        self._change(device, wanted=True, problem="")

    def want_unasked(self, device: str) -> bool:
        """Ask for it if enough new notes teach it and nobody said no; whether that is so."""
        row = self._row(device)
        unasked = self._unasked(row)
        due = bool(unasked["on"]) and not row["wanted"] and unasked["notes"] >= unasked["of"]
        if due:
            self._change(device, wanted=True, problem="")
        return due

    def wanted(self) -> Iterator[str]:
        """The phones whose voice is to be learnt."""
        with self._log.documents.table(VOICES) as table:
            yield from [row["device"] for row in table.all() if row["wanted"]]

    def switch(self, device: str, *, on: bool) -> None:
        """Hear by the voice and learn it from notes, or do neither; what was learnt stays."""
        self._change(device, on=on)
        if on:
            self._change_unasked(device, never=False)

    def forget(self, device: str) -> None:
        """Drop the voice and the list of what was read. The recordings stay, like every other.

        It is not learnt again unless someone asks for it.
        """
        for name in (VOICES, READINGS):
            with self._log.documents.table(name) as table:
                table.remove(where("device") == device)
        self._file(device).unlink(missing_ok=True)
        self._change_unasked(device, never=True)

    def material(self, device: str) -> list[Material]:
        """What to learn the voice from: what was read aloud, then notes of the day's work."""
        read = [Material(each["text"], each["media"]) for each in self._readings(device)]
        return [each for each in read if each.media in self._log.media] + self._lessons.of(device)

    def keep(self, device: str, learnt: Learnt) -> None:
        """Keep what was learnt, whether it helps or not."""
        fitted, file = learnt.fitted, self._file(device)
        means = means_file(fitted.means, from_notes=len(self._readings(device)) < FEWEST_NOTES)
        with telling("keeping", file):
            ensure_folder(self._disk, file.parent)
            replace_file(self._disk, file, means)
        kept = {
            "helps": learnt.helps,
            "notes": fitted.notes,
            "seconds": round(fitted.seconds),
            "gain": round(fitted.gain, 2),
            "right": list(learnt.right),
            "of": len(learnt.held),
            "wall": str(self._bench.now()),
            "names": self._names(device, learnt),
        }
        self._change(device, learnt=kept, wanted=False, problem="")
        self._used(device)

    def not_learnt(self, device: str, why: str) -> None:
        """Keep why a voice could not be learnt; an earlier one stays."""
        self._change(device, wanted=False, problem=why)
        self._used(device)

    def _used(self, device: str) -> None:
        """The notes that are here now were learnt from: only newer ones are a reason to learn anew."""
        newest = max((each.millis for each in self._lessons.of(device)), default=0)
        self._change_unasked(device, until=newest)

    def _unasked(self, row: Json) -> Json:
        """How many notes wait to be learnt from without being asked, of how many; and whether they are."""
        device, kept = row["device"], self._kept_unasked(row["device"])
        return {
            "on": row["on"] and not kept["never"],
            "notes": sum(each.millis > kept["until"] for each in self._lessons.of(device)),
            "of": AGAIN_UNASKED if row["learnt"] or row["problem"] else FIRST_UNASKED,
        }

    def _kept_unasked(self, device: str) -> Json:
        with self._log.documents.table(UNASKED) as table:
            row = table.get(where("device") == device)
        return {"device": device, "until": 0, "never": False} | (dict(row) if isinstance(row, dict) else {})

    def _change_unasked(self, device: str, **changed: Any) -> None:
        row = self._kept_unasked(device) | changed
        with self._log.documents.table(UNASKED) as table:
            table.upsert(row, where("device") == device)

    def _names(self, device: str, learnt: Learnt) -> list[Json]:
        """Each part that was named in the reading: the worst that was heard of it."""
        heard = {each.text: each for each in learnt.heard}
        found: dict[str, Json] = {}
        for row in self._readings(device):
            if row["part"] and row["text"] in heard:
                now = heard[row["text"]].last
                right = self._names_part(now, row["part"])
                if row["part"] not in found or not right:
                    found[row["part"]] = {
                        "part": row["part"],
                        "right": right,
                        "read": row["text"],
                        "heard": now,
                        "media": row["media"],
                        "ways": [] if right else [_taught(way) for way in heard[row["text"]].ways],
                    }
        return list(found.values())

    def _names_part(self, heard: str, part: str) -> bool:
        return understand(typed(heard), self._bench.vocabulary).fields.get("part") == part

    def _readings(self, device: str) -> Sequence[Mapping[str, Any]]:
        with self._log.documents.table(READINGS) as table:
            return list(table.search(where("device") == device))

    def _file(self, device: str) -> Path:
        return self._log.folder / VOICES / f"{device}.means"

    def _row(self, device: str) -> Json:
        with self._log.documents.table(VOICES) as table:
            row = table.get(where("device") == device)
        none = {"device": device, "on": True, "wanted": False, "problem": "", "learnt": None}
        return none | dict(row) if isinstance(row, dict) else none

    def _change(self, device: str, **changed: Any) -> None:
        row = self._row(device) | changed
        with self._log.documents.table(VOICES) as table:
            table.upsert(row, where("device") == device)

    def _state(self, row: Json) -> str:
        if row["wanted"]:
            return "learning"
        if not row["learnt"] or not self._file(row["device"]).is_file():
            return "none"
        if not row["learnt"]["helps"]:
            return "does not help"
        return "helps" if row["on"] else "off"


def _taught(way: WaySaid) -> Json:
    """The pronunciation, and the body for POST /api/desk/words if the builder says yes."""
    return way.as_json() | {
        "teach": {"list": SOUNDS, "name": way.word, "said_as": [way.phones.lower()], "entry": ""}
    }
