"""The model that phones are offered: what it is, and its archive in ranges, under hashes."""

import hashlib

import pytest
from support.shops import TestShop

from plytally.speech.phone_model import Pack, archive

CONTENT = bytes(range(256)) * 40


class Offered:
    """A pack that lies there already; what it has no word for is told, not looked up."""

    def __init__(self, into):
        address = hashlib.sha256(CONTENT).hexdigest()
        pieces = tuple(
            hashlib.sha256(CONTENT[at : at + 4096]).hexdigest() for at in range(0, len(CONTENT), 4096)
        )
        self.into, self.pack = into, Pack("small", address, len(CONTENT), 4096, pieces)
        (into / archive(address)).write_bytes(CONTENT)

    def lacks(self, words):
        return sorted(set(words) & {"flox"})


@pytest.fixture
def offering(tmp_path):
    shop = TestShop(tmp_path / "data", phone_model=Offered(tmp_path))
    yield shop
    shop.close()


def test_a_shop_without_a_model_offers_none(shop):
    answer = shop.phone().ask("GET", "/api/model")
    assert answer.json == {"model": None, "preparing": False}


def test_a_phone_is_told_what_the_model_is_and_which_words_it_lacks(offering):
    told = offering.phone().ask("GET", "/api/model").json["model"]
    assert (told["name"], told["size"], told["lacks"]) == ("small", len(CONTENT), ["flox"])


def test_the_pieces_come_by_ranges_and_are_what_was_told(offering):
    phone = offering.phone()
    told = phone.ask("GET", "/api/model").json["model"]
    for number, wanted in enumerate(told["pieces"]):
        first = number * told["piece"]
        last = min(told["size"], first + told["piece"]) - 1
        ranged = {"Range": f"bytes={first}-{last}"}
        with phone.ask("GET", f"/model/{told['address']}.tar.gz", headers=ranged) as answer:
            assert answer.status_code == 206
            assert "Content-Encoding" not in answer.headers, "a browser would unpack half an archive"
            assert hashlib.sha256(answer.data).hexdigest() == wanted


def test_another_address_is_no_file_of_this_shop(offering):
    answer = offering.phone().ask("GET", f"/model/{'0' * 64}.tar.gz")
    assert answer.status_code == 404


def policy(shop, path):
    with shop.nobody.get(path) as answer:
        return answer.headers["Content-Security-Policy"].split()


def test_only_the_worker_of_vosk_may_use_eval(shop):
    assert any("'unsafe-eval'" in part for part in policy(shop, "/engine/vosk-0.0.3/vosk.worker.js"))
    assert not any(part.startswith("'unsafe-eval'") for part in policy(shop, "/engine/vosk-0.0.3/vosk.wasm"))
    assert not any(part.startswith("'unsafe-eval'") for part in policy(shop, "/"))
