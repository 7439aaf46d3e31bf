"""What the shop computer knows of each phone's voice: what was read aloud and what was learnt from it.

A phone has one voice: that of whoever carries it, through its own microphone. Two tables of the documents,
and a file a voice:

    voice_readings         {"device", "text", "part", "media", "wall"}      a sentence read, the last time
    voices                 {"device", "on", "wanted", "learnt": … or null}  what came of it
    voices/DEVICE.means    what the engine hears by
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tinydb import where

from plytally.core.desk.acts import accepted
from plytally.core.hearing import typed
from plytally.core.history import Logged
from plytally.core.reading_list import Sentence, reading_list
from plytally.core.rivals import listened
from plytally.core.understand import understand
from plytally.core.vocabulary import SOUNDS
from plytally.speech.sphinx_model import means_file
from plytally.speech.voice_fit import FEWEST_NOTES
from plytally.speech.voice_learning import Learnt
from plytally.speech.ways_said import WaySaid
from plytally.store.disk import RealDisk, ensure_folder, replace_file
from plytally.store.errors import telling
from plytally.workshop.bench import Bench

Json = dict[str, Any]
READINGS, VOICES = "voice_readings", "voices"
MOST_CONFIRMED = 100
"""Notes of a day's work that a voice is learnt from besides what was read aloud: the newest."""


class NoSuchSentence(ValueError):
    """What was read is no sentence of the reading list: the words have changed since the page was opened."""


@dataclass(frozen=True)
class Material:
    """A recording to learn from: its address and the words said in it."""

    text: str
    media: str


class Voices:
    """The voices of one shop's phones. Threads may share it."""

    def __init__(self, bench: Bench) -> None:
        self._bench, self._log, self._disk = bench, bench.log, RealDisk()

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
        }

    def all(self) -> list[Json]:
        """The same of every phone that read aloud or whose voice was learnt."""
        with self._log.documents.table(VOICES) as table:
            devices = dict.fromkeys(row["device"] for row in table.all())
        with self._log.documents.table(READINGS) as table:
            devices |= dict.fromkeys(row["device"] for row in table.all())
        return [self.told(device) for device in devices]

    def knows(self, device: str) -> bool:
        """Whether this phone read aloud, or its voice was learnt or switched."""
        with self._log.documents.table(VOICES) as table:
            has_row = table.contains(where("device") == device)
        return has_row or bool(self._readings(device))

    def want(self, device: str) -> None:
        """Ask for the voice to be learnt anew."""
        self._change(device, wanted=True, problem="")

    def wanted(self) -> Iterator[str]:
        """The phones whose voice is to be learnt."""
        with self._log.documents.table(VOICES) as table:
            yield from [row["device"] for row in table.all() if row["wanted"]]

    def switch(self, device: str, *, on: bool) -> None:
        """Hear by the voice, or by anybody's; what was learnt stays."""
        self._change(device, on=on)

    def forget(self, device: str) -> None:
        """Drop the voice and the list of what was read. The recordings stay, like every other."""
        for name in (VOICES, READINGS):
            with self._log.documents.table(name) as table:
                table.remove(where("device") == device)
        self._file(device).unlink(missing_ok=True)

    def material(self, device: str) -> list[Material]:
        """What to learn the voice from: what was read aloud, then confirmed notes of the day's work."""
        read = [Material(each["text"], each["media"]) for each in self._readings(device)]
        confirmed = self._confirmed(device)
        return [each for each in (*read, *confirmed) if each.media in self._log.media]

    def keep(self, device: str, learnt: Learnt) -> None:
        """Keep what was learnt, whether it helps or not."""
        fitted, file = learnt.fitted, self._file(device)
        with telling("keeping", file):
            ensure_folder(self._disk, file.parent)
            replace_file(self._disk, file, means_file(fitted.means))
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

    def not_learnt(self, device: str, why: str) -> None:
        """Keep why a voice could not be learnt; an earlier one stays."""
        self._change(device, wanted=False, problem=why)

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

    def _confirmed(self, device: str) -> list[Material]:
        newest = (logged for logged in reversed(self._log.state.order) if logged.device == device)
        found: list[Material] = []
        for logged in newest:
            material = self._of_note(logged)
            if material is not None:
                found.append(material)
            if len(found) == MOST_CONFIRMED:
                break
        return found

    def _of_note(self, logged: Logged) -> Material | None:
        """A note that was accepted as it was heard: nobody changed a field, nothing is in doubt."""
        sounds = [each.media for each in logged.attachments if each.role == "sound"]
        if len(sounds) != 1 or logged.withdrawn is not None or accepted(logged) is None:
            return None
        said = logged.noted.said
        vocabulary = self._bench.vocabulary
        if logged.entry.doubts or not listened(vocabulary).accepts(tuple(said.split())):
            return None
        meant = understand(typed(said), vocabulary).entry
        same = meant is not None and (meant.kind, meant.fields) == (logged.entry.kind, logged.entry.fields)
        return Material(said, sounds[0]) if same else None

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
