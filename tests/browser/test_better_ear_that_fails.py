"""A model of the shop computer's that comes damaged, is gone, is no model, does not fit, or is replaced.

The archives are small and hold no model: what is shown is that the phone hears on with the embedded engine.
"""

import contextlib
import hashlib

import pytest
from support.browser_voice import BEFORE, seconds
from support.shop_computer import ShopComputer

from plytally.speech.phone_model import Pack, archive

PIECE = 4096
LAID = "laid two plies bid on the right elevator spar aft face"
# What a phone with little memory does (†): the engine's code runs, and gets no room.
NO_ROOM = b"""
const none = () => { throw new RangeError("could not allocate memory"); };
WebAssembly.Memory = class { constructor() { none(); } };
WebAssembly.instantiate = WebAssembly.instantiateStreaming = async () => none();
"""
ENGINE = "/engine/vosk-0.0.3/vosk.worker.js"


class Packed:
    """An archive on offer, in three pieces, of bytes that are no model."""

    def __init__(self, into, name, seed):
        content = bytes((seed + at * at) % 256 for at in range(2 * PIECE + 100))
        address = hashlib.sha256(content).hexdigest()
        pieces = [content[at : at + PIECE] for at in range(0, len(content), PIECE)]
        hashes = tuple(hashlib.sha256(piece).hexdigest() for piece in pieces)
        self.into, self.pack = into, Pack(name, address, len(content), PIECE, hashes)
        (into / archive(address)).write_bytes(content)

    def lacks(self, _words):
        return []


@pytest.fixture
def offering(tmp_path):
    shop = ShopComputer(tmp_path / "shop", phone_model=Packed(tmp_path, "small", 1))
    yield shop
    shop.close()


@pytest.fixture
def phone(offering, phones):
    made = phones(offering.url, says=LAID)
    made.pair(offering.code())
    made.until_it_understands()
    made.open("Shop")
    made.page.get_by_text("has a better ear: small").wait_for()
    return made


def fetch(phone):
    phone.page.get_by_role("button", name="Fetch it").click()


def whole(answer):
    with contextlib.closing(answer):
        return b"".join(answer)


def with_another_end(body):
    return body[:-1] + bytes([body[-1] ^ 1])


def bend_pieces(shop, answer=None):
    """Write down which pieces are asked for; `answer(number, headers, body)` may change what goes out."""
    shop.pieces_asked = []

    def bend(environ, start_response, app):
        if not environ["PATH_INFO"].startswith("/model/"):
            return None
        number = int(environ["QUERY_STRING"].partition("piece=")[2])
        shop.pieces_asked.append(number)
        if answer is None or (bent := answer(number)) is None:
            return None
        if isinstance(bent, str):
            start_response(bent, [("Content-Type", "text/plain"), ("Content-Length", "0")])
            return [b""]
        return [bent(whole(app(environ, start_response)))]

    shop.bend = bend


def heard_with(phone):
    """The engine that heard a note that is spoken now."""
    phone.open("Bench")
    before = len(phone.kept("operations"))
    phone.speak(BEFORE + seconds(LAID, phone.profile.parent) + 0.6)
    phone.until_gone_through()
    made = [row["operation"] for row in phone.kept("operations")][before:]
    return [note["body"]["hearing"]["engine"] for note in made if note["act"] == "note"]


def pieces_kept(phone):
    """The addresses of the archives of which pieces lie on the phone, one for each piece."""
    urls = phone.ask(
        "caches.open('plytally-model').then((c) => c.keys()).then((all) => all.map((r) => r.url))"
    )
    return sorted(url.partition("/model/")[2].partition(".tar.gz")[0] for url in urls)


def test_a_damaged_piece_is_not_kept_and_only_what_is_missing_is_fetched_again(offering, phone):
    bend_pieces(offering, lambda number: with_another_end if number == 1 else None)
    fetch(phone)
    phone.page.get_by_text("a piece of it was altered on the way").wait_for()
    assert offering.pieces_asked == [0, 1]
    assert len(pieces_kept(phone)) == 1
    assert phone.ask("performance.getEntriesByName('ear ready').length") == 1, "it hears on as it did"

    bend_pieces(offering)
    fetch(phone)
    phone.page.get_by_text("does not load here").wait_for()  # it is whole now, and no model
    assert offering.pieces_asked == [1, 2]


def test_a_model_that_cannot_be_given_is_said_and_can_be_asked_for_again(offering, phone):
    bend_pieces(offering, lambda number: "404 Not Found" if number == 2 else None)
    fetch(phone)
    phone.page.get_by_text("the shop computer answered 404").wait_for()
    assert phone.page.get_by_role("button", name="Fetch it").is_enabled()
    assert phone.page.get_by_text("The embedded engine hears").count() == 0, "nothing had changed yet"
    bend_pieces(offering)
    fetch(phone)
    phone.page.get_by_text("does not load here").wait_for()
    assert offering.pieces_asked == [2]


def test_where_memory_is_short_the_embedded_engine_hears_and_the_model_can_be_let_go(offering, phone):
    def bend(environ, start_response, app):
        if environ["PATH_INFO"] != ENGINE:
            return None
        body = NO_ROOM + whole(app(environ, lambda *_: None))
        kind = [("Content-Type", "text/javascript"), ("Content-Length", str(len(body)))]
        start_response("200 OK", kind)
        return [body]

    offering.bend = bend
    fetch(phone)
    phone.page.get_by_text("does not load here: this phone has too little memory for it").wait_for()
    assert heard_with(phone) == ["soundswallower en-us"]

    phone.open("Shop")
    phone.page.get_by_role("button", name="Hear without it").click()
    phone.page.get_by_text("does not load here").wait_for(state="detached")
    assert not phone.ask("caches.has('plytally-model')")
    assert phone.page.get_by_role("button", name="Fetch it").is_enabled()
    phone.page.reload()
    phone.until_it_understands()
    phone.open("Shop")
    phone.page.get_by_text("has a better ear: small").wait_for()
    assert phone.page.get_by_text("does not load here").count() == 0


def test_a_new_model_takes_the_place_of_the_old_one_and_of_all_its_pieces(offering, phone, tmp_path):
    old = offering.model.pack.address
    fetch(phone)
    phone.page.get_by_text("does not load here").wait_for()
    assert pieces_kept(phone) == [old] * 3

    offering.stop()
    newer = Packed(tmp_path, "newer", 7)
    offering.model = offering.more["phone_model"] = newer
    offering.start()
    phone.page.reload()
    phone.until_it_understands()
    phone.open("Shop")
    phone.page.get_by_text("has a better ear: newer").wait_for()
    fetch(phone)
    phone.page.get_by_text("has a better ear: newer").wait_for(state="detached")
    assert pieces_kept(phone) == [newer.pack.address] * 3
