"""How words sound, for engines that hear by phones: trade words by table, a builder's own words by rule.

Phones are those of the CMU Pronouncing Dictionary (ARPAbet without stress marks): "flox" -> F L AA K S.
An engine asks only for words that its own dictionary lacks; a word may have several pronunciations.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from plytally.core.letters import phones_of

# How the trade says its words: common practice, no source. Plain words are as a dictionary would have them.
TRADE: Mapping[str, tuple[str, ...]] = {
    word: tuple(way.strip() for way in ways.split("/"))
    for word, ways in {
        "uni": "Y UW N IY",
        "triax": "T R AY AE K S",
        "biax": "B AY AE K S",
        "flox": "F L AA K S",
        "microballoon": "M AY K R OW B AH L UW N",
        "microballoons": "M AY K R OW B AH L UW N Z",
        "ply": "P L AY",
        "plies": "P L AY Z",
        "bleeder": "B L IY D ER",
        "fairing": "F EH R IH NG",
        "fairings": "F EH R IH NG Z",
        "layup": "L EY AH P",
        "layups": "L EY AH P S",
        "prepreg": "P R IY P R EH G",
        "kevlar": "K EH V L AA R",
        "tailplane": "T EY L P L EY N",
        "tailplanes": "T EY L P L EY N Z",
        "longeron": "L AO N JH ER AA N / L AA N JH ER AH N",
        "ailerons": "EY L ER AA N Z",
        "empennage": "EH M P AH N AA ZH",
        "quillwing": "K W IH L W IH NG",
        "motorglider": "M OW T ER G L AY D ER",
        "inhg": "IH N CH IH Z AH V M ER K Y ER IY / IH N EY CH JH IY",
        "bushing": "B UH SH IH NG",
        "bushings": "B UH SH IH NG Z",
        "spanwise": "S P AE N W AY Z",
        "chordwise": "K AO R D W AY Z",
        "spars": "S P AA R Z",
        "shearweb": "SH IH R W EH B",
        "thou": "TH AW",
        "gelcoat": "JH EH L K OW T",
        "foamcore": "F OW M K AO R",
        "countersink": "K AW N T ER S IH NG K",
        "cleco": "K L IY K OW",
        "clecos": "K L IY K OW Z",
        "rohacell": "R OW HH AH S EH L",
        "divinycell": "D IH V IH N IH S EH L",
    }.items()
}


# The names of letters and digits, for initials and type numbers in a builder's words: "qw", "b2".
NAMES: Mapping[str, str] = {
    name: phones.strip()
    for name, phones in (
        pair.split(":")
        for line in (
            "a:EY    | b:B IY  | c:S IY     | d:D IY | e:IY    | f:EH F | g:JH IY | h:EY CH | i:AY",
            "j:JH EY | k:K EY  | l:EH L     | m:EH M | n:EH N  | o:OW   | p:P IY  | q:K Y UW",
            "r:AA R  | s:EH S  | t:T IY     | u:Y UW | v:V IY  | w:D AH B AH L Y UW | x:EH K S",
            "y:W AY  | z:Z IY  | 0:Z IH R OW | 1:W AH N | 2:T UW | 3:TH R IY | 4:F AO R | 5:F AY V",
            "6:S IH K S | 7:S EH V AH N | 8:EY T | 9:N AY N",
        )
        for pair in map(str.strip, line.split("|"))
    )
}
_SHORTEST_HALF = 3  # letters; "aft" and "rib" may be half of a compound, "of" may not
_RUNS = re.compile(r"[a-z]+|[0-9]")

Dictionary = Callable[[str], str | None]


def pronunciations(word: str, dictionary: Dictionary = lambda _word: None) -> tuple[str, ...]:
    """Every way to say `word`, as phones parted by spaces.

    In turn: the trade's table; two words of the engine's `dictionary` written as one ("tailwheel"); letters
    and digits by name where nothing else is possible ("qw2"); else the rules of spelling, which is a guess.
    Raises ValueError for a word without a letter or digit: there is nothing to say.

    >>> pronunciations("flox")
    ('F L AA K S',)
    >>> pronunciations("b2")
    ('B IY T UW',)
    """
    word = word.lower().replace("'", "")
    if word in TRADE:
        return TRADE[word]
    runs = _RUNS.findall(word)
    if not runs:
        raise ValueError(f"{word!r} has no letter or digit, so it cannot be said; spell it as it sounds")
    if len(runs) == 1 and (compound := _compound(word, dictionary)):
        return compound
    return (" ".join(_run(run, alone=len(runs) == 1) for run in runs),)


def _compound(word: str, dictionary: Dictionary) -> tuple[str, ...]:
    """The word as two of the dictionary; where it can be parted in several places, the longest first half."""
    for at in range(len(word) - _SHORTEST_HALF, _SHORTEST_HALF - 1, -1):
        first, second = dictionary(word[:at]), dictionary(word[at:])
        if first and second:
            return (f"{first} {second}",)
    return ()


def _run(run: str, *, alone: bool) -> str:
    """One stretch of letters or one digit: initials by name ("qw", the "b" of "b2"), words by rule."""
    sayable = len(run) > 1 and any(vowel in run for vowel in "aeiouy") and (alone or len(run) > 2)
    return " ".join(phones_of(run)) if sayable else " ".join(NAMES[mark] for mark in run)
