"""The same word in another accent: from an American dictionary's phones to those of southern England.

The engine's dictionary and model are American. A builder who says "spar" without its r, "aft" with a long a
or "photo" with a British o is else heard as saying something different. The differences are the well-known
ones between the two accents (J. C. Wells, "Accents of English", 1982: non-rhoticity, BATH, LOT, GOAT, yod;
from memory). They are systematic, so rules make the second pronunciation.
"""

from __future__ import annotations

from collections.abc import Iterator

# The phones of the CMU Pronouncing Dictionary, without its stress marks.
VOWELS = frozenset(("AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"))
_STOPS = ("P", "B", "T", "D", "K", "G", "CH", "JH")
_OTHERS = ("F", "V", "TH", "DH", "S", "Z", "SH", "ZH", "HH", "M", "N", "NG", "L", "R", "W", "Y")
PHONES = VOWELS | {*_STOPS, *_OTHERS}

# The words of BATH are a closed list; these are those that a workshop may use.
BATH = frozenset(
    (
        "advance",
        "after",
        "aft",
        "aircraft",
        "answer",
        "ask",
        "asked",
        "basket",
        "bath",
        "brass",
        "can't",
        "cast",
        "casting",
        "chance",
        "clasp",
        "class",
        "craft",
        "dance",
        "disaster",
        "draft",
        "fast",
        "fasten",
        "fastened",
        "fastener",
        "fasteners",
        "gasket",
        "glass",
        "grant",
        "grasp",
        "grass",
        "half",
        "halves",
        "last",
        "mask",
        "masked",
        "master",
        "mast",
        "pass",
        "passed",
        "past",
        "path",
        "plant",
        "plants",
        "plaster",
        "raft",
        "rafter",
        "shaft",
        "shafts",
        "staff",
        "stance",
        "task",
        "vast",
    )
)
# What is left of a vowel when the r after it is not said.
_BEFORE_LOST_R = {
    "AA": ("AA",),
    "AO": ("AO",),
    "UH": ("AO",),
    "EH": ("EH", "AH"),
    "IH": ("IH", "AH"),
    "IY": ("IH", "AH"),
    "AY": ("AY", "AH"),
    "AW": ("AW", "AH"),
}
_YOD_AFTER = frozenset({"N", "T", "D"})


def in_british(word: str, phones: str) -> str:
    """How someone from southern England says the word that an American says with these phones.

    Unchanged phones come back as they are.

    >>> in_british("spar", "S P AA R"), in_british("aft", "AE F T"), in_british("photo", "F OW T OW")
    ('S P AA', 'AA F T', 'F AH UW T AH UW')
    """
    return " ".join(_changed(word, phones.split()))


def _changed(word: str, phones: list[str]) -> Iterator[str]:
    at = 0
    while at < len(phones):
        here, following = phones[at], phones[at + 1] if at + 1 < len(phones) else ""
        before_vowel = following in VOWELS
        if here == "ER":
            yield from _er(phones[:at], before_vowel=before_vowel)
        elif following == "R" and here in _BEFORE_LOST_R and not _vowel_at(phones, at + 2):
            yield from _BEFORE_LOST_R[here]
            at += 1
        else:
            yield from _vowel(word, here, phones[:at])
        at += 1


def _er(before: list[str], *, before_vowel: bool) -> tuple[str, ...]:
    """In a first syllable ("work") it stays, later ("rudder") it weakens; before a vowel its r is said."""
    if before_vowel:
        return ("AH", "R")
    return ("AH",) if VOWELS & set(before) else ("ER",)


def _vowel(word: str, phone: str, before: list[str]) -> tuple[str, ...]:
    match phone:
        case "AA":
            return ("AO",)
        case "OW":
            return ("AH", "UW")
        case "AE" if word in BATH:
            return ("AA",)
        case "UW" if before and before[-1] in _YOD_AFTER and ("u" in word or "ew" in word):
            return ("Y", "UW")
        case _:
            return (phone,)


def _vowel_at(phones: list[str], at: int) -> bool:
    return at < len(phones) and phones[at] in VOWELS
