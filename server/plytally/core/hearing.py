"""What a recogniser heard: words with their times and confidence, and what else it may have been.

Engines on the server and on the phone both give a Hearing; `understand` reads nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

TYPED_CONFIDENCE = 1.0


@dataclass(frozen=True)
class Word:
    """One word as heard. Times in seconds from the start of the sound; confidence from 0 to 1.

    `runner_up` is the word or words that fitted the same stretch of sound next best, "" where none is known.
    """

    text: str
    start: float = 0.0
    end: float = 0.0
    confidence: float = TYPED_CONFIDENCE
    runner_up: str = ""


@dataclass(frozen=True)
class Alternative:
    """Another whole sentence the sound may have been, and how far behind it came.

    `margin` is the best sentence's log score less this one's, per second of speech: 0 is a tie.
    """

    text: str
    margin: float


@dataclass(frozen=True)
class Hearing:
    """One note as one engine heard it.

    `covered` says that the words come from the phrasebook's grammar; when false they are a free
    guess at open speech, good for finding a note again and for nothing else.
    """

    words: tuple[Word, ...]
    covered: bool = True
    alternatives: tuple[Alternative, ...] = ()
    engine: str = "typed"
    seconds: float = 0.0
    remarks: tuple[str, ...] = field(default=())

    @property
    def text(self) -> str:
        """The words as one line."""
        return " ".join(word.text for word in self.words)

    def as_json(self) -> dict[str, Any]:
        """The hearing as plain JSON values, for an operation's body or `--json`."""
        return {
            "engine": self.engine,
            "covered": self.covered,
            "seconds": f"{self.seconds:.2f}",
            "words": [
                {
                    "text": word.text,
                    "start": f"{word.start:.2f}",
                    "end": f"{word.end:.2f}",
                    "confidence": f"{word.confidence:.2f}",
                    "runner_up": word.runner_up,
                }
                for word in self.words
            ],
            "alternatives": [{"text": a.text, "margin": f"{a.margin:.1f}"} for a in self.alternatives],
            "remarks": list(self.remarks),
        }

    @classmethod
    def from_json(cls, raw: Mapping[str, Any]) -> Hearing:
        """The inverse of `as_json`, to the precision kept there."""
        return cls(
            words=tuple(
                Word(w["text"], float(w["start"]), float(w["end"]), float(w["confidence"]), w["runner_up"])
                for w in raw["words"]
            ),
            covered=raw["covered"],
            alternatives=tuple(Alternative(a["text"], float(a["margin"])) for a in raw["alternatives"]),
            engine=raw["engine"],
            seconds=float(raw["seconds"]),
            remarks=tuple(raw["remarks"]),
        )


def typed(text: str) -> Hearing:
    """Typed words as a hearing without doubt in the sound."""
    return Hearing(tuple(Word(word) for word in text.split()))
