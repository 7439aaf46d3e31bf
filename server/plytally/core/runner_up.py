"""What else was said, put beside the words as heard: one runner-up a word.

"two hours" against "twenty one hours" -> "twenty one" beside "two", none beside "hours".
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

NOTHING = "nothing"
"""Beside a word that the other has no word for."""


def beside(heard: Sequence[str], other: Sequence[str]) -> tuple[str, ...]:
    """For each heard word what the other has in its place; "" where they agree.

    The words that both begin and end with are left alone. Between them the first stands beside the first,
    and what the other has more beside the last. `together` gives the other again.

    >>> beside(["two", "hours"], ["twenty", "one", "hours"])
    ('twenty one', '')
    >>> beside(["forty", "grams"], ["forty", "eight", "grams"])
    ('forty eight', '')
    """
    start, end = _agreeing(heard, other)
    if start + end == len(heard) < len(other):
        start, end = (start - 1, end) if start else (start, end - 1)
    mine, theirs = len(heard) - start - end, list(other[start : len(other) - end])
    between = [theirs[at] if at < len(theirs) else NOTHING for at in range(mine)]
    if len(theirs) > mine > 0:
        between[-1] = " ".join(theirs[mine - 1 :])
    return ("",) * start + tuple(between) + ("",) * end


def together(heard: Iterable[str], runner_ups: Iterable[str]) -> str:
    """The other words as one line: each runner-up in its word's place; NOTHING where none are left."""
    words = [runner_up or word for word, runner_up in zip(heard, runner_ups, strict=True)]
    return " ".join(word for word in words if word != NOTHING) or NOTHING


def _agreeing(heard: Sequence[str], other: Sequence[str]) -> tuple[int, int]:
    """How many words both begin with, and how many of the rest both end with."""
    least = min(len(heard), len(other))
    start = next((at for at in range(least) if heard[at] != other[at]), least)
    left = least - start
    end = next((at for at in range(left) if heard[-1 - at] != other[-1 - at]), left)
    return start, end
