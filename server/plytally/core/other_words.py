"""Other words of the trade for where something is: the "bottom skin" is the lower one, "front" is fore.

They are for reading what was typed; a name of the builder's own that is said so goes first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from plytally.core.names import Name

MEANS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("upper", ("top",)),
    ("lower", ("bottom",)),
    ("fore", ("front", "forward")),
    ("front", ("forward", "fore")),
    ("aft", ("rear", "back")),
    ("rear", ("aft", "back")),
    ("inside", ("inner",)),
    ("outside", ("outer",)),
    ("center", ("centre", "middle")),
    ("root", ("inner end",)),
)
"""A word of a name, and the words that may be said instead: common practice, no source."""


def other_ways(names: Iterable[Name]) -> tuple[Name, ...]:
    """The names with the other ways of saying them, without those that another name is said by."""
    listed = tuple(names)
    taken = {way for name in listed for way in name.spoken}
    found = [(name.name, way) for name in listed for way in _instead(name) if way not in taken]
    meant: dict[str, set[str]] = {}
    for name, way in found:
        meant.setdefault(way, set()).add(name)
    ways: dict[str, list[str]] = {}
    for name, way in found:
        if len(meant[way]) == 1:
            ways.setdefault(name, []).append(way)
    return tuple(Name(name, tuple(dict.fromkeys(said))) for name, said in ways.items())


def _instead(name: Name) -> Iterator[str]:
    for way in name.spoken:
        words = way.split()
        for at, word in enumerate(words):
            for other in dict(MEANS).get(word, ()):
                yield " ".join((*words[:at], other, *words[at + 1 :]))
