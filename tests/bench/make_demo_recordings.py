"""Makes the recordings of demo_entries/ from its notes.yaml: espeak-ng's voices over the noise of a shop."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import yaml
from sound import Voice, in_noise, speak

DEMO = Path(__file__).parents[2] / "demo_entries"
BITS_A_SECOND = 24_000
SNR_DB = 25.0


def main() -> None:
    """Write one Ogg Opus file a note."""
    for number, note in enumerate(yaml.safe_load((DEMO / "notes.yaml").read_text())["notes"]):
        sound = in_noise(speak(note["say"], Voice(note["voice"], note["speed"])), SNR_DB, seed=number)
        write_opus(DEMO / "recordings" / note["file"], sound.samples)
        print(f"{note['file']}: {sound.seconds:.1f} s")


def write_opus(file: Path, samples: np.ndarray) -> None:
    """16 kHz mono int16 samples as Ogg Opus, as a phone would record them."""
    with av.open(str(file), "w") as container:
        stream = container.add_stream("libopus", rate=48_000, layout="mono")
        stream.bit_rate = BITS_A_SECOND
        frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="s16", layout="mono")
        frame.sample_rate = 16_000
        resampler = av.AudioResampler(format="flt", layout="mono", rate=48_000)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            container.mux(stream.encode(piece))
        container.mux(stream.encode(None))


if __name__ == "__main__":
    main()
