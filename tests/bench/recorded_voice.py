"""A person's numbers, heard without and with her voice learnt: made voices flatter what is learnt.

    .venv/bin/python tests/bench/recorded_voice.py

The recordings are those of Debian's asterisk-core-sounds-en-g722 (CC BY-SA 3.0; one American woman). The
voice is learnt from those whose words their names tell, none of them a number by itself (days, months,
ordinals, spelling words, short phrases); then 0 to 20 and the tens are heard, each of which may be any whole
number below a hundred. It prints what was heard, the closest rival, and whether it would be asked about.
"""

from __future__ import annotations

import sys
import tempfile
from contextlib import closing
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "published"))

from test_recorded_numbers import SOUNDS, heard_numbers, samples

from plytally.core.numbers import say_cardinal
from plytally.core.numberwords import SPELLING
from plytally.speech.aligning import Aligner
from plytally.speech.conditioning import conditioned
from plytally.speech.sphinx_model import embedded_model, means_file
from plytally.speech.voice_fit import Fitted, fit
from plytally.speech.voice_learning import SETTINGS

DAYS = "sunday monday tuesday wednesday thursday friday saturday"
MONTHS = "january february march april may june july august september october november december"
ORDINALS = (
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth"
    " fifteenth sixteenth seventeenth eighteenth nineteenth twentieth"
)
TENTHS = "thirtieth fortieth fiftieth sixtieth seventieth eightieth ninetieth"
DIGITS = "hundred thousand million billion minus today tomorrow yesterday dollars pound star"
MARKS = "asterisk dash dollar dot equals plus slash space"
PHRASES = (
    "one-moment-please please-try-again telephone-number hello-world is-in-use goodbye hello minutes seconds"
    " number extension location transfer hours calling cancelled activated disabled enabled invalid lowercase"
    " uppercase sorry removed number-not-answering from-unknown-caller speed-dial call-waiting"
    " call-forwarding do-not-disturb you-entered to-call-this-number is-set-to if-correct-press"
)


def main() -> None:
    """Print both tables."""
    show("without her voice", None)
    fitted = learnt()
    print(f"\nlearnt from {fitted.notes} recordings, {fitted.seconds:.0f} s, gain {fitted.gain:.2f}")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "her.means"
        file.write_bytes(means_file(fitted.means))
        show("with her voice", file)


def words_of_files() -> dict[str, str]:
    """What is said in each recording, by its name."""
    named = {f"digits/day-{at}": word for at, word in enumerate(DAYS.split())}
    named |= {f"digits/mon-{at}": word for at, word in enumerate(MONTHS.split())}
    named |= {f"digits/h-{at}": word for at, word in enumerate(ORDINALS.split(), 1)}
    named |= {f"digits/h-{at}0": word for at, word in enumerate(TENTHS.split(), 3)}
    named |= {f"digits/{word}": word for word in DIGITS.split()}
    named |= {f"letters/{word}": word for word in MARKS.split()}
    named |= {f"phonetic/{word[0]}_p": word for word in SPELLING}
    return named | {name: name.replace("-", " ") for name in PHRASES.split()}


def learnt() -> Fitted:
    """Her voice, every fourth recording in the order of their words' ends held back."""
    folder, model = next(SOUNDS.glob("en_US_f_*")), embedded_model()
    said = sorted(words_of_files().items(), key=lambda named: named[1][::-1])
    words = tuple({word for _, text in said for word in text.split()})
    with closing(Aligner(model, words, **SETTINGS)) as aligner:
        sounds = ((text, conditioned(samples(folder / f"{name}.g722"))) for name, text in said)
        notes = [note for text, sound in sounds if (note := aligner.align(text, sound)) is not None]
    return fit(notes, model)


def show(heading: str, voice: Path | None) -> None:
    """One line a number, and what it comes to."""
    wrong = asked = silent = 0
    print(f"\n{heading}")
    for number, words, closest in heard_numbers(voice):
        text, doubt = " ".join(word.text for word in words), any(word.runner_up for word in words)
        is_wrong = text != say_cardinal(number)
        wrong, asked, silent = wrong + is_wrong, asked + doubt, silent + (is_wrong and not doubt)
        behind = f"{' '.join(closest.words)} {closest.margin:.0f} behind" if closest else "nothing else"
        print(f"  {number:3} {'wrong' if is_wrong else '':6}{text:12} {behind:28} {'asked' if doubt else ''}")
    print(f"  {wrong} wrong, {asked} asked about, {silent} wrong and not asked about")


if __name__ == "__main__":
    main()
