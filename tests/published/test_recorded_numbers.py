"""Numbers as a person says them: the recordings of Debian's asterisk-core-sounds-en-g722 (CC BY-SA 3.0).

One American woman, read aloud, each number by itself in wide band: 0 to 20 and the tens. The file's name is
the number. Nothing was set on them. Each may be any whole number below a hundred.
"""

from pathlib import Path

import av
import numpy as np
import pytest

from plytally.core.automaton import automaton
from plytally.core.grammar import Either, Say, Seq
from plytally.core.judging import found_by, heard_automaton, rivals_automaton, weighed
from plytally.core.listening import Grammar, Rival
from plytally.core.numbers import confusable, say_cardinal
from plytally.core.numberwords import TEEN_OR_TY
from plytally.core.paths import Sounded
from plytally.speech.conditioning import conditioned
from plytally.speech.decoder import Decoder
from plytally.speech.sphinx import SETTINGS

SOUNDS = Path("/usr/share/asterisk/sounds")
PAUSE = np.zeros(4800, np.int16)
HARD = {5, 6, 16, 60, 80}
"""Heard as nine, fifty, fifteen, sixteen and eighteen."""


def recordings():
    folder = next(SOUNDS.glob("en_US_f_*/digits"), None)
    assert folder, "install the recordings: apt-get install asterisk-core-sounds-en-g722"
    return {int(file.stem): file for file in sorted(folder.glob("*.g722")) if file.stem.isdigit()}


def samples(file):
    with av.open(str(file), format="g722") as container:
        pieces = [frame.to_ndarray().reshape(-1) for frame in container.decode(audio=0)]
    return np.concatenate([PAUSE, *pieces, PAUSE])


def heard_numbers(voice=None):
    """Each number with its words as the rules for doubts leave them, and the closest other number."""
    sayable = [say_cardinal(number) for number in range(100)]
    made = Decoder(**SETTINGS, **({} if voice is None else {"mean": str(voice)}))
    made.learn({"the", "of", *(word for text in sayable for word in text.split())})
    tree = Either(tuple(Seq(tuple(map(Say, text.split()))) for text in sayable))
    made.listen_by("numbers", automaton(tree))
    made.listen_to_phones("phones")
    for number, file in recordings().items():
        sound = conditioned(samples(file))
        path = made.best_path("numbers", sound)
        rival = rival_of(path.words, sayable)
        made.listen_by("heard", heard_automaton(path.words))
        alone = made.best_path("heard", sound)
        made.listen_by("rivals", rivals_automaton([rival]))
        closest = found_by([rival], alone, made.best_path("rivals", sound))
        heard = Sounded(path, made.best_path("phones", sound), voice is not None)
        by = Grammar(automaton(tree), "numbers", (), rivals=lambda _text, only=rival: (only,))
        yield number, weighed(heard, [closest] if closest else [], by), closest


def rival_of(words, sayable):
    """Any other number in the heard one's place."""
    others = tuple(text for text in sayable if text != " ".join(words))
    alike = tuple(text for text in confusable(words, TEEN_OR_TY) if text in others)
    return Rival(("mass",), 0, len(words), "", "", others, words, alike)


@pytest.fixture(scope="module")
def heard():
    return {number: words for number, words, _ in heard_numbers()}


def test_a_persons_numbers_are_heard_but_for_five_of_twenty_eight(heard):
    wrong = {n for n, words in heard.items() if " ".join(word.text for word in words) != say_cardinal(n)}

    assert len(heard) == 28
    assert wrong <= HARD


def test_every_one_that_was_heard_wrongly_is_asked_about(heard):
    wrong = [words for n, words in heard.items() if " ".join(word.text for word in words) != say_cardinal(n)]

    assert all(any(word.runner_up for word in words) for words in wrong)
