"""The hand-written phrases of natural.yaml and natural_more.yaml, in two halves each.

They come in the shape of tests/vectors/phrases.json; `also` is a second fact in the same breath.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
AMOUNTS = {"mass", "hardener", "gauge", "measure", "temperature", "humidity", "duration"}
SIDES = ("left", "right")


def natural(half: str, collection: str = "natural") -> list[dict[str, Any]]:
    """The phrases of one half, "tune" or "test", or of "both", each with what it should make.

    `collection` is the file they stand in: "natural" or "natural_more".
    """
    first = {"tune": (0, 2), "test": (1, 2), "both": (0, 1)}[half]
    read = yaml.safe_load((HERE / f"{collection}.yaml").read_text())
    return [
        {"say": say, **_made(heading), "fields": _fields(heading, say, given), "also": _also(given)}
        for heading, phrases in read.items()
        for say, given in list(phrases.items())[first[0] :: first[1]]
    ]


def _made(heading: str) -> dict[str, str]:
    makes, _, name = heading.rpartition(" ")
    return {"makes": makes or "entry", "name": name}


def _fields(heading: str, say: str, given: dict[str, Any]) -> dict[str, Any]:
    if heading == "note":
        return {"text": say}
    fields = {name: _value(name, value) for name, value in given.items() if name not in ("where", "also")}
    if "where" in given:
        side, _, part = given["where"].partition(" ")
        fields |= {"side": side, "part": part} if side in SIDES else {"part": given["where"]}
    return fields


def _also(given: dict[str, Any]) -> dict[str, Any]:
    return {kind: _fields(kind, "", fields) for kind, fields in given.get("also", {}).items()}


def _value(name: str, value: Any) -> Any:
    if name == "ratio":
        return {"ratio": value.split(":")}
    if name in AMOUNTS:
        amount, unit = value.split()
        return {"amount": amount, "unit": unit}
    return value
