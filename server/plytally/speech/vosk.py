"""The better engine, where its model is present: Vosk, by a list of phrases first, freely where that fails.

A phrase list is no strict grammar for Vosk (it becomes a bigram with back-off), so what comes back is held
against the phrasebook's own automaton. Its confidence is near 1 even when it is wrong: the runner-ups come
from its list of alternatives.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import vosk

from plytally.core.alternatives import by_alternatives
from plytally.core.hearing import Alternative, Hearing, Word
from plytally.core.listening import Grammar
from plytally.speech.port import RATE, ModelIncomplete, Pcm16k
from plytally.speech.vosk_model import whole_model

UNKNOWN = "[unk]"
ALTERNATIVES = 5
vosk.SetLogLevel(-1)


class VoskRecogniser:
    """Hears by a Vosk model, which is shared; each note has its own recogniser. Use it from any thread."""

    def __init__(self, folder: Path) -> None:
        """Load the model; ModelAbsent or ModelIncomplete says what is wrong with the folder."""
        folder = whole_model(folder)
        self.name = f"vosk {folder.resolve().name}"
        try:
            self._model = vosk.Model(str(folder))
        except Exception as problem:  # the library raises nothing narrower
            raise ModelIncomplete(
                f"Vosk cannot load the model in {folder}: a file in it is damaged. Unpack or copy it again"
            ) from problem
        self._phrases_of = lru_cache(maxsize=2)(self._phrases)

    def lacks(self, words: Iterable[str]) -> tuple[str, ...]:
        """Those of the words that the model does not know, and so can never hear."""
        return tuple(word for word in words if self._model.vosk_model_find_word(word) < 0)

    def hear(self, sound: Pcm16k, grammar: Grammar) -> Hearing:
        """The words in `sound`: by the phrasebook, or freely where it does not hold them."""
        phrases, remark = self._phrases_of(grammar.jsgf, grammar.words, grammar.sentences)
        best = self._run(sound, phrases)
        words = best.get("result", [])
        if words and grammar.automaton.accepts(tuple(word["word"] for word in words)):
            others = self._run(sound, phrases, ALTERNATIVES).get("alternatives", [])
            heard = self._hearing(words, sound, (*sound.remarks, *remark), others)
            weighed = by_alternatives(heard.words, heard.alternatives, heard.seconds, grammar)
            return replace(heard, words=weighed)
        free = self._run(sound).get("result", [])
        covered = bool(free) and grammar.automaton.accepts(tuple(word["word"] for word in free))
        return self._hearing(free, sound, (*sound.remarks, *remark), covered=covered)

    def _phrases(
        self, _jsgf: str, words: Sequence[str], sentences: Sequence[str]
    ) -> tuple[str, tuple[str, ...]]:
        """The phrase list as Vosk takes it, and a remark on the words that its model lacks."""
        lacking = set(self.lacks(words))
        sayable = [s for s in dict.fromkeys(sentences) if lacking.isdisjoint(s.split())]
        if not self.lacks([UNKNOWN]):
            sayable.append(UNKNOWN)
        remark = (
            f"the model {self.name} has no word for: {', '.join(sorted(lacking))}; it cannot hear them"
            if lacking
            else ""
        )
        return json.dumps(sayable, ensure_ascii=False), ((remark,) if remark else ())

    def _run(self, sound: Pcm16k, phrases: str = "", alternatives: int = 0) -> dict[str, Any]:
        """One pass over the sound; the library's own answer."""
        asked = (phrases,) if phrases else ()
        recogniser = vosk.KaldiRecognizer(self._model, RATE, *asked)
        recogniser.SetWords(True)
        recogniser.SetMaxAlternatives(alternatives)
        answers = []
        if recogniser.AcceptWaveform(sound.samples.astype("<i2").tobytes()):
            answers.append(json.loads(recogniser.Result()))
        answers.append(json.loads(recogniser.FinalResult()))
        return _joined(answers)

    def _hearing(
        self,
        words: list[dict[str, Any]],
        sound: Pcm16k,
        remarks: tuple[str, ...],
        others: Sequence[dict[str, Any]] = (),
        covered: bool = True,
    ) -> Hearing:
        heard = tuple(Word(w["word"], w["start"], w["end"], min(1.0, w["conf"])) for w in words)
        return Hearing(
            words=heard,
            covered=covered,
            alternatives=_alternatives(others, " ".join(word["word"] for word in words), sound.seconds),
            engine=self.name,
            seconds=sound.seconds,
            remarks=remarks,
        )


def _joined(answers: list[dict[str, Any]]) -> dict[str, Any]:
    """A long sound is answered in parts, at its pauses; alternatives are kept of a single part only."""
    if len(answers) == 1 or not answers[0].get("result"):
        return answers[-1]
    return {"result": [word for answer in answers for word in answer.get("result", [])]}


def _alternatives(others: Sequence[dict[str, Any]], best: str, seconds: float) -> tuple[Alternative, ...]:
    """The other sentences, each once, with how far behind the first they came, per second of sound."""
    if not others:
        return ()
    top = max(other["confidence"] for other in others)
    found: dict[str, float] = {}
    for other in others:
        text = other["text"].strip()
        if text and text != best:
            found.setdefault(text, (top - other["confidence"]) / max(seconds, 0.1))
    return tuple(Alternative(text, margin) for text, margin in found.items())
