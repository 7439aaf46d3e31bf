"""A push service on loopback that really opens what it is sent, checks who signed it, and answers as told."""

import base64
import json
import threading
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import urlsplit

import http_ece
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from plytally.clock import MachineClock


def now_s():
    return MachineClock().now_millis() / 1000


def b64(content):
    return base64.urlsafe_b64encode(content).rstrip(b"=").decode()


def unb64(text):
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def signed(token, key):
    """The claims of a JWT by ES256, checked with the key that stands beside it (RFC 8292, 3)."""
    head, claims, signature = token.split(".")
    raw = unb64(signature)
    der = encode_dss_signature(int.from_bytes(raw[:32]), int.from_bytes(raw[32:]))
    point = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), unb64(key))
    point.verify(der, f"{head}.{claims}".encode(), ec.ECDSA(hashes.SHA256()))
    assert json.loads(unb64(head))["alg"] == "ES256"
    return json.loads(unb64(claims))


@dataclass
class Pushed:
    """One message that arrived, opened."""

    told: dict
    headers: dict
    claims: dict
    key: str
    path: str
    at: float


@dataclass
class PushService:
    """Listens on 127.0.0.1. `answers` are statuses, or (status, headers), for the next requests; then 201.

    "hang" keeps a request without an answer until the service ends. A message that is not signed and
    encrypted as it must be is answered 400 and kept in `wrong`.
    """

    answers: list = field(default_factory=list)
    got: list = field(default_factory=list)
    wrong: list = field(default_factory=list)
    asked: int = 0

    def __enter__(self):
        self.secret = ec.generate_private_key(ec.SECP256R1())
        self.auth = b"sixteen bytes ok"
        self.ending = threading.Event()
        self.mutex = threading.Lock()
        service = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self):
                service.take(self)

            def log_message(self, *_):
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        self.thread = threading.Thread(target=self.server.serve_forever, kwargs={"poll_interval": 0.05})
        self.thread.start()
        return self

    def __exit__(self, *_):
        self.ending.set()
        self.server.shutdown()
        self.server.server_close()
        self.thread.join()

    @property
    def origin(self):
        return f"http://127.0.0.1:{self.server.server_port}"

    def subscription(self, name="one"):
        """What a browser would give after subscribing here."""
        point = self.secret.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
        return {
            "endpoint": f"{self.origin}/push/{name}",
            "keys": {"p256dh": b64(point), "auth": b64(self.auth)},
        }

    def take(self, request):
        body = request.rfile.read(int(request.headers["Content-Length"]))
        with self.mutex:
            self.asked += 1
            answer = self.answers.pop(0) if self.answers else 201
        if answer == "hang":
            self.ending.wait()
            return
        status, headers = answer if isinstance(answer, tuple) else (answer, {})
        if status == 201:
            try:
                self.got.append(self.opened(request, body))
            except (AssertionError, InvalidSignature, ValueError, KeyError, http_ece.ECEException) as problem:
                self.wrong.append(repr(problem))
                status = 400
        request.send_response_only(status)
        for name, value in headers.items():
            request.send_header(name, value)
        request.send_header("Content-Length", "0")
        request.end_headers()

    def opened(self, request, body):
        scheme, _, parts = request.headers["Authorization"].partition(" ")
        assert scheme == "vapid", scheme
        told = dict(part.strip().split("=", 1) for part in parts.split(","))
        claims = signed(told["t"], told["k"])
        assert claims["aud"] == self.origin, claims
        assert now_s() < claims["exp"] <= now_s() + 24 * 3600
        assert claims["sub"].startswith("mailto:")
        assert request.headers["Content-Encoding"] == "aes128gcm"
        text = http_ece.decrypt(body, private_key=self.secret, auth_secret=self.auth, version="aes128gcm")
        return Pushed(
            json.loads(text),
            {name.lower(): value for name, value in request.headers.items()},
            claims,
            told["k"],
            urlsplit(request.path).path,
            now_s(),
        )
