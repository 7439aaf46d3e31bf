"""Progress on anything that may take over two seconds: on stderr, and only where a person watches."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

from rich.console import Console
from rich.progress import Progress

Item = TypeVar("Item")


def waiting(items: Sequence[Item], doing: str) -> Iterator[Item]:
    """Go through `items` with a bar that says how many are done."""
    with _bar() as progress:
        yield from progress.track(items, description=doing)


@contextmanager
def counting(doing: str) -> Iterator[Callable[[int, int], None]]:
    """A bar moved on by calling what is yielded with how much is done and how much there is."""
    with _bar() as progress:
        task = progress.add_task(doing, total=None)
        yield lambda done, total: progress.update(task, completed=done, total=total)


def _bar() -> Progress:
    console = Console(stderr=True)
    return Progress(console=console, transient=True, disable=not console.is_terminal)
