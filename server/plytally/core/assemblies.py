"""Assemblies: what several parts of the print make together, by the name that they share.

"elevator spar", "elevator rib 1" and "elevator upper skin" are parts of the elevator. An assembly can be
asked about, weighed, bagged or worked on as a whole; plies are laid on a part, so there it is asked which.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from plytally.core.names import plain

FEWEST = 2
"""So many parts make an assembly."""

NO_NAME = frozenset(
    (
        *("left", "right", "upper", "lower", "top", "bottom", "inner", "outer", "inboard", "outboard"),
        *("front", "rear", "fore", "forward", "aft", "back", "main", "root", "tip", "center", "centre"),
        *("hinge", "spar", "skin", "rib", "post", "bracket", "test", "trim", "control", "balance"),
    )
)
"""Words with which names of parts begin that tell where on an aeroplane, or what part, not of what."""


@lru_cache(maxsize=32)
def assemblies(parts: tuple[str, ...]) -> Mapping[str, tuple[str, ...]]:
    """Give each assembly with its parts, in the print's order: two or more whose names begin with it.

    >>> assemblies(("rudder post", "elevator spar", "rudder skin", "trim tab"))
    {'rudder': ('rudder post', 'rudder skin')}
    """
    names = {plain(part) for part in parts}
    found: dict[str, list[str]] = {}
    for part in parts:
        first, _, more = plain(part).partition(" ")
        if more and first not in NO_NAME and first not in names and not first.isdecimal():
            found.setdefault(first, []).append(part)
    return {name: tuple(of) for name, of in found.items() if len(of) >= FEWEST}
