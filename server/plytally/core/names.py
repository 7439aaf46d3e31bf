"""Names from the builder's own lists, and how they are said."""

from __future__ import annotations

from dataclasses import dataclass

from plytally.core.numbers import say_cardinal


@dataclass(frozen=True)
class Name:
    """Something with a name, and how it is said: lower-case words with single spaces between.

    Without `said_as` it is said as it is written.
    """

    name: str
    said_as: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.name

    @property
    def spoken(self) -> tuple[str, ...]:
        """Every way of saying it, the usual one first."""
        return self.said_as or (as_spoken(self.name),)


def plain(text: str) -> str:
    """Text as it is spoken: lower case, letters, digits and apostrophes, single spaces between words.

    >>> plain("Hard-point  (aft)")
    'hard point aft'
    """
    kept = (c if c.isalnum() or c == "'" else " " for c in text.lower())
    return " ".join("".join(kept).split())


def as_spoken(text: str) -> str:
    """A written name as it is said: plain, and with its digits as number words.

    >>> as_spoken("Hinge 2")
    'hinge two'
    """
    return " ".join(say_cardinal(int(w)) if w.isdecimal() else w for w in plain(text).split())
