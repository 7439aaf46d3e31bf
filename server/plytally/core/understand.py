"""Words to meaning: an entry, a question, a command or a plain note, with every doubt said.

The phrase that explains most of the words wins. Words it leaves over are kept and doubted, never
dropped; where too few are explained, or one of them turns the meaning round ("did not lay"), all of it is
kept as a plain note.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from plytally.core.doubting import doubts_of_fields, doubts_of_hearing, doubts_of_kind
from plytally.core.entry import FIELDS, KINDS, PLACE, Doubt, Entry, FieldValue
from plytally.core.grammar import Found, Known, Say, Words
from plytally.core.hearing import Hearing
from plytally.core.homophones import number_meant
from plytally.core.leftovers import doubts_of_leftover
from plytally.core.loose import is_question, loosely
from plytally.core.numbers import say_cardinal
from plytally.core.phrasebook import Phrase, Reading, phrase_words, readings
from plytally.core.repairs import repair
from plytally.core.small_words import FILLERS, TURNING
from plytally.core.unusual import doubt_of_fraction
from plytally.core.vocabulary import PEEL_PLY, Vocabulary, exchangeable

# Opened where the phrasebook has them written out: "vacuum's at twenty" is "vacuum is at twenty".
_OPENED = {"'s": "is", "'re": "are", "'ve": "have", "'m": "am"}
_WHOLE = re.compile(r"[0-9]{1,4}")
LEAST_EXPLAINED = 0.5
"""A phrase must explain at least this share of the words that are no fillers; else they are a plain note."""


@dataclass(frozen=True)
class Context:
    """What was going on when a note was spoken; fills in what a builder leaves unsaid, always as a doubt.

    `place` holds the place fields of the entry before, by name.
    """

    place: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Understanding:
    """What a note means. `makes` is "entry", "command" or "question", and `name` says which one.

    A plain note is an entry of kind "note". `unused` are the words that made no field.
    """

    makes: str
    name: str
    fields: Mapping[str, FieldValue]
    said: str
    unused: Words = ()
    doubts: tuple[Doubt, ...] = ()

    @property
    def entry(self) -> Entry | None:
        """The entry to record; None for a command or a question."""
        if self.makes != "entry":
            return None
        return Entry(self.name, self.fields, self.said, self.unused, self.doubts)


@dataclass(frozen=True)
class Token:
    """One word as the phrasebook sees it, and which word of the hearing it came from."""

    text: str
    heard_at: int
    sounds_like: str = ""
    """What the word was heard or typed as, where another is taken for it."""
    instead_of: str = ""
    """What was said first, where this word puts it right in the same breath."""


def understand(hearing: Hearing, vocabulary: Vocabulary, context: Context | None = None) -> Understanding:
    """What the words mean for a builder with this vocabulary; never raises on what was said."""
    tokens = _repaired(tuple(_tokens(hearing)), vocabulary)
    reading, kept = _best_reading(tokens, vocabulary, free_only=not hearing.covered)
    if hearing.covered and (reading is None or _unused(tokens, kept, reading)):
        reading, kept = _looser(tokens, vocabulary, reading, kept)
    if reading is None:
        return _plain_note(hearing)
    unused = _unused(tokens, kept, reading)
    if TURNING & set(unused) or _is_asked(hearing, tokens, reading, unused):
        return _plain_note(hearing)
    fields, doubts = _fields(reading, context or Context())
    fields |= _leftover_text(reading, unused)
    spans = {
        found.field: [kept[i].heard_at for i in range(found.start, found.end)] for found in reading.found
    }
    doubts += [*_doubts_of_counted(kept, reading)]
    doubts += [*doubts_of_hearing(hearing, fields, spans), *doubts_of_kind(hearing, _bare(kept, reading))]
    if reading.phrase.makes == "entry":
        bare = [hearing.words[at].text.lower() for at in _bare(kept, reading)]
        doubts += [*doubts_of_leftover(reading.phrase.name, fields, bare, unused, vocabulary)]
        doubts += [*doubts_of_fields(reading.phrase.name, fields, vocabulary)]
    doubts += _doubts_of_unused(unused)
    phrase = reading.phrase
    return Understanding(phrase.makes, phrase.name, fields, hearing.text, unused, _one_a_field(doubts))


def _is_asked(hearing: Hearing, tokens: tuple[Token, ...], reading: Reading, unused: Words) -> bool:
    """Whether an entry was read out of a question: "is the rudder bagged?" bags nothing."""
    if reading.phrase.makes != "entry" or "text" in KINDS[reading.phrase.name].fields:
        return False
    words = tuple(token.text for token in tokens)
    return hearing.text.rstrip().endswith("?") or (is_question(words) and bool(unused))


def _bare(kept: tuple[Token, ...], reading: Reading) -> tuple[int, ...]:
    """The words of the hearing that are of the phrase and made no field: they say what was done."""
    covered = {at for found in reading.found for at in range(found.start, found.end)}
    bare = (kept[at].heard_at for at in range(reading.start, reading.end) if at not in covered)
    return tuple(dict.fromkeys(bare))


def _tokens(hearing: Hearing) -> Iterator[Token]:
    for at, word in enumerate(hearing.words):
        for text in word.text.lower().replace("-", " ").split():
            if bare := text.strip(',;:!?"()').rstrip("."):
                yield Token(bare, at)


def _repaired(tokens: tuple[Token, ...], vocabulary: Vocabulary) -> tuple[Token, ...]:
    """The words with what was put right in the same breath: "two, no, three plies"."""
    found = repair(tuple(token.text for token in tokens), exchangeable(vocabulary))
    if found is None:
        return tokens
    right = (replace(tokens[at], instead_of=found.first) for at in found.kept)
    return (*tokens[: found.start], *right, *tokens[found.end :])


def _best_reading(
    tokens: tuple[Token, ...], vocabulary: Vocabulary, *, free_only: bool
) -> tuple[Reading | None, tuple[Token, ...]]:
    """The phrase that explains most, tried on all the words and on those that the phrasebook knows."""
    known_words = phrase_words(vocabulary)
    telling = tuple(t for t in tokens if _parts(t.text)[0] in known_words or _is_number(t.text))
    best: tuple[tuple[int, int], Reading, tuple[Token, ...]] | None = None
    ways = (tokens, telling, _spelt(telling), _opened(telling), _opened(tokens), _counted(tokens))
    for kept in dict.fromkeys(ways):
        for reading in _all_readings(kept, vocabulary, free_only=free_only):
            score = (_weight(kept[reading.start : reading.end]), len(reading.found))
            if best is None or score > best[0]:
                best = score, reading, kept
    if best is None or best[0][0] < LEAST_EXPLAINED * _weight(tokens):
        return None, tokens
    return best[1], best[2]


def _looser(
    tokens: tuple[Token, ...], vocabulary: Vocabulary, reading: Reading | None, kept: tuple[Token, ...]
) -> tuple[Reading | None, tuple[Token, ...]]:
    """A loose reading in place of the phrase, where it leaves fewer words over."""
    left = len(_unused(tokens, kept, reading)) if reading else len(tokens)
    for ways in dict.fromkeys((_opened(tokens), _spelt(_opened(tokens)))):
        loose = loosely(tuple(token.text for token in ways), vocabulary)
        if loose is None or len(loose.left) >= left:
            continue
        left = len(loose.left)
        unheard = {ways[i].heard_at for i in loose.left}
        over = {i for i, token in enumerate(ways) if token.heard_at in unheard and i not in loose.used}
        at = {old: new for new, old in enumerate(i for i in range(len(ways)) if i not in over)}
        found = tuple(Found(f.field, f.value, at[f.start], at[f.end - 1] + 1) for f in loose.found)
        kept = tuple(token for i, token in enumerate(ways) if i not in over)
        way = Phrase(loose.way.makes, loose.way.name, "", Say(""))
        reading = Reading(way, 0, len(kept), found)
    return reading, kept


def _spelt(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """Typed whole numbers as words, because that is how names and angles are known: "rib 3"."""
    return tuple(
        replace(token, text=word)
        for token in tokens
        for word in (say_cardinal(int(token.text)).split() if _WHOLE.fullmatch(token.text) else (token.text,))
    )


def _opened(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """Contractions as the two words they are made of."""
    return tuple(replace(token, text=word) for token in tokens for word in _parts(token.text) if word)


def _counted(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """Words that stand for a number that sounds like them: "to plies"."""
    words = [token.text for token in tokens]
    meant = [number_meant(words, at) for at in range(len(words))]
    return tuple(
        replace(token, text=number, sounds_like=token.text) if number else token
        for number, token in zip(meant, tokens, strict=True)
    )


def _doubts_of_counted(kept: tuple[Token, ...], reading: Reading) -> Iterator[Doubt]:
    for found in reading.found:
        for token in kept[found.start : found.end]:
            if token.sounds_like:
                why = f"it was heard as {token.sounds_like!r}"
                yield Doubt(found.field, token.text, "", why)
            if token.instead_of:
                said = " ".join(each.text for each in kept[found.start : found.end] if each.instead_of)
                why = f"put right in the same breath: {token.instead_of!r} was said first"
                yield Doubt(found.field, said, token.instead_of, why)
        words = [token.text for token in kept[found.start : found.end]]
        if found.field in FIELDS and (odd := doubt_of_fraction(found.field, words)):
            yield odd


def _parts(text: str) -> tuple[str, str]:
    stem, apostrophe, ending = text.partition("'")
    opened = _OPENED.get(apostrophe + ending, "")
    return (stem, opened) if opened else (text, "")


def _all_readings(kept: tuple[Token, ...], vocabulary: Vocabulary, *, free_only: bool) -> Iterator[Reading]:
    words = tuple(token.text for token in kept)
    known: Known = {}
    for at in range(len(words)):
        for reading in readings(words, at, vocabulary, known):
            if not free_only or any(found.field == "text" for found in reading.found):
                yield reading


def _weight(tokens: tuple[Token, ...]) -> int:
    """How many of the builder's words these are, fillers not counted."""
    return len({token.heard_at for token in tokens if token.text not in FILLERS})


def _is_number(text: str) -> bool:
    return any(character.isdigit() for character in text)


def _unused(tokens: tuple[Token, ...], kept: tuple[Token, ...], reading: Reading) -> Words:
    used = {token.heard_at for token in kept[reading.start : reading.end]}
    return tuple(token.text for token in tokens if token.heard_at not in used and token.text not in FILLERS)


def _fields(reading: Reading, context: Context) -> tuple[dict[str, FieldValue], list[Doubt]]:
    """The reading's fields; a place that leans on the entry before ("here", "the aft face") is filled in."""
    fields = {found.field: found.value for found in reading.found}
    if reading.phrase.name == "laid" and str(fields.get("material", "")).casefold() == PEEL_PLY:
        fields.setdefault("plies", 1)
    same = fields.pop("same", None)
    if reading.phrase.makes != "entry" or "part" in fields or not context.place:
        return fields, []
    if same is None and not {"face", "station"} & set(fields):
        return fields, []
    takes = [name for name in PLACE if name in KINDS[reading.phrase.name].fields]
    borrowed = {name: context.place[name] for name in takes if context.place.get(name) and name not in fields}
    if same is None:
        borrowed = {name: value for name, value in borrowed.items() if name in {"part", "side"}}
    why = "not said; taken from the entry before"
    return fields | borrowed, [Doubt(name, value, "", why) for name, value in borrowed.items()]


def _leftover_text(reading: Reading, unused: Words) -> dict[str, FieldValue]:
    """Kinds that hold free text keep there what made no other field."""
    takes_text = reading.phrase.makes == "entry" and "text" in KINDS[reading.phrase.name].fields
    said_text = any(found.field == "text" for found in reading.found)
    return {"text": " ".join(unused)} if takes_text and unused and not said_text else {}


def _doubts_of_unused(unused: Words) -> list[Doubt]:
    if not unused:
        return []
    return [Doubt("unused", " ".join(unused), "", "these words were heard and made no field")]


def _one_a_field(doubts: list[Doubt]) -> tuple[Doubt, ...]:
    """The first doubt of each field says most; the order is that in which they were raised."""
    first: dict[str, Doubt] = {}
    for doubt in doubts:
        first.setdefault(doubt.field, doubt)
    return tuple(first.values())


def _plain_note(hearing: Hearing) -> Understanding:
    text = hearing.text
    why = "the speech is not in the phrasebook; these words are a guess, the recording is kept"
    doubts = () if hearing.covered else (Doubt("text", text, "", why),)
    return Understanding("entry", "note", {"text": text} if text else {}, text, (), doubts)
