"""The acoustic model in pocketsphinx's wheel as arrays: what a voice is held against.

Each phone has a codebook of 128 normal densities for each of three streams (cepstra, their first and their
second differences, 13 numbers each); each state of a word ("senone") weighs the densities of its phone's
codebook in its own way. The files are those of CMU Sphinx 3 and of the compressed weights beside them.
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import pocketsphinx
from numpy.typing import NDArray

Array = NDArray[np.float64]

STREAMS, WIDTH = 3, 13
SILENCE = "SIL"
_HEAD_ENDS = b"endhdr\n"
_FROM_NOTES = b"learnt_from notes\n"  # a line of the head that engines pass over
_STEP = 1024 * math.log(1.0001)  # compressed weights are whole negative steps of this logarithm
_LEAST_VARIANCE = 1e-4  # the engine's own floor


class ModelUnreadable(ValueError):
    """The engine's model is not of the kind that voices can be fitted to; the message says which file."""


@dataclass(frozen=True, eq=False)
class SphinxModel:
    """`means` and `variances`: phones × 3 × 128 × 13. `log_weights`: 3 × 128 × senones (ln)."""

    phones: tuple[str, ...]
    means: Array
    variances: Array
    log_weights: Array


def model_folder() -> Path:
    """Where the wheel keeps the English acoustic model."""
    return Path(pocketsphinx.get_model_path()) / "en-us" / "en-us"


@lru_cache(maxsize=1)
def embedded_model() -> SphinxModel:
    """The wheel's English model. ModelUnreadable if a later wheel carries one of another kind."""
    folder = model_folder()
    means, variances = (_densities(folder / name) for name in ("means", "variances"))
    return SphinxModel(
        _phones(folder / "mdef"),
        means,
        np.maximum(variances, _LEAST_VARIANCE),
        _log_weights(folder / "sendump", means.shape[2]),
    )


def means_file(means: Array, *, from_notes: bool = False) -> bytes:
    """Means as the file that the engine reads by its setting `mean`.

    `from_notes` is kept in it: the voice read no sentences aloud, so not every number was heard of it. The
    model that it is for is named by a hash.
    """
    codebooks, streams, densities, width = means.shape
    head = [0x11223344, codebooks, streams, densities, *[width] * streams, means.size]
    lines = b"s3\nversion 1.0\n" + (_FROM_NOTES if from_notes else b"")
    lines += f"model {_model_mark()}\n".encode() + _HEAD_ENDS
    return lines + np.array(head, "<i4").tobytes() + means.astype("<f4").tobytes()


def is_from_notes(file: Path) -> bool:
    """Whether the means in this file are of a voice that read nothing aloud."""
    with file.open("rb") as opened:
        return _FROM_NOTES in opened.read(len(b"s3\nversion 1.0\n" + _FROM_NOTES))


@lru_cache(maxsize=1)
def _model_mark() -> str:
    """Tells the model that a voice is fitted to from those of other versions of the engine."""
    return hashlib.sha256((model_folder() / "means").read_bytes()).hexdigest()[:16]


def _densities(file: Path) -> Array:
    raw = file.read_bytes()
    at = raw.index(_HEAD_ENDS) + len(_HEAD_ENDS) + 4  # after the byte-order mark
    codebooks, streams, densities, *widths = np.frombuffer(raw, "<i4", 3 + STREAMS, at).tolist()
    if streams != STREAMS or set(widths) != {WIDTH}:
        raise ModelUnreadable(f"{file} has {streams} streams of {widths} numbers, not 3 of 13")
    at += 4 * (4 + STREAMS)  # also the count of all numbers
    shape = (codebooks, STREAMS, densities, WIDTH)
    return np.frombuffer(raw, "<f4", math.prod(shape), at).reshape(shape).astype(np.float64)


def _log_weights(file: Path, densities: int) -> Array:
    raw, at = file.read_bytes(), 0
    while length := int.from_bytes(raw[at : at + 4], "little"):
        at += 4 + length
    rows, senones = np.frombuffer(raw, "<i4", 2, at + 4).tolist()
    at += 12
    if rows != densities or len(raw) - at != STREAMS * rows * senones:
        raise ModelUnreadable(f"{file} does not hold a byte for each density of each senone")
    steps = np.frombuffer(raw, np.uint8, offset=at).reshape(STREAMS, rows, senones)
    return np.asarray(steps.astype(np.float64) * -_STEP)


def _phones(file: Path) -> tuple[str, ...]:
    """The names of the phones in the order of their codebooks."""
    raw = file.read_bytes()
    if raw[:4] != b"BMDF":
        raise ModelUnreadable(f"{file} is no binary model definition")
    at = 12 + int.from_bytes(raw[8:12], "little")
    count = int.from_bytes(raw[at : at + 4], "little")
    return tuple(name.decode("ascii") for name in raw[at + 40 :].split(b"\0", count)[:count])
