r"""One spelling for a JSON value, so that equal values are equal bytes in Python and in JavaScript.

The rules, a strict subset of RFC 8785 that needs no number formatting:
- values are objects, arrays, strings, true, false, null and whole numbers within ±(2^53 - 1); no floats;
- object keys are printable ASCII, each once, sorted by character code;
- no white space; UTF-8; in strings only `"`, `\` and the controls below U+0020 are escaped, as
  `\" \\ \b \f \n \r \t`, else `\u00xx` in lower case; nothing is normalised; no lone surrogates.

In JavaScript: `JSON.stringify` of the value rebuilt with its keys sorted, then `TextEncoder`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

MAX_INTEGER = 2**53 - 1
MAX_DEPTH = 12
"""Objects and arrays within one another."""

MAX_KEY = 64
"""Characters in an object's key."""

_SURROGATE = re.compile("[\ud800-\udfff]")
_ENCODER = json.JSONEncoder(
    ensure_ascii=False, check_circular=False, allow_nan=False, sort_keys=True, separators=(",", ":")
)


def canonical(value: Any) -> bytes:
    """The canonical bytes of a value in which `problems_in` finds nothing.

    >>> canonical({"b": [1, None], "a": "ply"})
    b'{"a":"ply","b":[1,null]}'
    """
    return _ENCODER.encode(value).encode("utf-8")


def problems_in(value: Any, where: str) -> Iterator[str]:
    """Every reason why `value` has no canonical bytes; `where` names it in the sentences."""
    return iter(()) if _fine(value, MAX_DEPTH) else _told(value, where, MAX_DEPTH)


def _fine(value: Any, depth: int) -> bool:
    """The quick answer for the usual case, in which there is nothing to tell."""
    kind = type(value)
    if kind is str:
        return value.isascii() or not _SURROGATE.search(value)
    if kind is dict or kind is list:
        return depth > 0 and _all_fine(value, depth - 1)
    return value is None or kind is bool or (kind is int and abs(value) <= MAX_INTEGER)


def _all_fine(value: dict[Any, Any] | list[Any], depth: int) -> bool:
    """Whether what is directly inside is fine; a plain loop, as this runs for every word that was heard."""
    if isinstance(value, dict):
        for key in value:
            if not _is_key(key):
                return False
        value = list(value.values())
    for item in value:  # noqa: SIM110 - half as fast again as all()
        if not (type(item) is str and item.isascii()) and not _fine(item, depth):
            return False
    return True


def _is_key(key: object) -> bool:
    return type(key) is str and 0 < len(key) <= MAX_KEY and key.isascii() and key.isprintable()


def _told(value: Any, where: str, depth: int) -> Iterator[str]:
    if isinstance(value, Mapping | list) and depth == 0:
        yield f"{where} is nested more than {MAX_DEPTH} deep"
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from _told(item, f"{where}[{place}]", depth - 1)
    elif isinstance(value, Mapping):
        for key, item in value.items():
            if _is_key(key):
                yield from _told(item, f"{where}.{key}", depth - 1)
            else:
                yield f"{where} has the key {key!r}: keys are 1 to {MAX_KEY} printable ASCII characters"
    elif not _fine(value, depth):
        yield f"{where} {_why_not(value)}"


def _why_not(value: Any) -> str:
    if isinstance(value, str):
        return "holds half a character (a lone surrogate)"
    if isinstance(value, float):
        return f"is a floating-point number, {value!r}: write amounts as text"
    if isinstance(value, int):
        return "is a whole number beyond ±(2^53 - 1)"
    return f"is no JSON value but a {type(value).__name__}"
