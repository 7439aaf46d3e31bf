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

_KEY = re.compile(r"[ -~]{1,64}")
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


def problems_in(value: Any, where: str, depth: int = MAX_DEPTH) -> Iterator[str]:
    """Every reason why `value` has no canonical bytes; `where` names it in the sentences."""
    if isinstance(value, str):
        if _SURROGATE.search(value):
            yield f"{where} holds half a character (a lone surrogate)"
    elif isinstance(value, bool) or value is None:
        return
    elif isinstance(value, int):
        if not -MAX_INTEGER <= value <= MAX_INTEGER:
            yield f"{where} is a whole number beyond ±(2^53 - 1)"
    elif isinstance(value, Mapping | list):
        yield from _inside(value, where, depth)
    elif isinstance(value, float):
        yield f"{where} is a floating-point number, {value!r}: write amounts as text"
    else:
        yield f"{where} is no JSON value but a {type(value).__name__}"


def _inside(value: Mapping[Any, Any] | list[Any], where: str, depth: int) -> Iterator[str]:
    if depth == 0:
        yield f"{where} is nested more than {MAX_DEPTH} deep"
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from problems_in(item, f"{where}[{place}]", depth - 1)
    else:
        for key, item in value.items():
            if not isinstance(key, str) or not _KEY.fullmatch(key):
                yield f"{where} has the key {key!r}: keys are 1 to 64 printable ASCII characters"
            else:
                yield from problems_in(item, f"{where}.{key}", depth - 1)
