"""A mapping whose copies share all they have in common.

Copying costs the number of pages, writing at most one page; so one more operation on a log of 50,000
makes a new state without copying 50,000 of anything, and the old state stays as it was.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")

_PAGES = 512


class SharedMap(Mapping[K, V], Generic[K, V]):
    """A dict in pages. A copy owns none of them, and takes its own copy of a page before it writes there."""

    __slots__ = ("_owned", "_pages", "_size")

    def __init__(self) -> None:
        self._pages: list[dict[K, V]] = [{}] * _PAGES
        self._owned: set[int] = set()
        self._size = 0

    def copy(self) -> SharedMap[K, V]:
        """A map with the same content; what is later put into either does not show in the other."""
        other: SharedMap[K, V] = SharedMap()
        other._pages, other._size = self._pages.copy(), self._size
        self._owned = set()
        return other

    def put(self, key: K, value: V) -> None:
        """Set `key` to `value`."""
        page = self._own(key)
        self._size += key not in page
        page[key] = value

    def drop(self, key: K) -> None:
        """Forget `key`, if it is here."""
        if key in self:
            del self._own(key)[key]
            self._size -= 1

    def differing(self, earlier: SharedMap[K, V]) -> Iterator[V]:
        """Give the values that an earlier copy has not, or has otherwise; shared pages are left out."""
        for page, before in zip(self._pages, earlier._pages, strict=True):
            if page is not before:
                yield from (value for key, value in page.items() if before.get(key) is not value)

    def _own(self, key: K) -> dict[K, V]:
        place = hash(key) % _PAGES
        if place not in self._owned:
            self._owned.add(place)
            self._pages[place] = self._pages[place].copy()
        return self._pages[place]

    def __getitem__(self, key: K) -> V:
        return self._pages[hash(key) % _PAGES][key]

    def __contains__(self, key: object) -> bool:
        return key in self._pages[hash(key) % _PAGES]

    def __iter__(self) -> Iterator[K]:
        for page in self._pages:
            yield from page

    def __len__(self) -> int:
        return self._size
