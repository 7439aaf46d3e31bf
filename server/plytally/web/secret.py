"""Secrets: made by the operating system, kept as digests, compared without telling how far they agreed."""

from __future__ import annotations

import hashlib
import hmac
import secrets

CODE_LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""For codes that people type: no I, L, O or U."""

CODE_LENGTH = 8
_READ_AS = str.maketrans("ILO", "110")


def fresh_secret() -> str:
    """256 random bits as URL-safe text."""
    return secrets.token_urlsafe(32)


def fresh_code() -> str:
    """40 random bits as a code to type, such as K7QM-2W9F."""
    text = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    return f"{text[:4]}-{text[4:]}"


def plain_code(typed: str) -> str:
    """A code as typed, in its one spelling: any case, spaces or hyphens, O for 0, I or L for 1.

    >>> plain_code("k7qm 2wof")
    'K7QM2W0F'
    """
    return "".join(typed.upper().split()).replace("-", "").translate(_READ_AS)


def digest(secret: str) -> str:
    """What is kept of a secret with 256 random bits: its SHA-256, which cannot be guessed back."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def same(one: str, other: str) -> bool:
    """Whether two texts are equal, in a time that does not depend on where they differ."""
    return hmac.compare_digest(one.encode("utf-8", "surrogatepass"), other.encode("utf-8", "surrogatepass"))
