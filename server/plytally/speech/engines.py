"""Which engine hears: Vosk where a model of it is in place, else the embedded pocketsphinx."""

from __future__ import annotations

from pathlib import Path

from plytally.speech.port import ModelAbsent, Recogniser
from plytally.speech.vosk_model import README, whole_model

MODELS = "models"  # the folder, in the data folder, in which models are looked for


def open_engine(data: Path, engine: str = "best", model: Path | None = None) -> Recogniser:
    """The engine asked for: "best", "sphinx" or "vosk".

    `model` is the folder of a Vosk model (an option or PLYTALLY_VOSK_MODEL names it); without it the
    `models` folder in `data` is searched. A model that was named, or that lies there half-copied, is never
    passed over in silence: ModelAbsent or ModelIncomplete says what is wrong. ValueError for another name.
    """
    if engine not in {"best", "sphinx", "vosk"}:
        raise ValueError(f"there is no engine {engine!r}; there are best, sphinx and vosk")
    if engine == "sphinx":
        return _sphinx()
    folder = model or model_in(data)
    if folder is not None:
        return _vosk(folder)
    if engine == "vosk":
        raise ModelAbsent(f"there is no Vosk model in {data / MODELS}, and none was named; {README}")
    return _sphinx()


def model_in(data: Path) -> Path | None:
    """The model in the data folder's `models`; of several, the last by name. None where there is none."""
    models = data / MODELS
    found = sorted(entry for entry in models.iterdir() if entry.is_dir()) if models.is_dir() else []
    found = [entry for entry in found if not entry.name.startswith(".")]
    return whole_model(found[-1]) if found else None


def _sphinx() -> Recogniser:
    from plytally.speech.sphinx import SphinxRecogniser  # loads a library; only who needs it waits

    return SphinxRecogniser()


def _vosk(folder: Path) -> Recogniser:
    from plytally.speech.vosk import VoskRecogniser  # loads a library; only who needs it waits

    return VoskRecogniser(folder)
