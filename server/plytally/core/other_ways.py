"""Other ways in which a word may be pronounced, near those that are known: what a builder may say instead.

A dictionary has one town's way; a builder's own part names are guessed from their spelling. Each other way is
one step from a known one, by the steps that English speakers differ in (J. C. Wells, "Accents of English",
1982, chapters 2 and 3; from memory), or is another reading of the spelling.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

from plytally.core.accents import VOWELS, in_british
from plytally.core.letters import phones_of

MOST = 60

# Phones that stand for one another between speakers. Each row both ways.
_STEPS = """
AA AO | AA AH | AA AE | AE EH | AE AH | AH IH | AH EH | AH UH | AH ER | AH OW | AO OW | AO AH | EH IH
EH EY | EH ER | ER AO R | ER EH R | ER AH R | EY AE | AY IH | AY IY | EY AH | IH IY | IY EH | IY AY | OW AA
OW UW | UW UH | UW Y UW | AW OW | AY AH | OY AO | T D | TH T | TH F | DH D | DH V | S Z | SH CH | ZH JH | V W
NG N | NG NG G | K G | P B | HH -
"""
_DROPPED = frozenset({"T", "D", "R", "HH", "AH", "IH", "G", "L"})


def other_ways(word: str, known: Sequence[str]) -> tuple[str, ...]:
    """Other pronunciations of `word`, at most 60, none of them among `known`. Phones parted by spaces.

    >>> "L EY AH B" in other_ways("layup", ["L EY AH P"])
    True
    """
    spelled = (" ".join(phones_of(word)),) if word.isalpha() else ()
    near = chain(spelled, *(_near(word, way) for way in known))
    return tuple(way for way in dict.fromkeys(near) if way and way not in known)[:MOST]


def _near(word: str, way: str) -> Iterator[str]:
    phones = way.split()
    yield in_british(word, way)
    for at, phone in enumerate(phones):
        for other in _OTHERS.get(phone, ()):
            yield " ".join((*phones[:at], *other, *phones[at + 1 :]))
        if phone in _DROPPED and len(phones) > 2 and not _only_vowel(phones, at):
            yield " ".join((*phones[:at], *phones[at + 1 :]))


def _only_vowel(phones: Sequence[str], at: int) -> bool:
    return phones[at] in VOWELS and sum(phone in VOWELS for phone in phones) == 1


def _others() -> dict[str, tuple[tuple[str, ...], ...]]:
    found: dict[str, tuple[tuple[str, ...], ...]] = {}
    for row in _STEPS.replace("\n", "|").split("|"):
        if row.strip():
            first, *rest = row.split()
            second = tuple(phone for phone in rest if phone != "-")
            found[first] = (*found.get(first, ()), second)
            if len(second) == 1:
                found[second[0]] = (*found.get(second[0], ()), (first,))
    return found


_OTHERS = _others()
