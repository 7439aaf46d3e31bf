"""The words that make up spoken numbers, as tables, and a line of words laid out for reading.

The tables are public so that a speech grammar can list what may be said. Everything is lower case.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from plytally.core.quantities import ALSO_WRITTEN, UNITS

Words = tuple[str, ...]


class NumberError(ValueError):
    """A number that cannot be said; the message says which and why."""


def word_list(text: str) -> Words:
    """Give the words of a line; tables are easier to read that way."""
    return tuple(text.split())


def _numbered(text: str, first: int, step: int = 1) -> Mapping[str, int]:
    return {word: first + step * place for place, word in enumerate(text.split())}


UNITS_WORDS = _numbered("one two three four five six seven eight nine", 1)
TEENS = _numbered(
    "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen",
    10,
)
TENS = _numbered("twenty thirty forty fifty sixty seventy eighty ninety", 20, 10)
ZEROS = ("zero", "nought")
OHS = ("oh", "o")
SCALES: Mapping[str, int] = {"hundred": 100, "thousand": 1000}
POINTS = ("point", "decimal")
MINUSES = ("minus", "negative")
ARTICLES = ("a", "an")

# Powers of two only: each is exact as a decimal, and an inch is divided into no others.
DENOMINATORS: Mapping[Words, int] = {
    ("half",): 2,
    ("halves",): 2,
    ("quarter",): 4,
    ("quarters",): 4,
    ("fourth",): 4,
    ("fourths",): 4,
    ("eighth",): 8,
    ("eighths",): 8,
    ("sixteenth",): 16,
    ("sixteenths",): 16,
    ("thirty", "second"): 32,
    ("thirty", "seconds"): 32,
    ("sixty", "fourth"): 64,
    ("sixty", "fourths"): 64,
}
BARE_FRACTIONS = ("half", "quarter")

# A number with one of these behind it is part of another that is not read: nothing is better than a half.
_OTHER_PARTS = word_list("third fifth sixth seventh ninth tenth twelfth twentieth hundredth")
UNREAD_AFTER = frozenset(
    word_list("hundred thousand million billion point decimal halves quarters fourths eighths sixteenths")
    + _OTHER_PARTS
    + tuple(f"{part}s" for part in _OTHER_PARTS)
)

# ICAO Annex 10 vol. II, fig. 5-1 (from memory), with the spellings of common dictionaries beside its own.
SPELLING = word_list(
    "alpha bravo charlie delta echo foxtrot golf hotel india juliet kilo lima mike november oscar papa"
    " quebec romeo sierra tango uniform victor whiskey xray yankee zulu"
)
LETTERS: Mapping[str, str] = (
    {chr(code): chr(code).upper() for code in range(ord("a"), ord("z") + 1)}
    | {word: word[0].upper() for word in SPELLING}
    | {"alfa": "A", "juliett": "J", "whisky": "W", "x-ray": "X"}
)
MARKS: Mapping[str, str] = {"dash": "-", "hyphen": "-", "slash": "/"}
REPEATS: Mapping[str, int] = {"double": 2, "triple": 3}

# Pairs that the ear and the recogniser mix up. -teen and -ty: common knowledge in teaching English; five and
# nine: the reason for "niner" in radio talk (both from memory).
TEEN_OR_TY: tuple[tuple[str, str], ...] = (
    ("thirteen", "thirty"),
    ("fourteen", "forty"),
    ("fifteen", "fifty"),
    ("sixteen", "sixty"),
    ("seventeen", "seventy"),
    ("eighteen", "eighty"),
    ("nineteen", "ninety"),
)
SOUND_ALIKE: tuple[tuple[str, str], ...] = (*TEEN_OR_TY, ("five", "nine"))

NUMBER_WORDS = frozenset((*UNITS_WORDS, *TEENS, *TENS, *ZEROS, *OHS, *SCALES, *BARE_FRACTIONS))

TYPED_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,12})?(?:\.[0-9]{1,12})?(?<=[0-9])")
TYPED_FRACTION = re.compile(r"(?:([0-9]{1,4})-)?([0-9]{1,4})/([0-9]{1,4})")
TYPED_UNITS: Mapping[str, str] = (
    {symbol.lower(): symbol for symbol in UNITS}
    | {mark.lower(): symbol for mark, symbol in ALSO_WRITTEN.items()}
    | {"f": "degF", "c": "degC"}
)
_GLUED = re.compile(r"([+-]?[0-9][0-9.,/-]*|[+-]?\.[0-9]+)(.+)")
_READ_AHEAD = 40


@dataclass(frozen=True)
class Line:
    """Words from one place on, hyphens opened ("twenty-two") and typed units cut off ("0.085in").

    `ends[i]` is the index after token `i` among the words as given, None inside a word that was opened.
    """

    tokens: Words
    ends: tuple[int | None, ...]

    @classmethod
    def of(cls, words: Words, at: int) -> Line:
        """Lay out the words from `at` on; a number is over long before the end of what is laid out."""
        tokens: list[str] = []
        ends: list[int | None] = []
        for index in range(max(at, 0), min(len(words), at + _READ_AHEAD)):
            pieces = _pieces(words[index].lower())
            tokens += pieces
            ends += [None] * (len(pieces) - 1) + [index + 1]
        return cls(tuple(tokens), tuple(ends))

    def __getitem__(self, i: int) -> str:
        """Give the token at `i`, "" past the end."""
        return self.tokens[i] if i < len(self.tokens) else ""

    def starts(self, i: int, phrase: Words) -> bool:
        """Tell whether `phrase` is what stands from `i` on."""
        return self.tokens[i : i + len(phrase)] == phrase

    def end(self, i: int) -> int | None:
        """Give the index of the word after the tokens before `i`; None if that is inside a word."""
        return self.ends[i - 1]


def _pieces(word: str) -> list[str]:
    if "-" in word and word not in LETTERS and all(piece.isalpha() for piece in word.split("-")):
        return word.split("-")
    glued = _GLUED.fullmatch(word)
    if glued and glued[2] in TYPED_UNITS:
        return [glued[1], glued[2]]
    return [word]


def is_typed(token: str) -> bool:
    """Tell whether `token` is a number written in digits."""
    return bool(TYPED_NUMBER.fullmatch(token) or TYPED_FRACTION.fullmatch(token))


def is_number_word(token: str) -> bool:
    """Tell whether a number may start with, or go on with, this token."""
    return token in NUMBER_WORDS or is_typed(token)


def part_of(numerator: int, denominator: int) -> Fraction | None:
    """Give a proper fraction whose denominator is a power of two up to 64, else None."""
    if denominator not in DENOMINATORS.values() or not 0 < numerator < denominator:
        return None
    return Fraction(numerator, denominator)
