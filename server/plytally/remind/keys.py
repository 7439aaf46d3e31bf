"""The key by which push services know this shop (VAPID, RFC 8292): made once, private, never copied out.

    DATA/keys/push.pem      mode 0600; neither backups nor exports take it along

With another key every phone has to subscribe anew, which the app does by itself at its next start.
"""

from __future__ import annotations

import base64
import threading
from pathlib import Path

from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from py_vapid import Vapid02

from plytally.store.disk import RealDisk, ensure_folder, replace_file

NAME = "push.pem"
_making = threading.Lock()


class PushKeyError(Exception):
    """The key for calls cannot be read; the message says what to do."""


class PushKey:
    """The shop's key; `public` is what a phone subscribes with: the uncompressed point, base64url."""

    def __init__(self, key: ec.EllipticCurvePrivateKey) -> None:
        self.vapid = Vapid02(key)
        point = key.public_key().public_bytes(
            serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint
        )
        self.public = base64.urlsafe_b64encode(point).rstrip(b"=").decode("ascii")


def push_key(folder: Path) -> PushKey:
    """The key of a data folder, made durably at the first call. PushKeyError if it cannot be read."""
    path = folder / "keys" / NAME
    with _making:
        if not path.exists():
            ensure_folder(RealDisk(), path.parent)
            replace_file(RealDisk(), path, _pem(ec.generate_private_key(ec.SECP256R1())))
        return PushKey(_read(path))


def _read(path: Path) -> ec.EllipticCurvePrivateKey:
    again = f"move {path} away: a new one is made, and phones subscribe anew by themselves"
    try:
        key = serialization.load_pem_private_key(path.read_bytes(), password=None)
    except (OSError, ValueError, TypeError) as problem:
        raise PushKeyError(f"{path} cannot be read as a key ({problem}); {again}") from problem
    if not isinstance(key, ec.EllipticCurvePrivateKey) or not isinstance(key.curve, ec.SECP256R1):
        raise PushKeyError(f"{path} is no P-256 key; {again}")
    return key


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
