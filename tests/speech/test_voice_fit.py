"""A voice learnt: on numbers made by hand, then on speech through the real engine."""

from contextlib import closing
from dataclasses import replace

import numpy as np
import pytest
from bench.sound import SIX, in_noise, speak
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.reading_list import reading_list
from plytally.core.vocabulary import Vocabulary
from plytally.speech.aligning import Aligned, Aligner, features
from plytally.speech.conditioning import conditioned
from plytally.speech.sphinx_model import SphinxModel, embedded_model, means_file, model_folder
from plytally.speech.voice_fit import (
    LEAST_GAIN,
    LOOSE,
    STIFF,
    TooLittleSpeech,
    VoiceMap,
    fit,
    fitted_map,
    fitted_means,
    likelihood,
)
from plytally.speech.voice_learning import SETTINGS

RNG = np.random.default_rng(4)
MADE = SphinxModel(
    ("SIL", "AA"),
    RNG.normal(0, 9, (2, 3, 40, 13)),
    np.full((2, 3, 40, 13), 0.5),
    np.full((3, 40, 5), -np.log(40)),
)


def spoken(model, voice, frames=500, seed=1):
    """Frames that the model would give, said by this voice."""
    rng = np.random.default_rng(seed)
    means = voice.of(model.means)[1]
    at = rng.integers(0, means.shape[1], (frames, 3))
    seen = np.stack([means[stream, at[:, stream]] for stream in range(3)], axis=1)
    noise = rng.normal(0, np.sqrt(0.5), seen.shape)
    return Aligned(seen + noise, np.zeros(frames, np.intp), np.ones(frames, np.intp))


def voice_of(seed):
    rng = np.random.default_rng(seed)
    return VoiceMap(np.eye(13) + rng.normal(0, 0.03, (3, 13, 13)), rng.normal(0, 0.5, (3, 13)))


@given(st.integers(0, 1000))
@settings(max_examples=5, deadline=None)
def test_a_voice_is_found_again_in_what_it_said(seed):
    voice = voice_of(seed)
    found = fitted_map([spoken(MADE, voice, seed=at) for at in range(6)], MADE)
    assert np.abs(found.of(MADE.means)[1] - voice.of(MADE.means)[1]).mean() < 0.15


def test_a_voice_like_the_models_own_stays_as_it_is():
    found = fitted_map([spoken(MADE, VoiceMap.none(), seed=at) for at in range(6)], MADE)
    assert np.abs(found.matrices - np.eye(13)).max() < 0.05


def test_what_was_held_back_is_likelier_by_the_voice_and_not_by_anothers():
    notes = [spoken(MADE, voice_of(7), seed=at) for at in range(9)]
    own, other = fitted_means(notes[:8], MADE), fitted_means([spoken(MADE, voice_of(8))], MADE)
    held = [notes[8]]
    assert likelihood(held, MADE, own) > likelihood(held, MADE, MADE.means) + LEAST_GAIN
    assert likelihood(held, MADE, other) < likelihood(held, MADE, own)


def test_phones_that_were_not_heard_move_with_the_rest_and_stay_finite():
    means = fitted_means([spoken(MADE, voice_of(7))], MADE)
    assert np.isfinite(means).all()
    assert np.abs(means[0] - MADE.means[0]).max() > 0


def test_a_little_speech_that_is_none_of_the_models_bends_it_less():
    notes = [spoken(MADE, VoiceMap.none(), frames=40, seed=at) for at in range(8)]
    odd = [
        replace(n, features=n.features + np.random.default_rng(at).normal(0, 6, (40, 3, 13)))
        for at, n in enumerate(notes)
    ]
    loose, stiff = fitted_map(odd, MADE, LOOSE), fitted_map(odd, MADE, STIFF)
    assert np.abs(stiff.matrices - np.eye(13)).max() < np.abs(loose.matrices - np.eye(13)).max()


@pytest.mark.parametrize("seed", [7, 8])
def test_of_the_two_the_one_is_kept_by_which_the_notes_held_back_are_likelier(seed):
    notes = [spoken(MADE, voice_of(seed), seed=at) for at in range(8)]
    shown, held = notes[:3] + notes[4:7], [notes[3], notes[7]]
    likely = [likelihood(held, MADE, fitted_means(shown, MADE, each)) for each in (LOOSE, STIFF)]
    assert fit(notes, MADE).gain == pytest.approx(max(likely) - likelihood(held, MADE, MADE.means))


def test_too_little_speech_is_told():
    with pytest.raises(TooLittleSpeech, match="3 notes with 15 seconds"):
        fit([spoken(MADE, VoiceMap.none())] * 3, MADE)


def test_a_steady_sound_has_no_differences_and_no_mean():
    assert np.abs(features(np.full((20, 13), 3.0))).max() == 0


def test_a_rising_sound_rises_alike_everywhere_but_at_its_ends():
    rising = features(np.tile(np.arange(20.0)[:, None], 13))
    assert np.allclose(rising[3:-3, 1], 4)
    assert np.allclose(rising[3:-3, 2], 0)


def test_the_engines_means_are_read_and_written_as_the_wheel_has_them():
    wheels = (model_folder() / "means").read_bytes()
    ours = means_file(embedded_model().means)
    at = wheels.index(b"endhdr\n") + 7
    assert ours[ours.index(b"endhdr\n") + 7 :] == wheels[at:-4]  # its checksum comes last


@pytest.fixture(scope="module")
def hard_voice():
    """A voice that the model hears badly, reading aloud: what is learnt from it, and a sentence held back."""
    vocabulary, model = Vocabulary(), embedded_model()
    said = [
        "checked the bracket and bolted the hinge",
        *(each.text for each in reading_list(vocabulary)[:5]),
    ]
    words = sorted({word for text in said for word in text.split()})
    aligner = Aligner(model, words, **SETTINGS)
    sounds = {text: conditioned(in_noise(speak(text, SIX[4]), 20).samples) for text in said}
    notes = {text: aligner.align(text, sound) for text, sound in sounds.items()}
    aligner.close()
    held = said[0]
    means = fitted_means([note for text, note in notes.items() if text != held], model)
    return held, sounds[held], notes[held], means, words


def test_the_real_engine_fits_what_was_held_back_better_by_the_voice(hard_voice, tmp_path):
    held, sound, note, means, words = hard_voice
    (tmp_path / "voice.means").write_bytes(means_file(means))
    learnt_by = {"mean": str(tmp_path / "voice.means")}
    with (
        closing(Aligner(embedded_model(), words, **SETTINGS)) as anybodys,
        closing(Aligner(embedded_model(), words, **SETTINGS, **learnt_by)) as learnt,
    ):
        gained = learnt.path(held, sound).score - anybodys.path(held, sound).score
    model = embedded_model()
    ours = likelihood([note], model, means) - likelihood([note], model, model.means)
    assert gained > LEAST_GAIN * note.frames
    assert ours > LEAST_GAIN
