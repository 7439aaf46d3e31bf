"""Teen or ty: an amount that the ear takes for another is asked about until the engine knows the voice."""

import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.automaton import automaton
from plytally.core.grammar import words_of as words_in
from plytally.core.hearing import Hearing
from plytally.core.jsgf import phrase
from plytally.core.judging import Judged, words_of
from plytally.core.listening import Grammar, rivals
from plytally.core.numbers import say_cardinal
from plytally.core.paths import BestPath, Piece
from plytally.core.understand import understand
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file
from plytally.speech.audio import decode
from plytally.speech.sphinx import SphinxRecogniser
from plytally.speech.sphinx_model import embedded_model, means_file

QUILLWING = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))
PARTNERED = [*range(13, 20), *range(30, 100, 10)]
AMOUNTS = {
    "mass": ("mixed {} grams of epoxy", [*PARTNERED, *(400 + n for n in PARTNERED)]),
    "measure": ("the gap is {} thousandths on the rudder spar", [*PARTNERED, *(100 + n for n in PARTNERED)]),
    "duration": ("call me in {} minutes", PARTNERED),
    "holes": ("drilled {} holes in the rudder post", PARTNERED),
    "ratio": ("mixed ten grams of epoxy at a hundred to {}", PARTNERED),
    "temperature": ("shop air {} degrees and forty two percent", range(30, 100, 10)),
    "humidity": ("shop air seventy two degrees and {} percent", range(30, 100, 10)),
}
EVERY = [(field, text.format(say_cardinal(n))) for field, (text, some) in AMOUNTS.items() for n in some]


def path(text):
    pieces = [Piece(word, at * 10, at * 10 + 10, 0.0) for at, word in enumerate(text.split())]
    return BestPath(tuple(pieces), 0.0)


@settings(deadline=None, max_examples=25)
@given(st.sampled_from(EVERY), st.floats(-1e6, 1e6), st.booleans())
def test_every_such_amount_is_asked_about_whatever_the_margin(said, margin, searched):
    field, text = said
    each = rivals(text, QUILLWING)
    found = [Judged(r, tuple(r.others[0].split()), margin) for r in each if r.others] if searched else []

    doubts = {
        doubt.field
        for doubt in understand(Hearing(words_of(path(text), found, asked=each)), QUILLWING).doubts
    }

    assert field in doubts


@pytest.mark.parametrize(
    ("text", "field", "other"),
    [
        ("mixed one hundred sixteen grams of epoxy", "mass", "one hundred sixty grams"),
        ("mixed ten grams of epoxy at a hundred to sixteen", "ratio", "a hundred to sixty"),
        ("shop air eighty degrees and forty two percent", "temperature", "eighteen degrees"),
        ("call me at seven fifteen", "at", "seven fifty"),
    ],
)
def test_the_amount_that_sounds_alike_is_the_one_shown(text, field, other):
    words = words_of(path(text), [], asked=rivals(text, QUILLWING))

    doubts = {doubt.field: doubt for doubt in understand(Hearing(words), QUILLWING).doubts}

    assert doubts[field].runner_up == other
    assert doubts[field].why == "the two sound alike"


def test_it_is_shown_also_where_another_amount_came_closer():
    text = "mixed sixteen grams of epoxy"
    mass = next(each for each in rivals(text, QUILLWING) if "mass" in each.fields)

    words = words_of(path(text), [Judged(mass, ("fifteen", "grams"), 0.0)], asked=[mass])

    assert [word.runner_up for word in words] == ["", "sixty", "", "", ""]


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("vacuum eighteen inches on the right elevator spar", id="no gauge shows eighty"),
        pytest.param("sanded the rudder post with eighty grit", id="there is no eighteen grit"),
        pytest.param("mixed thirty two grams of epoxy", id="nobody says thirteen two"),
    ],
)
def test_what_cannot_be_meant_is_not_asked_about(text):
    assert not any(each.alike for each in rivals(text, QUILLWING))


@pytest.fixture(scope="module")
def fourteen(tmp_path_factory):
    """By a voice in which "forty" lies far behind, so that the margin alone asks nothing."""
    program = shutil.which("espeak-ng")
    assert program, "install the voice: apt-get install espeak-ng"
    file = tmp_path_factory.mktemp("said") / "said.wav"
    said = [program, "-v", "en-us+m2", "-s", "155", "-w", str(file), "mixed fourteen grams"]
    subprocess.run(said, check=True)
    return decode(file)


@pytest.fixture(scope="module")
def few():
    """A grammar of two sentences, so that hearing takes a moment."""
    tree = phrase("mixed (fourteen | forty) grams", {})
    made = automaton(tree)
    return Grammar(
        made,
        "few",
        (*words_in(tree), "the", "of"),
        ("mixed fourteen grams", "mixed forty grams"),
        rivals=lambda text: rivals(text, QUILLWING, made),
    )


def test_the_engine_asks_while_it_does_not_know_the_voice(fourteen, few):
    heard = SphinxRecogniser().hear(fourteen, few)

    assert [(word.text, word.runner_up) for word in heard.words] == [
        ("mixed", ""),
        ("fourteen", "forty"),
        ("grams", ""),
    ]


def test_with_a_voice_learnt_it_goes_by_how_far_the_other_lies_behind(fourteen, few, tmp_path):
    own = tmp_path / "own.means"
    own.write_bytes(means_file(embedded_model().means))

    heard = SphinxRecogniser(own).hear(fourteen, few)

    assert [(word.text, word.runner_up) for word in heard.words] == [
        ("mixed", ""),
        ("fourteen", ""),
        ("grams", ""),
    ]


def test_a_voice_that_read_no_numbers_aloud_is_asked_about_them_like_any(fourteen, few, tmp_path):
    own = tmp_path / "own.means"
    own.write_bytes(means_file(embedded_model().means, from_notes=True))

    heard = SphinxRecogniser(own).hear(fourteen, few)

    assert heard.words[1].runner_up == "forty"
