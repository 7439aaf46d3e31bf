"""What is said into the phone's microphone: espeak-ng's voice over low shop noise, as a WAV file."""

import hashlib
import shutil
import subprocess
import wave
from pathlib import Path

import numpy as np

RATE = 48_000
BEFORE, AFTER = 1.0, 30.0
SNR_DB = 30.0


def spoken_file(text: str, folder: Path, voice: str = "en-us", speed: int = 150) -> Path:
    """`text` spoken after a second of noise; more noise follows, so that the microphone never runs dry."""
    program = shutil.which("espeak-ng")
    assert program, "espeak-ng is not installed; on Debian: apt-get install espeak-ng"
    name = hashlib.sha256(f"{text}|{voice}|{speed}".encode()).hexdigest()[:16]
    raw, made = folder / f"{name}.raw.wav", folder / f"{name}.wav"
    if not made.exists():
        subprocess.run([program, "-v", voice, "-s", str(speed), "-w", str(raw), text], check=True, timeout=60)
        _write(made, _in_noise(_read(raw)))
    return made


def spoken_twice(text: str, pause: float, folder: Path) -> Path:
    """`text` twice with a pause of so many seconds, after four seconds of noise and before many more."""
    made = folder / "twice.wav"
    with wave.open(str(spoken_file(text, folder))) as sound:
        whole = np.frombuffer(sound.readframes(sound.getnframes()), np.int16)
    speech = whole[int(BEFORE * RATE) : -int(AFTER * RATE)]
    noise = whole[-int(AFTER * RATE) :]
    quiet = lambda length: noise[: int(length * RATE)]  # noqa: E731
    _write(made, np.concatenate([quiet(4), speech, quiet(pause), speech, noise]))
    return made


def silent_in_between(folder: Path) -> Path:
    """Two seconds of noise, then nothing at all, as from a microphone that another app has taken."""
    made = folder / "silent.wav"
    noise = np.random.default_rng(2).standard_normal(2 * RATE) * 3000
    _write(made, np.concatenate([noise, np.zeros(40 * RATE)]).astype(np.int16))
    return made


def seconds(text: str, folder: Path) -> float:
    """How long the speech itself lasts."""
    with wave.open(str(spoken_file(text, folder))) as sound:
        return sound.getnframes() / RATE - BEFORE - AFTER


def _read(path: Path) -> np.ndarray:
    with wave.open(str(path)) as sound:
        samples = np.frombuffer(sound.readframes(sound.getnframes()), np.int16).astype(float)
        rate = sound.getframerate()
    at = np.arange(int(len(samples) * RATE / rate)) * rate / RATE
    return np.interp(at, np.arange(len(samples)), samples)


def _in_noise(speech: np.ndarray) -> np.ndarray:
    whole = np.concatenate([np.zeros(int(BEFORE * RATE)), speech * 0.6, np.zeros(int(AFTER * RATE))])
    loud = np.sqrt(np.mean(speech[np.abs(speech) > 500] ** 2))
    noise = np.random.default_rng(1).standard_normal(len(whole)) * loud * 0.6 * 10 ** (-SNR_DB / 20)
    return np.clip(whole + noise, -32000, 32000).astype(np.int16)


def _write(path: Path, samples: np.ndarray) -> None:
    with wave.open(str(path), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(RATE)
        sound.writeframes(samples.tobytes())
