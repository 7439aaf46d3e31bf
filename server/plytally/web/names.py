"""What this machine is called on the shop's network, for its certificate and for the phone's address bar."""

from __future__ import annotations

import ipaddress
import re
import socket
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass

_LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")
_FAR = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))
"""Addresses for documentation (RFC 5737, RFC 3849): asked for the way out, never sent anything."""


class HostError(ValueError):
    """A host name that cannot be; the message says why and what is wanted."""


@dataclass(frozen=True)
class Names:
    """DNS names, the best first, and IP addresses by which phones may reach this machine."""

    dns: tuple[str, ...]
    addresses: tuple[str, ...]

    def __contains__(self, host: object) -> bool:
        return host in self.dns or host in self.addresses


def machine_names(wanted: str | None = None) -> Names:
    """The names and addresses of this machine on its networks, loopback included.

    `wanted` is the builder's own choice and comes first; without it the best name is the host's with
    `.local`, by which phones find it where the machine answers multicast DNS (RFC 6762).
    """
    host = _label(socket.gethostname())
    own = [checked(wanted)] if wanted else []
    dns = [name for name in own if not is_address(name)] + [f"{host}.local", host, "localhost"]
    addresses = [name for name in own if is_address(name)] + [
        *_way_out(),
        *_resolved(host),
        "127.0.0.1",
        "::1",
    ]
    return Names(_unique(dns), _unique(filter(_reachable, addresses)))


def best_host(names: Names, wanted: str | None = None) -> str:
    """The name to put before a phone: the builder's choice, else one this machine resolves, else an address.

    A name is better than an address: what a phone keeps belongs to the name it was opened by, and an
    address may change with the next lease.
    """
    if wanted:
        return checked(wanted)
    for name in names.dns:
        if name != "localhost" and _resolves_to(name, names.addresses):
            return name
    for address in names.addresses:
        if not ipaddress.ip_address(address).is_loopback:
            return address
    return "localhost"


def in_url(host: str) -> str:
    """A host as it stands in a URL: an IPv6 address in brackets.

    >>> in_url("fd00::7"), in_url("shop.local")
    ('[fd00::7]', 'shop.local')
    """
    return f"[{host}]" if ":" in host else host


def checked(name: str) -> str:
    """A host name or address in lower case; HostError if it is neither."""
    plain = name.strip().lower().rstrip(".")
    if is_address(plain):
        return str(ipaddress.ip_address(plain))
    if len(plain) > 253 or not all(_LABEL.fullmatch(label) for label in plain.split(".")):
        raise HostError(
            f"{name!r} is not a host name: wanted letters, digits, '-' and dots, as in shop.local"
        )
    return plain


def is_address(text: str) -> bool:
    """Whether `text` is an IP address.

    >>> is_address("192.168.1.7"), is_address("shop.local")
    (True, False)
    """
    try:
        return ipaddress.ip_address(text) is not None
    except ValueError:
        return False


def _label(host: str) -> str:
    """The host's name as one DNS label, whatever its owner typed."""
    plain = re.sub(r"[^a-z0-9-]+", "-", host.split(".")[0].lower()).strip("-")[:63]
    return plain or "shop"


def _way_out() -> Iterable[str]:
    """The addresses from which this machine would send; no packet is sent to find out."""
    for family, far in _FAR:
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((far, 9))
            yield probe.getsockname()[0]


def _resolved(host: str) -> Iterable[str]:
    try:
        found = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)
    except OSError:
        return
    yield from (str(entry[4][0]).split("%")[0] for entry in found)


def _resolves_to(name: str, addresses: Iterable[str]) -> bool:
    lan = {address for address in addresses if not ipaddress.ip_address(address).is_loopback}
    return bool(lan.intersection(_resolved(name)))


def _reachable(address: str) -> bool:
    """A phone uses an address of a private network or of this machine; others are not for the certificate."""
    found = ipaddress.ip_address(address)
    return found.is_private and not found.is_unspecified


def _unique(items: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(items))
