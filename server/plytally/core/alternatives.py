"""What a recogniser's list of whole sentences makes of the words: runner-ups, by the sound and by the shop.

For engines that give such a list (Vosk); the rivals of an engine that searches for them one by one are
judged in judging.py. The shop's order may do here what it may do there: bring a sentence to the front, which
is then asked about, and move away one that the sound has not near.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from difflib import SequenceMatcher

from plytally.core.hearing import Alternative, Word
from plytally.core.leaning import MOST, WORTH
from plytally.core.listening import Grammar
from plytally.core.runner_up import beside

CLOSE_MARGIN = 4.0
"""A sentence less than this behind, in log score a second, makes the words it differs in doubtful."""

NEAR_MARGIN = 2.0
"""Less than this behind by sound, it does so whatever speaks against it in the shop."""

MOST_LOG_ODDS = MOST / WORTH
"""The shop's order counts no more than this. A unit of it is one of the score, because such engines weigh
language and sound alike (from memory; there is no English model to measure it on)."""

A_TIE = 0.5
"""How sure words are that the shop put in the place of those that the sound had a little ahead."""

_Lean = Callable[[str], float]


def by_alternatives(
    words: tuple[Word, ...], alternatives: Sequence[Alternative], seconds: float, grammar: Grammar
) -> tuple[Word, ...]:
    """The words with what the close sentences have in their place, after the shop's order was heard too.

    A sentence of the grammar that it makes likelier than the heard one is put in the place, and what was
    heard stays beside it as the runner-up, so that it is asked about.
    """
    heard = " ".join(word.text for word in words)

    def lean(other: str) -> float:
        odds = max(-MOST_LOG_ODDS, min(MOST_LOG_ODDS, grammar.lean(heard, other)))
        return odds / max(seconds, 0.1)

    first = _likelier(alternatives, lean, grammar)
    if first is not None:
        return _put_right(words, tuple(first.text.split()))
    return with_runner_ups(words, [each.text for each in alternatives if _is_close(each, lean)])


def with_runner_ups(words: tuple[Word, ...], close: Iterable[str]) -> tuple[Word, ...]:
    """The words, each with what the first close sentence that differs there has in its place."""
    runner_ups: dict[int, str] = {}
    texts = [word.text for word in words]
    for sentence in close:
        for at, instead in _differences(texts, sentence.split()):
            runner_ups.setdefault(at, instead)
    return tuple(replace(word, runner_up=runner_ups.get(at, word.runner_up)) for at, word in enumerate(words))


def _differences(texts: Sequence[str], other: Sequence[str]) -> Iterable[tuple[int, str]]:
    """The places where they differ, each with what the other has there; more words, beside a neighbour."""
    for kind, start, end, from_, to in SequenceMatcher(None, texts, other, autojunk=False).get_opcodes():
        if kind == "insert" and texts:
            more = other[from_:to]
            yield max(0, start - 1), " ".join([texts[start - 1], *more] if start else [*more, texts[0]])
        elif kind != "equal":
            yield from enumerate(beside(texts[start:end], other[from_:to]), start)


def _is_close(each: Alternative, lean: _Lean) -> bool:
    return each.margin < NEAR_MARGIN or each.margin - lean(each.text) < CLOSE_MARGIN


def _likelier(alternatives: Sequence[Alternative], lean: _Lean, grammar: Grammar) -> Alternative | None:
    """The sentence that sound and shop together have ahead of the heard one, and only both together."""
    ahead = [
        each
        for each in alternatives
        if 0 < lean(each.text) > each.margin and grammar.automaton.accepts(tuple(each.text.split()))
    ]
    return max(ahead, key=lambda each: lean(each.text) - each.margin, default=None)


def _put_right(words: tuple[Word, ...], better: tuple[str, ...]) -> tuple[Word, ...]:
    """The better sentence in the heard one's times, with what was heard beside it."""
    texts, put = [word.text for word in words], list[Word]()
    for kind, start, end, from_, to in SequenceMatcher(None, texts, better, autojunk=False).get_opcodes():
        if kind == "equal":
            put += words[start:end]
        else:
            there = words[start:end] or words[max(0, start - 1) :][:1]
            put += (Word(text, there[0].start, there[-1].end, A_TIE) for text in better[from_:to])
    return tuple(
        replace(word, runner_up=other) for word, other in zip(put, beside(better, texts), strict=True)
    )
