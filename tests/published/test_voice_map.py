"""The map of a learnt voice against CMU sphinxtrain 1.0.8 (Debian's package): the same counts, the same map.

`mllr_solve` reads what was counted ("gauden_counts"), the model's means and variances, and writes the map
that makes the counts likeliest. It holds nothing back, so for this comparison ours does not either.
"""

import subprocess
from pathlib import Path

import numpy as np
import pytest

from plytally.speech import voice_fit
from plytally.speech.sphinx_model import embedded_model, model_folder
from plytally.speech.voice_fit import VoiceMap

SOLVER = Path("/usr/lib/sphinxtrain/mllr_solve")
FLOOR = 1e-4  # of the variances: the engine's own


def counted(seed):
    """What a made-up voice would have been counted as, in a third of the model's densities."""
    model, rng = embedded_model(), np.random.default_rng(seed)
    voice = VoiceMap(np.eye(13) + rng.normal(0, 0.05, (3, 13, 13)), rng.normal(0, 0.5, (3, 13)))
    often = rng.gamma(0.3, 20, model.means.shape[:3]) * (rng.random(model.means.shape[:3]) < 0.3)
    often *= model.variances.min(axis=-1) > 100 * FLOOR  # their sums would not fit into the file's numbers
    said = voice.of(model.means) + rng.normal(0, 0.3, model.means.shape) * np.sqrt(model.variances)
    return voice_fit._Counts(often, often[..., None] * said, 0.0, int(often.sum()))


def counts_file(counts):
    """The counts as sphinxtrain keeps them: means, neither variances nor a second pass."""
    codebooks, streams, densities, width = counts.sums.shape

    def whole(*numbers):
        return np.array(numbers, "<u4").tobytes()

    return b"".join(
        (
            b"s3\nversion 1.0\nendhdr\n",
            whole(0x11223344, True, False, False, codebooks, densities, streams, *[width] * streams),
            whole(counts.sums.size) + counts.sums.astype("<f4").tobytes(),
            whole(codebooks, streams, densities, counts.often.size) + counts.often.astype("<f4").tobytes(),
        )
    )


def solved(folder, counts):
    """The map that sphinxtrain finds."""
    assert SOLVER.is_file(), "install the reference: apt-get install sphinxtrain"
    (folder / "gauden_counts").write_bytes(counts_file(counts))
    told = {
        "accumdir": folder,
        "meanfn": model_folder() / "means",
        "varfn": model_folder() / "variances",
        "varfloor": FLOOR,
        "outmllrfn": folder / "map",
    }
    flags = [part for name, value in told.items() for part in (f"-{name}", str(value))]
    subprocess.run([SOLVER, *flags], check=True, capture_output=True)
    numbers = iter((folder / "map").read_text().split())
    assert (next(numbers), next(numbers)) == ("1", "3")
    found = [_stream(numbers) for _ in range(3)]
    return VoiceMap(np.stack([each[0] for each in found]), np.stack([each[1] for each in found]))


def _stream(numbers):
    """Its width, the matrix, the offset, and a scale of the variances that is not used here."""
    width = int(next(numbers))
    rows = np.array([[float(next(numbers)) for _ in range(width)] for _ in range(width + 2)])
    return rows[:width], rows[width]


@pytest.mark.parametrize("seed", [pytest.param(3, id="sphinxtrain 1.0.8, mllr_solve, Debian")])
def test_the_same_counts_give_the_map_that_the_reference_finds(tmp_path, seed):
    counts = counted(seed)

    ours, theirs = voice_fit._maximised(counts, embedded_model(), 0.0), solved(tmp_path, counts)

    assert np.abs(ours.matrices - np.eye(13)).max() > 0.1
    assert np.abs(ours.matrices - theirs.matrices).max() < 2e-4
    assert np.abs(ours.offsets - theirs.offsets).max() < 2e-4
