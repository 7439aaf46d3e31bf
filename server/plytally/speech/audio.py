"""Any recording to the sound an engine hears: 16 kHz, mono, 16 bits.

wav, webm/opus, mp4/aac, ogg, flac, mp3 and their kin, from a file or from bytes, also cut short or damaged
in places: what can be read is used, and a remark says what could not.

AudioError
├── SoundMissing    no file of that name, or it may not be read
├── EmptySound      0 bytes, or a container with 0 seconds in it
├── NotSound        not a sound container, or one without a sound track
└── SoundTooLong    longer than one note may be; the recording is kept, only hearing it is refused
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import av
import numpy as np

from plytally.speech.port import RATE, AudioError, Pcm16k, Samples

LONGEST_SECONDS = 600.0
_SHORTEST_SECONDS = 0.05
_LOST_SECONDS = 0.25  # a track may end this much before its container says without a remark
# Only these: left to itself the library also reads pictures, subtitles and text as media.
_CONTAINERS = frozenset(
    [
        "wav",
        "w64",
        "aiff",
        "au",
        "caf",
        "matroska",
        "webm",
        "ogg",
        "flac",
        "mp3",
        "aac",
        "mov",
        "mp4",
        "m4a",
        "3gp",
        "amr",
    ]
)


class SoundMissing(AudioError):
    """There is no such file, or it may not be read."""


class EmptySound(AudioError):
    """The recording holds no sound at all."""


class NotSound(AudioError):
    """The file is not a recording that can be read."""


class SoundTooLong(AudioError):
    """The recording is longer than one note may be."""


def decode(source: bytes | Path, name: str = "", longest: float = LONGEST_SECONDS) -> Pcm16k:
    """The sound in a recording, as engines want it.

    `name` is used in messages (default: the file's name). `longest` in seconds: a recording beyond it
    raises SoundTooLong as soon as that is known, before the rest is decoded. EmptySound where nothing was
    recorded, another AudioError for what is no sound.
    """
    name = name or (source.name or str(source) if isinstance(source, Path) else "the recording")
    raw = _read(source, name)
    if not raw:
        raise EmptySound(f"{name} is empty (0 bytes): nothing was recorded; record the note again")
    pieces: list[Samples] = []
    damaged = 0
    with _open(raw, name) as container:
        declared = _declared_seconds(container)
        for piece in _pieces(container):
            if piece is None:
                damaged += 1
                continue
            pieces.append(piece)
            _refuse_beyond(longest, sum(map(len, pieces)) / RATE, declared, name)
    samples = np.concatenate(pieces) if pieces else np.zeros(0, np.int16)
    _refuse_nothing(len(samples) / RATE, damaged, name)
    return Pcm16k(samples, tuple(_remarks(raw, len(samples) / RATE, declared, damaged)))


def _read(source: bytes | Path, name: str) -> bytes:
    if isinstance(source, bytes):
        return source
    try:
        return source.read_bytes()
    except OSError as problem:
        raise SoundMissing(f"{name} cannot be read: {problem.strerror}; name a recording") from problem


def _open(raw: bytes, name: str) -> Any:
    try:
        container = av.open(io.BytesIO(raw), metadata_errors="ignore")
    except (av.FFmpegError, ValueError) as problem:
        raise NotSound(
            f"{name} is not a recording that can be read, or its beginning is missing; it is kept as it is. "
            "Wanted: wav, webm, mp4/m4a, ogg, flac or mp3"
        ) from problem
    kinds = container.format.name
    if not _CONTAINERS & set(kinds.split(",")):
        container.close()
        raise NotSound(f"{name} is {kinds}, not a recording; wanted: wav, webm, mp4/m4a, ogg, flac or mp3")
    if not container.streams.audio:
        container.close()
        raise NotSound(f"{name} is a {kinds} file without a sound track; nothing can be heard in it")
    return container


def _declared_seconds(container: Any) -> float:
    """What the container says of its length; 0 where it says nothing (live recordings often don't)."""
    return max(0.0, (container.duration or 0) / av.time_base)


def _pieces(container: Any) -> Iterator[Samples | None]:
    """The track's sound in pieces at 16 kHz mono; None stands for a damaged packet."""
    resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE)
    packets = container.demux(container.streams.audio[0])
    while True:
        try:
            packet = next(packets, None)
            frames = packet.decode() if packet is not None else [None]
            pieces = [p for f in frames for p in resampler.resample(f)]
        except av.FFmpegError:
            yield None
            continue
        for piece in pieces:
            yield piece.to_ndarray().reshape(-1).astype(np.int16, copy=False)
        if packet is None:
            return


def _refuse_beyond(longest: float, so_far: float, declared: float, name: str) -> None:
    if so_far > longest:
        raise SoundTooLong(
            f"{name} lasts {max(so_far, declared) / 60:.1f} minutes or more; a note may last "
            f"{longest / 60:g} minutes. The recording is kept; it was not heard. Cut it into notes"
        )


def _refuse_nothing(seconds: float, damaged: int, name: str) -> None:
    if seconds >= _SHORTEST_SECONDS:
        return
    if damaged:
        raise NotSound(f"{name} is damaged: none of its {damaged} parts could be read; it is kept as it is")
    raise EmptySound(f"{name} holds {seconds:.2f} seconds of sound: nothing to hear; record the note again")


def _remarks(raw: bytes, seconds: float, declared: float, damaged: int) -> Iterator[str]:
    if damaged:
        yield f"{damaged} damaged parts of the recording were skipped"
    if declared - seconds > _LOST_SECONDS:
        yield f"the recording says {declared:.1f} s but only {seconds:.1f} s could be read and was heard"
    elif _riff_cut_short(raw):
        yield f"the recording was cut short; the {seconds:.1f} s that are there were heard"


def _riff_cut_short(raw: bytes) -> bool:
    """A wav file says its size at byte 4; recorders that stream write 0 or all ones there."""
    size = int.from_bytes(raw[4:8], "little")
    return raw[:4] == b"RIFF" and 0 < size < 0xFFFF_FF00 and size + 8 > len(raw) + 1
