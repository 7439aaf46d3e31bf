"""A cup spoken at the bench sets a clock that knows how warm the shop is."""

from pathlib import Path

import pytest
from bench.sound import VOICES, in_noise, speak
from support.wavs import wav

from plytally.core.hearing import typed
from plytally.core.vocabulary import Vocabulary
from plytally.store.log import Recording
from plytally.workshop.bench import Bench
from plytally.workshop.ear import Ear

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
CUP = "mixed eighty grams at four to one"


@pytest.fixture(scope="module")
def ear(tmp_path_factory):
    made = Ear(tmp_path_factory.mktemp("data"), "sphinx")
    yield made
    made.close()


def spoken(text):
    return wav(in_noise(speak(text, VOICES[0]), 30).samples)


def minutes_left(folder, ear, air):
    """How long the clock runs that the spoken cup sets, with this shop air noted before."""
    with Bench.open(folder) as bench:
        bench.take_schedule(QUILLWING)
        bench.take(typed(f"shop air {air} degrees"))
        sound = spoken(CUP)
        reply = bench.take(ear.hear(sound, "note", Vocabulary()), Recording(sound))
        if reply.logged.entry.doubts:
            reply = bench.take(typed("confirm"))
        cup = next(each for each in bench.entries() if each.entry.kind == "mixed")
        assert str(cup.entry.fields["mass"]) == "80 g"
        (clock,) = bench.clocks.running(bench.now().millis)
        assert clock.kind.name == "pot life"
        return (clock.due - clock.since) / 60_000


@pytest.mark.parametrize(
    "source",
    [
        pytest.param(None, id="Gougeon, Warm Temperature Bonding: 18 °F above 72 °F halves pot life"),
        pytest.param(None, id="TM 1-1500-204-23-11 p.169: 90 °F takes 50 % off"),
    ],
)
def test_a_cup_spoken_at_90_calls_after_half_the_time_of_one_at_72(tmp_path, ear, source):
    warm = minutes_left(tmp_path / "warm", ear, "ninety")
    cool = minutes_left(tmp_path / "cool", ear, "seventy two")

    assert warm / cool == pytest.approx(0.5, rel=1e-3)
