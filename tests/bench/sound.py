"""Speech to try the engines on: espeak-ng's voices, with a workshop's noise mixed in at a stated level.

Everything is made from a seed, so that the same call gives the same samples. Speech is kept in a cache folder
under the system's temporary folder, by a hash of what was asked for.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import tempfile
import wave
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from plytally.speech.port import RATE, Pcm16k

CACHE = Path(tempfile.gettempdir()) / "plytally-bench-speech"


@dataclass(frozen=True)
class Voice:
    """A voice of espeak-ng and its speed in words a minute."""

    name: str
    speed: int

    def __str__(self) -> str:
        return f"{self.name}@{self.speed}"


# What is reported on. No threshold of the engine was set on these.
VOICES = (
    Voice("en-us", 150),
    Voice("en-us+f3", 140),
    Voice("en-gb+m7", 150),
    Voice("en-gb-x-rp+f2", 160),
    Voice("en-gb-scotland+m3", 130),
    Voice("en-us+m5", 170),
)
# What thresholds were set on: other voices, other speeds.
TUNING_VOICES = (
    Voice("en-us+m2", 155),
    Voice("en-us+f1", 145),
    Voice("en-gb+f4", 135),
    Voice("en-gb-x-rp+m1", 165),
)


class NoSpeechMaker(RuntimeError):
    """espeak-ng is not installed."""


def speak(text: str, voice: Voice, pause: float = 0.3) -> Pcm16k:
    """`text` spoken, with `pause` seconds of digital silence before and after."""
    key = hashlib.sha256(f"{text}|{voice}".encode()).hexdigest()[:24]
    file = CACHE / f"{key}.npy"
    if not file.exists():
        _keep(file, _espeak(text, voice))
    quiet = np.zeros(int(pause * RATE), np.int16)
    return Pcm16k(np.concatenate([quiet, np.load(file), quiet]))


def in_noise(sound: Pcm16k, snr_db: float, colour: str = "shop", seed: int = 1) -> Pcm16k:
    """The sound with noise `snr_db` below the level of its speech.

    Colours: "white", "pink", "hum" (50 Hz and its multiples, as of a vacuum pump), "shop" (all three).
    """
    speech = sound.samples.astype(float)
    noise = _noise(colour, len(speech), np.random.default_rng(seed))
    wanted = speech_level(speech) / 10 ** (snr_db / 20)
    mixed = speech + noise * wanted / np.sqrt(np.mean(noise**2))
    loudest = np.abs(mixed).max()
    return Pcm16k((mixed * min(1.0, 32000 / loudest)).astype(np.int16))


def speech_level(samples: np.ndarray) -> float:
    """Root mean square of the spoken parts: of the frames within 25 dB of the loudest."""
    frames = samples[: len(samples) // 320 * 320].reshape(-1, 320)
    levels = np.sqrt(np.mean(frames.astype(float) ** 2, axis=1))
    return float(np.sqrt(np.mean(levels[levels > levels.max() * 10 ** (-25 / 20)] ** 2)))


def _noise(colour: str, length: int, rng: np.random.Generator) -> np.ndarray:
    white = rng.standard_normal(length)
    if colour == "white":
        return white
    if colour == "pink":
        spectrum = np.fft.rfft(white)
        spectrum /= np.sqrt(np.maximum(1, np.arange(len(spectrum))))
        pink = np.fft.irfft(spectrum, length)
        return pink / pink.std()
    if colour == "hum":
        time = np.arange(length) / RATE
        tones = [
            np.sin(2 * np.pi * 50 * k * time + rng.uniform(0, 6.28)) / k for k in (1, 2, 3, 4, 6, 8, 12, 24)
        ]
        return np.sum(tones, axis=0) / np.std(np.sum(tones, axis=0))
    return sum(_noise(each, length, rng) for each in ("white", "pink", "hum"))


def _espeak(text: str, voice: Voice) -> np.ndarray:
    program = shutil.which("espeak-ng")
    if program is None:
        raise NoSpeechMaker("espeak-ng is not installed; on Debian: apt-get install espeak-ng")
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "said.wav"
        subprocess.run(
            [program, "-v", voice.name, "-s", str(voice.speed), "-w", str(out), text],
            check=True,
            timeout=60,
        )
        with wave.open(str(out), "rb") as said:
            rate = said.getframerate()
            samples = np.frombuffer(said.readframes(said.getnframes()), dtype="<i2")
    return _resample(samples, rate)


def _resample(samples: np.ndarray, rate: int) -> np.ndarray:
    """By the Fourier transform: exact for a band-limited sound, and no library needed."""
    wanted = round(len(samples) * RATE / rate)
    spectrum = np.fft.rfft(samples.astype(float))[: wanted // 2 + 1]
    return (np.fft.irfft(spectrum, wanted) * wanted / len(samples)).clip(-32768, 32767).astype(np.int16)


def _keep(file: Path, samples: np.ndarray) -> None:
    """Whole or not at all: several processes fill one cache."""
    file.parent.mkdir(parents=True, exist_ok=True)
    part = file.with_name(f"{file.stem}.{os.getpid()}.part.npy")
    np.save(part, samples)
    part.replace(file)
