"""Any common container is decoded; what is no sound is refused with what to do."""

import io

import av
import numpy as np
import pytest
from support.wavs import wav

from plytally.speech.audio import EmptySound, NotSound, SoundMissing, SoundTooLong, decode
from plytally.speech.port import RATE

TONE_HZ = 440


def tone(seconds=1.0, rate=RATE):
    at = np.arange(int(seconds * rate)) / rate
    return (12_000 * np.sin(2 * np.pi * TONE_HZ * at)).astype(np.int16)


def encoded(container, codec, rate=48_000, seconds=2.0, layout="mono"):
    file = io.BytesIO()
    with av.open(file, "w", format=container) as out:
        stream = out.add_stream(codec, rate=rate, layout=layout)
        frame = av.AudioFrame.from_ndarray(tone(seconds, rate).reshape(1, -1), format="s16", layout="mono")
        frame.sample_rate = rate
        resampler = av.AudioResampler(format=stream.codec_context.format, layout=layout, rate=rate)
        fifo = av.AudioFifo()
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            fifo.write(piece)
        size = stream.codec_context.frame_size or 1024
        while (piece := fifo.read(size)) is not None:
            out.mux(stream.encode(piece))
        if (piece := fifo.read()) is not None:
            out.mux(stream.encode(piece))
        out.mux(stream.encode(None))
    return file.getvalue()


def loudest_hz(samples):
    spectrum = np.abs(np.fft.rfft(samples[RATE // 4 : -RATE // 4].astype(float)))
    return np.argmax(spectrum) * RATE / (2 * (len(spectrum) - 1))


@pytest.mark.parametrize(
    ("container", "codec", "rate"),
    [
        ("webm", "libopus", 48_000),
        ("ogg", "libopus", 48_000),
        ("mp4", "aac", 44_100),
        ("flac", "flac", 48_000),
        ("mp3", "libmp3lame", 44_100),
        ("wav", "pcm_s16le", 8_000),
        ("wav", "pcm_f32le", 48_000),
    ],
)
def test_a_container_is_decoded_to_16_khz_mono(container, codec, rate):
    sound = decode(encoded(container, codec, rate))

    assert sound.samples.dtype == np.int16
    assert sound.seconds == pytest.approx(2.0, abs=0.1)
    assert loudest_hz(sound.samples) == pytest.approx(TONE_HZ, abs=3)


@pytest.mark.parametrize(("rate", "channels"), [(8_000, 1), (16_000, 1), (44_100, 2), (48_000, 2)])
def test_other_rates_and_channels_come_out_the_same_length(rate, channels):
    assert decode(wav(tone(1.5, rate), rate, channels)).seconds == pytest.approx(1.5, abs=0.05)


@pytest.mark.parametrize(("container", "codec"), [("webm", "libopus"), ("ogg", "libopus"), ("flac", "flac")])
@pytest.mark.parametrize("share", [0.3, 0.7, 0.95])
def test_a_recording_cut_short_is_heard_as_far_as_it_goes(container, codec, share):
    whole = encoded(container, codec, seconds=4.0)

    sound = decode(whole[: int(len(whole) * share)])

    assert 0.2 < sound.seconds < 4.1


def test_a_cut_wav_says_that_it_was_cut():
    raw = wav(tone(2.0))

    assert any("cut short" in remark for remark in decode(raw[: len(raw) // 2]).remarks)


def test_a_whole_recording_has_no_remarks():
    assert decode(wav(tone())).remarks == ()


@pytest.mark.parametrize(
    ("raw", "error", "says"),
    [
        (b"", EmptySound, "0 bytes"),
        (wav(tone(0)), EmptySound, "0.00 seconds"),
        (wav(tone(0.01)), EmptySound, "0.01 seconds"),
        (b"%PDF-1.7 this is a drawing", NotSound, "is not a recording that can be read"),
        (b"\x89PNG\r\n\x1a\n" + bytes(200), NotSound, "wanted"),
        (b"1\n00:00:01,000 --> 00:00:02,000\nhello\n", NotSound, "wanted"),
        (bytes(5000), NotSound, "is not a recording that can be read"),
    ],
    ids=["nothing", "no seconds", "a hundredth", "pdf", "picture", "subtitles", "zeros"],
)
def test_what_is_no_sound_is_refused_and_says_what_was_found(raw, error, says):
    with pytest.raises(error) as refused:
        decode(raw, "note.wav")

    assert "note.wav" in str(refused.value)
    assert says.lower() in str(refused.value).lower()


def test_a_recording_beyond_the_limit_is_refused_but_said_to_be_kept():
    with pytest.raises(SoundTooLong, match="The recording is kept"):
        decode(wav(tone(3.0)), "note.wav", longest=2.0)


def test_a_recording_of_just_the_limit_is_heard():
    assert decode(wav(tone(2.0)), longest=2.0).seconds == 2.0


def test_a_file_that_is_not_there_says_so(tmp_path):
    with pytest.raises(SoundMissing, match=r"none\.wav"):
        decode(tmp_path / "none.wav")
