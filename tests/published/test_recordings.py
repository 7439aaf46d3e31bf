"""The embedded engine on real people's speech: the recordings of Debian's package pocketsphinx-testdata.

The words are those of the package's own transcriptions, the grammars those that lie beside the recordings.
"""

from pathlib import Path

import jiwer
import pytest
from support.grammars import grammar_of

from plytally.speech.audio import decode
from plytally.speech.port import Pcm16k
from plytally.speech.sphinx import SphinxRecogniser

DATA = Path("/usr/share/pocketsphinx/test/data")

# cards/cards.gram of the package, rule by rule
CARDS = grammar_of(
    "<card> <card> <card> | <card> <card> | <card> | <rank> <card> | <rank> <rank>",
    suits="clubs | hearts | diamonds | spades",
    rank="ace | two | three | four | five | six | seven | eight | nine | ten | jack | queen | king | lady",
    card="<rank> [of] <suits>",
)
# goforward.gram of the package
TURTLE = grammar_of(
    "go forward ten meters | go <direction> <distance> [meter | meters]",
    direction="forward | backward",
    distance="one | two | three | four | five | six | seven | eight | nine | ten",
)
DIGITS = grammar_of(
    "<digit> | <digit> <digit> | <digit> <digit> <digit> | <digit> <digit> <digit> <digit>"
    " | <digit> <digit> <digit> <digit> <digit>",
    digit="zero | oh | one | two | three | four | five | six | seven | eight | nine",
)


@pytest.fixture(scope="module")
def sphinx():
    assert DATA.is_dir(), "install the recordings: apt-get install pocketsphinx-testdata"
    return SphinxRecogniser()


def cards():
    for line in (DATA / "cards/cards.transcription").read_text().splitlines():
        words, _, number = line.partition("</s>")
        yield number.strip(" ()"), words.replace("<s>", "").strip()


def test_the_cards_are_heard_without_a_wrong_word(sphinx):
    """As by the reference decoder: cards.hyp of the package has all 21 words right."""
    truth = dict(cards())

    heard = {name: sphinx.hear(decode(DATA / f"cards/{name}.wav"), CARDS).text for name in truth}

    assert len(truth) == 5
    assert heard == truth


def test_go_forward_is_heard_as_its_transcription_says(sphinx):
    heard = sphinx.hear(Pcm16k.from_bytes((DATA / "goforward.raw").read_bytes()), TURTLE)

    assert heard.text == "go forward ten meters"
    assert heard.covered


def test_of_five_digits_spoken_in_a_row_one_is_wrong_at_the_most(sphinx):
    """tidigits/dhd.2934z: 2 9 3 4 zero. The first is still heard as "three": a bound, not a match."""
    heard = sphinx.hear(Pcm16k.from_bytes((DATA / "tidigits/dhd.2934z.raw").read_bytes()), DIGITS)

    assert heard.covered
    assert jiwer.wer("two nine three four zero", heard.text) <= 1 / 5


@pytest.mark.parametrize("number", ["0870", "0880", "0890", "0920", "0930"])
def test_a_novel_read_aloud_is_not_taken_for_cards(sphinx, number):
    """Foreign speech in a real voice must come back as not covered (librivox recordings of the package)."""
    sound = decode(DATA / f"librivox/sense_and_sensibility_01_austen_64kb-{number}.wav")

    assert not sphinx.hear(sound, CARDS).covered


# ---- how errors are counted -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reference", "substituted", "deleted", "inserted", "percent"),
    [
        pytest.param(1406, 131, 12, 26, "12.0", id="sclite, NIST SCTK documentation: 12.0 %"),
        pytest.param(458, 64, 9, 12, "18.6", id="sclite, NIST SCTK documentation: 18.6 %"),
    ],
)
def test_jiwer_counts_word_errors_as_sclite_does(reference, substituted, deleted, inserted, percent):
    right = reference - substituted - deleted
    truth = ["w"] * right + ["s"] * substituted + ["d"] * deleted
    heard = ["w"] * right + ["x"] * substituted + ["i"] * inserted

    counted = jiwer.process_words(" ".join(truth), " ".join(heard))

    errors = substituted + deleted + inserted
    assert counted.substitutions + counted.deletions + counted.insertions <= errors
    assert f"{100 * errors / reference:.1f}" == percent


def test_jiwer_scores_its_own_documented_example():
    """jiwer's tests: 88.89 % for these two sentences."""
    truth = ["short one here", "quite a bit of longer sentence"]
    heard = ["shoe order one", "quite bit of an even longest sentence here"]

    assert round(100 * jiwer.wer(truth, heard), 2) == 88.89
