r"""What may reach a terminal: text, and bold, dim and italic; never a sequence that commands the terminal.

A note, a name or a reason may have come from a phone, a file or a backup of somebody else. Control characters
in it would move the cursor, wipe lines, rename the window or hide words, so they are shown as their symbols.

>>> plain("red \x1b[31mink\x07, \x1b[1mbold\x1b[0m")
'red ␛[31mink␇, \x1b[1mbold\x1b[0m'

A terminal that cannot show a letter (LANG=C without UTF-8) gets what is nearest to it, never a failure.

>>> carried("90 °F, 2 ft² · so …", "ascii")
'90 F, 2 ft2 - so ...'
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import Any

_OWN = r"\x1b\[[0-3](?:;[0-3])*m"
"""The styles that our own output has: none, bold, dim, italic."""

_CONTROL = re.compile(rf"{_OWN}|\r(?!\n)|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_SYMBOLS, _SPACE, _ASCII = 0x2400, 0x20, 0x7F
_SINGLE = {"\x7f": "␡"}
_NEAREST = {
    **{"°": "", "²": "2", "³": "3", "½": "1/2", "×": "x", "±": "+/-", "·": "-", "…": "..."},
    **{
        "−": "-",
        "–": "-",
        "—": "-",
        "‘": "'",
        "’": "'",
        "“": '"',
        "”": '"',
        "→": "->",
        "√": "root ",
        "Σ": "sum ",
    },
}


def plain(text: str) -> str:
    """The text with each control character, and each mark that turns the writing round, as a symbol."""
    return _CONTROL.sub(_shown, text)


def carried(text: str, encoding: str) -> str:
    """The text in letters that the encoding has: the nearest where it lacks one, "?" where none is near."""
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        near = "".join(_NEAREST.get(letter, letter) if ord(letter) > _ASCII else letter for letter in text)
        return near.encode(encoding, "replace").decode(encoding)
    return text


@contextmanager
def only_text() -> Iterator[None]:
    """Let standard output carry nothing else meanwhile, and both outputs what their terminal can show."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = _Guarded(before[0], plain), _Guarded(before[1], str)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


class _Guarded:
    """A text stream whose writing goes through `plain` and `carried`; everything else is the stream's own.

    It calls itself UTF-8, since it takes any letter: whoever sees ASCII writes to the bytes below it instead.
    """

    encoding = "utf-8"

    def __init__(self, stream: Any, shown: Callable[[str], str]) -> None:
        self._stream, self._shown = stream, shown

    def write(self, text: str) -> int:
        if not isinstance(text, str):  # click tries with bytes whether a stream takes them
            raise TypeError("a stream of text takes no bytes")
        self._stream.write(carried(self._shown(text), self._stream.encoding or "utf-8"))
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
