"""Push relays of the builder's own, on the own network: the few origins to which calls may go besides.

By default a phone can name no address but https: on the internet, so that it cannot make the shop computer
talk to what else is on the network. Whoever runs a push service of their own (RFC 8030) names its origin;
then exactly that one is allowed, and nothing beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from urllib.parse import urlsplit

from plytally.remind.sender import endpoint_problem

LOOPBACK = ("127.0.0.1", "localhost", "::1")
WANTED = "write an origin, such as https://push.home.arpa:8444"
_PORTS = {"https": 443, "http": 80}


def origin_of(text: str) -> str:
    """An origin as it is compared (RFC 6454): "https://push.home.arpa:8444". ValueError says what is wrong.

    http: is taken on this machine only, where nobody can listen in between.
    """
    parts = urlsplit(text.strip())
    if parts.scheme not in _PORTS or not parts.hostname or parts.username is not None:
        raise ValueError(f"{text!r} is no origin; {WANTED}")
    if parts.path not in ("", "/") or parts.query or parts.fragment:
        raise ValueError(f"{text!r} has more than an origin; {WANTED}, without a path")
    if parts.scheme == "http" and parts.hostname not in LOOPBACK:
        raise ValueError(f"{text!r} is not encrypted: http: is for a relay on this very machine; {WANTED}")
    return _origin(text.strip())


def _origin(url: str) -> str:
    parts = urlsplit(url)
    return f"{parts.scheme}://{parts.hostname}:{parts.port or _PORTS.get(parts.scheme, 0)}"


def allowing(relays: Iterable[str]) -> Callable[[str], str]:
    """What `endpoint_problem` says, but for endpoints at these origins (as `origin_of` gives them)."""
    named = frozenset(relays)

    def problem(endpoint: str) -> str:
        try:
            parts = urlsplit(endpoint)
            at_relay = parts.username is None and _origin(endpoint) in named
        except ValueError:
            at_relay = False
        return "" if at_relay else endpoint_problem(endpoint)

    return problem
