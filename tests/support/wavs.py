"""Sound as a file: what a phone sends, and what is put on a medium."""

import io
import wave

import numpy as np


def wav(samples, rate=16_000, channels=1):
    """The bytes of a WAV file with these 16-bit samples, the same in each channel."""
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(channels)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(np.repeat(samples, channels).astype("<i2").tobytes())
    return file.getvalue()
