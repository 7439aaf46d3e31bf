"""The hand-written phrases of natural.yaml, in the shape of tests/vectors/phrases.json, in two halves."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

FILE = Path(__file__).with_name("natural.yaml")
AMOUNTS = {"mass", "gauge", "measure", "temperature", "humidity", "duration"}
SIDES = ("left", "right")


def natural(half: str) -> list[dict[str, Any]]:
    """The phrases of one half, "tune" or "test", or of "both", each with what it should make."""
    first = {"tune": (0, 2), "test": (1, 2), "both": (0, 1)}[half]
    read = yaml.safe_load(FILE.read_text())
    return [
        {"say": say, **_made(heading), "fields": _fields(heading, say, given)}
        for heading, phrases in read.items()
        for say, given in list(phrases.items())[first[0] :: first[1]]
    ]


def _made(heading: str) -> dict[str, str]:
    makes, _, name = heading.rpartition(" ")
    return {"makes": makes or "entry", "name": name}


def _fields(heading: str, say: str, given: dict[str, Any]) -> dict[str, Any]:
    if heading == "note":
        return {"text": say}
    fields = {name: _value(name, value) for name, value in given.items() if name != "where"}
    if "where" in given:
        side, _, part = given["where"].partition(" ")
        fields |= {"side": side, "part": part} if side in SIDES else {"part": given["where"]}
    return fields


def _value(name: str, value: Any) -> Any:
    if name == "ratio":
        return {"ratio": value.split(":")}
    if name in AMOUNTS:
        amount, unit = value.split()
        return {"amount": amount, "unit": unit}
    return value
