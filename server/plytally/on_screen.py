r"""What may reach a terminal: text, and bold, dim and italic; never a sequence that commands the terminal.

A note, a name or a reason may have come from a phone, a file or a backup of somebody else. Control characters
in it would move the cursor, wipe lines, rename the window or hide words, so they are shown as their symbols.

>>> plain("red \x1b[31mink\x07, \x1b[1mbold\x1b[0m")
'red ␛[31mink␇, \x1b[1mbold\x1b[0m'
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

_OWN = r"\x1b\[[0-3](?:;[0-3])*m"
"""The styles that our own output has: none, bold, dim, italic."""

_CONTROL = re.compile(rf"{_OWN}|\r(?!\n)|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_SYMBOLS, _SPACE = 0x2400, 0x20
_SINGLE = {"\x7f": "␡"}


def plain(text: str) -> str:
    """The text with each control character, and each mark that turns the writing round, as a symbol."""
    return _CONTROL.sub(_shown, text)


@contextmanager
def only_text() -> Iterator[None]:
    """Let standard output carry nothing else while this lasts."""
    before = sys.stdout
    sys.stdout = _Guarded(before)
    try:
        yield
    finally:
        sys.stdout = before


class _Guarded:
    """A text stream whose writing goes through `plain`; everything else is the stream's own."""

    def __init__(self, stream: Any) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        self._stream.write(plain(text))
        return len(text)

    def writelines(self, lines: Iterable[str]) -> None:
        for line in lines:
            self.write(line)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def _shown(found: re.Match[str]) -> str:
    text = found[0]
    if len(text) > 1:
        return text
    return chr(_SYMBOLS + ord(text)) if ord(text) < _SPACE else _SINGLE.get(text, "\ufffd")
