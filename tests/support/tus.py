"""The requests of a client of the tus protocol."""

import base64
import hashlib

SOUND = b"RIFF" + bytes(range(256)) * 40
CHUNK = "application/offset+octet-stream"
TUS = {"Tus-Resumable": "1.0.0"}


def sha(content):
    return hashlib.sha256(content).hexdigest()


def b64(content):
    return base64.b64encode(content).decode()


def create(asker, content=SOUND, address=None, **headers):
    metadata = f"sha256 {b64((address or sha(content)).encode())},role {b64(b'sound')}"
    fixed = {**TUS, "Upload-Length": str(len(content)), "Upload-Metadata": metadata}
    return asker.ask("POST", "/api/uploads", headers={**fixed, **headers})


def patch(asker, place, offset, chunk, **headers):
    fixed = {**TUS, "Upload-Offset": str(offset)}
    return asker.ask("PATCH", place, data=chunk, content_type=CHUNK, headers={**fixed, **headers})


def head(asker, place):
    return asker.ask("HEAD", place, headers=TUS)
