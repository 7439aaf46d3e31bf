"""Web Push by its standards' own examples: message encryption, content encoding, who signed it."""

import json
from pathlib import Path

import http_ece
import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric import ec
from py_vapid import Vapid02
from support.push_service import b64, signed, unb64

VECTORS = json.loads((Path(__file__).parent / "webpush-vectors.json").read_text())
MESSAGE, PLAIN, SHORT, VAPID = (
    VECTORS[name] for name in ("rfc8291_section5", "rfc8188_3_1", "rfc8188_3_2", "rfc8292")
)


def private(text):
    return ec.derive_private_key(int.from_bytes(unb64(text)), ec.SECP256R1())


def test_rfc_8291_section_5_a_message_is_encrypted_to_the_printed_bytes():
    made = http_ece.encrypt(
        MESSAGE["plaintext"].encode(),
        salt=unb64(MESSAGE["salt"]),
        private_key=private(MESSAGE["as_private"]),
        dh=unb64(MESSAGE["ua_public"]),
        auth_secret=unb64(MESSAGE["auth_secret"]),
        version="aes128gcm",
    )
    assert b64(made) == MESSAGE["body"]


def test_rfc_8291_section_5_the_printed_bytes_are_opened_by_the_phones_key():
    opened = http_ece.decrypt(
        unb64(MESSAGE["body"]),
        private_key=private(MESSAGE["ua_private"]),
        auth_secret=unb64(MESSAGE["auth_secret"]),
        version="aes128gcm",
    )
    assert opened.decode() == MESSAGE["plaintext"]


@pytest.mark.parametrize(
    "vector", [pytest.param(PLAIN, id="RFC 8188 3.1"), pytest.param(SHORT, id="RFC 8188 3.2, two records")]
)
def test_the_content_encoding_is_opened(vector):
    opened = http_ece.decrypt(unb64(vector["body"]), key=unb64(vector["ikm"]), version="aes128gcm")
    assert opened.decode() == vector["plaintext"]


def test_rfc_8188_3_1_the_content_encoding_is_made_to_the_printed_bytes():
    made = http_ece.encrypt(
        PLAIN["plaintext"].encode(), key=unb64(PLAIN["ikm"]), salt=unb64(PLAIN["salt"]), version="aes128gcm"
    )
    assert b64(made) == PLAIN["body"]


def test_rfc_8292_the_printed_token_is_signed_by_the_printed_key():
    claims = signed(VAPID["t"], VAPID["k"])
    assert (claims["aud"], claims["exp"], claims["sub"]) == (VAPID["aud"], VAPID["exp"], VAPID["sub"])


def test_rfc_8292_a_token_changed_by_one_letter_is_refused():
    head, claims, signature = VAPID["t"].split(".")
    with pytest.raises(InvalidSignature):
        signed(f"{head}.{claims}A.{signature}", VAPID["k"])


def test_rfc_8292_the_library_that_signs_for_us_makes_such_a_token():
    vapid = Vapid02(ec.generate_private_key(ec.SECP256R1()))
    made = vapid.sign({"aud": VAPID["aud"], "sub": VAPID["sub"], "exp": 4102444800})["Authorization"]
    parts = dict(part.strip().split("=", 1) for part in made.removeprefix("vapid ").split(","))
    assert signed(parts["t"], parts["k"])["aud"] == VAPID["aud"]
