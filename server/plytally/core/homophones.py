"""Numbers that a free recogniser or a quick typist writes as other words: "to plies" is "two plies".

Only before a word that is counted, and always as a doubt: "sanded to two twenty grit" stays what it is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

NUMBERS: Mapping[str, str] = {"to": "two", "too": "two", "for": "four", "won": "one", "ate": "eight"}
COUNTED = frozenset(
    (
        "ply",
        "plies",
        "layer",
        "layers",
        "gram",
        "grams",
        "ounces",
        "pounds",
        "inches",
        "thousandths",
        "millimeters",
        "hole",
        "holes",
        "minutes",
        "hours",
        "degrees",
        "percent",
    )
)


def number_meant(words: Sequence[str], at: int) -> str:
    """The number word that the word at `at` sounds like where a number must stand, "" where none must.

    >>> number_meant(["laid", "to", "plies"], 1), number_meant(["sanded", "to", "two", "twenty"], 1)
    ('two', '')
    >>> number_meant(["mixed", "at", "for", "to", "one"], 2)
    'four'
    """
    following = tuple(words[at + 1 : at + 3])
    if (following[:1] and following[0] in COUNTED) or following == ("to", "one"):
        return NUMBERS.get(words[at], "")
    return ""
