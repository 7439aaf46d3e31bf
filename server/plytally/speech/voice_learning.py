"""From recordings and what was said in them to a voice: aligned, fitted, and tried on those held back.

A voice must never make hearing worse, so it counts only if it makes the notes held back likelier and no fewer
of them are heard word for word.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

from plytally.core.listening import Grammar
from plytally.speech.aligning import Aligned, Aligner
from plytally.speech.conditioning import conditioned
from plytally.speech.port import Pcm16k
from plytally.speech.sphinx import SphinxRecogniser
from plytally.speech.sphinx_model import embedded_model, means_file
from plytally.speech.voice_fit import Fitted, fit, is_held_back
from plytally.speech.ways_said import WaySaid, how_said

# Wide beams: what was said is known, it is only to be found in the sound.
SETTINGS = {"beam": 1e-80, "pbeam": 1e-80, "wbeam": 1e-60, "compallsen": True}


@dataclass(frozen=True, eq=False)
class Said:
    """A recording and the words said in it."""

    text: str
    sound: Pcm16k


@dataclass(frozen=True)
class Heard:
    """What was heard in one of them: by anybody's engine, and with the voice ("": not asked)."""

    text: str
    without: str
    learnt: str = ""
    ways: tuple[WaySaid, ...] = ()
    """Where it was not heard right at last: how its words were pronounced instead, if that is clear."""

    @property
    def last(self) -> str:
        """What is heard now."""
        return self.learnt or self.without


@dataclass(frozen=True, eq=False)
class Learnt:
    """A voice and how it did."""

    fitted: Fitted
    heard: tuple[Heard, ...]

    @property
    def held(self) -> tuple[Heard, ...]:
        """The notes held back."""
        return tuple(each for at, each in enumerate(self.heard) if is_held_back(at))

    @property
    def right(self) -> tuple[int, int]:
        """How many of the notes held back are heard word for word, without the voice and with it."""
        held = self.held
        return sum(each.without == each.text for each in held), sum(each.learnt == each.text for each in held)

    @property
    def helps(self) -> bool:
        """Whether to hear by it from now on."""
        return self.fitted.helps and self.right[1] >= self.right[0]


def fit_voice(said: Sequence[Said], grammar: Grammar) -> Fitted:
    """The voice of these recordings, all their words words of the grammar.

    What does not fit its words is left out. TooLittleSpeech if too little is left.
    """
    return _fitted(said, grammar)[0]


def learn_voice(said: Sequence[Said], grammar: Grammar, anybodys: SphinxRecogniser) -> Learnt:
    """The same, and tried: what was held back, and what anybody's engine heard wrongly, is heard by it.

    What it is tried on it was not fitted to, but for those heard wrongly that were not held back.
    """
    fitted, used = _fitted(said, grammar)
    without = [anybodys.hear(each.sound, grammar).text for each in used]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "trial.means"
        file.write_bytes(means_file(fitted.trial))
        by_voice = SphinxRecogniser(file)
    heard = [
        Heard(each.text, text, by_voice.hear(each.sound, grammar).text)
        if is_held_back(at) or text != each.text
        else Heard(each.text, text)
        for at, (each, text) in enumerate(zip(used, without, strict=True))
    ]
    sounds = [each.sound for each in used]
    return Learnt(fitted, tuple(_with_ways(*pair, grammar) for pair in zip(heard, sounds, strict=True)))


def _with_ways(heard: Heard, sound: Pcm16k, grammar: Grammar) -> Heard:
    if heard.last == heard.text:
        return heard
    return replace(heard, ways=how_said(sound, [heard.text], heard.last, grammar))


def _fitted(said: Sequence[Said], grammar: Grammar) -> tuple[Fitted, list[Said]]:
    """The voice, and the recordings that fitted their words, in their order."""
    model = embedded_model()
    notes, used = list[Aligned](), list[Said]()
    with closing(Aligner(model, tuple(grammar.words), **SETTINGS)) as aligner:
        for each in said:
            note = aligner.align(each.text, conditioned(each.sound.samples))
            if note is not None:
                notes.append(note)
                used.append(each)
    return fit(notes, model), used
