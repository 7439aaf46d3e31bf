"""A mouth before the phone's microphone: says any sentence when it is told to, over low shop noise.

Chromium's own fake microphone plays one file, from whenever it is opened. Here the page's microphone is a
stream that a test can speak into; all behind it (worklet, pieces, engines) is what a builder uses.
"""

import base64
import hashlib
import subprocess
import wave
from pathlib import Path

import numpy as np

VOICE, SPEED = "en-us", 145
RATE = 22_050
SNR_DB = 30.0

MOUTH = """
(() => {
  let opened;
  const open = () => {
    const context = new AudioContext();
    const lips = context.createMediaStreamDestination();
    const noise = context.createBuffer(1, context.sampleRate * 2, context.sampleRate);
    noise.getChannelData(0).forEach((_, at, all) => { all[at] = (Math.random() - 0.5) * 0.002; });
    const hum = new AudioBufferSourceNode(context, { buffer: noise, loop: true });
    hum.connect(lips);
    hum.start();
    return { context, lips };
  };
  navigator.mediaDevices.getUserMedia = async () => (opened ??= open()).lips.stream.clone();
  window.sayAloud = async (wav) => {
    const { context, lips } = (opened ??= open());
    await context.resume();
    const bytes = Uint8Array.from(atob(wav), (each) => each.charCodeAt(0));
    const voice = new AudioBufferSourceNode(context, { buffer: await context.decodeAudioData(bytes.buffer) });
    voice.connect(lips);
    await new Promise((done) => { voice.onended = done; voice.start(); });
  };
})();
"""


class Mouth:
    """Speaks into one phone. Made before the phone's first page: `Mouth.into(context)`."""

    def __init__(self, folder: Path):
        self._folder = folder

    def say(self, phone, text):
        """Touch, say it, touch; returns when it is kept."""
        phone.sheet.click()
        phone.page.locator(".sheet.recording").wait_for()
        phone.page.evaluate("(wav) => window.sayAloud(wav)", self._wav(text))
        phone.page.wait_for_timeout(300)
        phone.sheet.click()
        phone.page.locator(".sheet.ready").wait_for()

    def _wav(self, text):
        raw = self._folder / f"{hashlib.sha256(text.encode()).hexdigest()[:12]}.wav"
        if not raw.exists():
            command = ["espeak-ng", "-v", VOICE, "-s", str(SPEED), "-w", str(raw), text]
            subprocess.run(command, check=True, timeout=60)
            _pad(raw)
        return base64.b64encode(raw.read_bytes()).decode()


def _pad(file):
    """Half a second of low noise on either side, and under the words."""
    with wave.open(str(file)) as sound:
        rate, speech = sound.getframerate(), np.frombuffer(sound.readframes(sound.getnframes()), np.int16)
    quiet = np.zeros(rate // 2)
    whole = np.concatenate([quiet, speech * 0.6, quiet])
    loud = np.sqrt(np.mean(speech[np.abs(speech) > 500].astype(float) ** 2)) * 0.6
    whole += np.random.default_rng(1).standard_normal(len(whole)) * loud * 10 ** (-SNR_DB / 20)
    with wave.open(str(file), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(rate)
        sound.writeframes(np.clip(whole, -32000, 32000).astype(np.int16).tobytes())
