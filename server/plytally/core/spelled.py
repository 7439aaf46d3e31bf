"""Digits and letters in a row, as batches and lots are named.

"seven four two" -> "742" · "b twelve" -> "B12" · "bravo one oh dash three" -> "B10-3" · "B-12" -> "B-12"
"""

from __future__ import annotations

import re

from plytally.core.number_reading import cardinal_on
from plytally.core.numberwords import (
    LETTERS,
    MARKS,
    OHS,
    REPEATS,
    SPELLING,
    UNITS_WORDS,
    ZEROS,
    Line,
    NumberError,
    Words,
)

_TYPED_ID = re.compile(r"(?=.*[0-9])[a-z0-9]+(?:[-/.][a-z0-9]+)*")
LONGEST_ROW = 24
_LETTERS_THAT_ARE_WORDS = ("a", "i")
_DIGITS = {"0": "zero"} | {str(value): word for word, value in UNITS_WORDS.items()}
_SPELT = {word[0].upper(): word for word in SPELLING}
_MARK_WORDS = {mark: word for word, mark in reversed(list(MARKS.items()))}

_Item = tuple[str, int] | None


def read_digits(words: Words, at: int = 0) -> tuple[str, int] | None:
    """Read digits and letters in a row, as many as there are: (text in capitals, index after), or None.

    "oh" is the digit 0, "o" and "oscar" the letter; numbers up to 999,999 stand for their digits ("b twelve
    hundred" is B1200). A letter that is also a word ("a", "i") ends the row only where all words end. A row
    of more than 24 is no batch: None.
    """
    if 0 <= at < len(words) and _TYPED_ID.fullmatch(words[at].lower()):
        return words[at].upper(), at + 1
    line = Line.of(words, at)
    text, i, sure = "", 0, ("", 0)
    while item := _item(line, i) or (_mark(line, i) if text else None):
        text, i = text + item[0], item[1]
        if line[i - 1] not in _LETTERS_THAT_ARE_WORDS or not line[i]:
            sure = (text, i)
    end = line.end(sure[1]) if 0 < len(sure[0]) <= LONGEST_ROW else None
    return (sure[0], end) if end is not None else None


def _item(line: Line, i: int) -> _Item:
    word = line[i]
    if word in REPEATS and (again := _single(line, i + 1)):
        return again[0] * REPEATS[word], again[1]
    if word.isascii() and word.isdigit():
        return word, i + 1
    number = cardinal_on(line, i)
    return (str(number[0]), number[1]) if number else _single(line, i)


def _single(line: Line, i: int) -> _Item:
    word = line[i]
    if word in ZEROS or word == OHS[0]:
        return "0", i + 1
    text = LETTERS.get(word) or str(UNITS_WORDS.get(word, ""))
    return (text, i + 1) if text else None


def _mark(line: Line, i: int) -> _Item:
    """Read "dash" only where something follows that it can join."""
    after = _item(line, i + 1) if line[i] in MARKS else None
    return (MARKS[line[i]] + after[0], after[1]) if after else None


def say_digits(text: str) -> str:
    """Say a batch name one by one, letters by the spelling alphabet: "B12" is "bravo one two".

    NumberError for what is no letter of A to Z, digit, dash or slash.
    """
    said = _DIGITS | _SPELT | _MARK_WORDS
    unsaid = [mark for mark in text.upper() if mark not in said]
    if unsaid or not text:
        raise NumberError(f"{text!r} cannot be spelt out: use letters, digits, '-' and '/'")
    return " ".join(said[mark] for mark in text.upper())
