"""The grammar tree as text, and back: JSGF, the JSpeech Grammar Format (W3C Note of June 2000).

Phrases are written in JSGF's expansion syntax: `laid <plies> (ply | plies) [of] <material>`. A tag
`{typed}` behind a word or group says that it is read where it is typed, and not listened for.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from plytally.core.grammar import Either, Maybe, Means, Node, Reads, Rule, Say, Seq, Typed, rules


class GrammarError(ValueError):
    """A phrase that cannot be read as JSGF; the message says where."""


def write(node: Node) -> str:
    """The node as a JSGF expansion."""
    match node:
        case Say(word):
            return word
        case Seq(parts):
            return " ".join(write(part) for part in parts) or "<NULL>"
        case Either(options):
            return f"({' | '.join(write(option) for option in options)})"
        case Maybe(part):
            return f"[{write(part)}]"
        case Means(part, _, _) | Reads(_, part, _) | Typed(part):
            return write(part)
        case Rule(name, _):
            return f"<{name}>"


def write_jsgf(node: Node) -> str:
    """A whole JSGF grammar whose one public rule, <phrase>, is `node`."""
    lines = ["#JSGF V1.0;", "grammar plytally;", f"public <phrase> = {write(node)};"]
    lines += [f"<{name}> = {write(rule.part)};" for name, rule in rules(node).items()]
    return "\n".join(lines) + "\n"


TYPED = "{typed}"
_TOKEN = re.compile(r"\s*(?:(?P<mark>[()\[\]|])|<(?P<rule>[a-z_0-9]+)>|(?P<word>[a-z0-9'.]+))")


def phrase(text: str, named: Mapping[str, Node]) -> Node:
    """Read a JSGF expansion; `<name>` refers to `named`. GrammarError says what is wrong and where."""
    node, at = _either(text, 0, named)
    if text[at:].strip():
        raise GrammarError(f"cannot read {text[at:].strip()!r} in the phrase {text!r}")
    return node


def _either(text: str, at: int, named: Mapping[str, Node]) -> tuple[Node, int]:
    options: list[Node] = []
    while True:
        node, at = _sequence(text, at, named)
        options.append(node)
        token = _TOKEN.match(text, at)
        if token is None or token["mark"] != "|":
            return (options[0] if len(options) == 1 else Either(tuple(options))), at
        at = token.end()


def _sequence(text: str, at: int, named: Mapping[str, Node]) -> tuple[Node, int]:
    parts: list[Node] = []
    while (token := _TOKEN.match(text, at)) is not None and token["mark"] not in {")", "]", "|"}:
        node, at = _one(text, token, named)
        if text[at:].lstrip().startswith(TYPED):
            node, at = Typed(node), text.index(TYPED, at) + len(TYPED)
        parts.append(node)
    if not parts:
        raise GrammarError(f"something is missing at {text[at:]!r} in the phrase {text!r}")
    return (parts[0] if len(parts) == 1 else Seq(tuple(parts))), at


def _one(text: str, token: re.Match[str], named: Mapping[str, Node]) -> tuple[Node, int]:
    if token["word"]:
        return Say(token["word"]), token.end()
    if token["rule"]:
        if token["rule"] not in named:
            raise GrammarError(f"<{token['rule']}> is not known in the phrase {text!r}")
        return named[token["rule"]], token.end()
    closing = {"(": ")", "[": "]"}[token["mark"]]
    node, at = _either(text, token.end(), named)
    end = _TOKEN.match(text, at)
    if end is None or end["mark"] != closing:
        raise GrammarError(f"a '{closing}' is missing in the phrase {text!r}")
    return (Maybe(node) if closing == "]" else node), end.end()
