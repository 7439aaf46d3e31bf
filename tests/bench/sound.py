"""Speech to try the engines on: the voices of espeak-ng, flite and festival, with noise at a stated level.

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
from shop_noise import made

from plytally.speech.port import RATE, Pcm16k

CACHE = Path(tempfile.gettempdir()) / "plytally-bench-speech"


@dataclass(frozen=True)
class Voice:
    """A voice and its speed in words a minute (flite and festival have their own speed: 0)."""

    name: str
    speed: int = 0
    maker: str = "espeak-ng"

    def __str__(self) -> str:
        return f"{self.name}@{self.speed}" if self.speed else f"{self.maker} {self.name}"


# What is reported on. No threshold of the engine was set on these. Those of flite are made from a person's
# recordings, which the formant voices of espeak-ng are not.
SIX = (
    Voice("en-us", 150),
    Voice("en-us+f3", 140),
    Voice("en-gb+m7", 150),
    Voice("en-gb-x-rp+f2", 160),
    Voice("en-gb-scotland+m3", 130),
    Voice("en-us+m5", 170),
)
VOICES = (*SIX, Voice("rms", maker="flite"), Voice("slt", maker="flite"))
# What thresholds were set on: other voices, other speeds.
TUNING_VOICES = (
    Voice("en-us+m2", 155),
    Voice("en-us+f1", 145),
    Voice("en-gb+f4", 135),
    Voice("en-gb-x-rp+m1", 165),
    Voice("awb", maker="flite"),
    Voice("kal_diphone", maker="festival"),
)


class NoSpeechMaker(RuntimeError):
    """The program that makes a voice is not installed."""


def speak(text: str, voice: Voice, pause: float = 0.3) -> Pcm16k:
    """`text` spoken, with `pause` seconds of digital silence before and after."""
    key = hashlib.sha256(f"{text}|{voice}".encode()).hexdigest()[:24]
    file = CACHE / f"{key}.npy"
    if not file.exists():
        _keep(file, _said(text, voice))
    quiet = np.zeros(int(pause * RATE), np.int16)
    return Pcm16k(np.concatenate([quiet, np.load(file), quiet]))


def in_noise(sound: Pcm16k, snr_db: float, colour: str = "shop", seed: int = 1) -> Pcm16k:
    """The sound with noise `snr_db` below the level of its speech.

    Colours are those of shop_noise.py.
    """
    speech = sound.samples.astype(float)
    noise = made(colour, len(speech), np.random.default_rng(seed))
    wanted = speech_level(speech) / 10 ** (snr_db / 20)
    mixed = speech + noise * wanted / np.sqrt(np.mean(noise**2))
    loudest = np.abs(mixed).max()
    return Pcm16k((mixed * min(1.0, 32000 / loudest)).astype(np.int16))


def speech_level(samples: np.ndarray) -> float:
    """Root mean square of the spoken parts: of the frames within 25 dB of the loudest."""
    frames = samples[: len(samples) // 320 * 320].reshape(-1, 320)
    levels = np.sqrt(np.mean(frames.astype(float) ** 2, axis=1))
    return float(np.sqrt(np.mean(levels[levels > levels.max() * 10 ** (-25 / 20)] ** 2)))


def _said(text: str, voice: Voice) -> np.ndarray:
    name = "text2wave" if voice.maker == "festival" else voice.maker
    program = shutil.which(name)
    if program is None:
        raise NoSpeechMaker(f"{name} is not installed; on Debian: apt-get install {voice.maker}")
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "said.wav"
        ways = {
            "espeak-ng": ["-v", voice.name, "-s", str(voice.speed), "-w", str(out), text],
            "flite": ["-voice", voice.name, "-t", text, "-o", str(out)],
            "festival": ["-eval", f"(voice_{voice.name})", "-o", str(out)],
        }
        subprocess.run([program, *ways[voice.maker]], input=text.encode(), check=True, timeout=60)
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
