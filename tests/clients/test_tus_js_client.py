"""A client that others wrote, tus-js-client from npm, against the server as it runs, over wires that fail."""

import hashlib
import json
import random

import pytest
from support.wire import Wire

SIZE = 300_000


@pytest.fixture
def sound(tmp_path):
    """A recording's worth of bytes, the same each time."""
    file = tmp_path / "note.wav"
    file.write_bytes(random.Random(7).randbytes(SIZE))
    return file


def address_of(file):
    return hashlib.sha256(file.read_bytes()).hexdigest()


def kept(server, file):
    """Whether the shop computer holds the file's bytes, whole."""
    address = address_of(file)
    path = server.folder / "media" / address[:2] / address[2:4] / address
    return path.is_file() and path.read_bytes() == file.read_bytes()


def parts(server):
    return list((server.folder / "uploads").glob("*.part"))


def through(server, script):
    return Wire(int(server.desk.rpartition(":")[2]), script)


def endpoint(wire):
    return f"http://127.0.0.1:{wire.here}/api/uploads"


def test_an_upload_over_tls_by_a_client_that_trusts_the_shops_authority(server, sound, upload):
    trust = {"NODE_EXTRA_CA_CERTS": str(server.folder / "keys/authority.pem")}
    told = upload(f"{server.phones}/api/uploads", server.pair("phone-1"), sound, environment=trust)
    assert told["success"]
    assert told["requests"] == [["POST", 201]] + [["PATCH", 204]] * 5
    assert kept(server, sound)


def test_a_client_that_does_not_trust_the_authority_sends_nothing(server, sound, upload):
    told = upload(f"{server.phones}/api/uploads", server.pair("phone-1"), sound, retryDelays=[])
    assert "certificate" in told["error"]
    assert parts(server) == []


@pytest.mark.parametrize("algorithm", ["sha1", "sha256"])
def test_every_chunk_with_its_checksum(server, sound, upload, algorithm):
    told = upload(f"{server.desk}/api/uploads", server.pair("phone-1"), sound, checksum=algorithm)
    assert told["success"]
    assert kept(server, sound)


def test_an_app_that_was_killed_goes_on_where_it_was(server, sound, upload, tmp_path):
    token, urls = server.pair("phone-1"), str(tmp_path / "urls.json")
    first = upload(f"{server.desk}/api/uploads", token, sound, urls=urls, stopAfter=100_000)
    assert 100_000 <= first["stopped"] < SIZE
    second = upload(f"{server.desk}/api/uploads", token, sound, urls=urls)
    assert second["success"]
    assert second["requests"][0] == ["HEAD", 200]
    assert ["POST", 201] not in second["requests"]
    assert kept(server, sound)


def test_a_server_that_was_killed_goes_on_where_its_disk_is(server, sound, upload, tmp_path):
    token, urls = server.pair("phone-1"), str(tmp_path / "urls.json")
    first = upload(f"{server.desk}/api/uploads", token, sound, urls=urls, stopAfter=100_000)
    server.kill()
    assert parts(server)[0].stat().st_size >= first["stopped"]
    server.start()
    second = upload(f"{server.desk}/api/uploads", token, sound, urls=urls)
    assert second["success"]
    assert ["POST", 201] not in second["requests"]
    assert kept(server, sound)


@pytest.mark.parametrize("seed", range(4))
def test_a_wire_that_is_cut_at_random_bytes(server, sound, upload, seed):
    chance = random.Random(seed)

    def script(seen):
        return (
            ("cut", chance.randrange(seen.size))
            if seen.method == "PATCH" and chance.random() < 0.4
            else "pass"
        )

    with through(server, script) as wire:
        told = upload(endpoint(wire), server.pair("phone-1"), sound, chunk_size=32_000)
    assert told["success"]
    assert kept(server, sound)


def test_replies_that_are_lost(server, sound, upload):
    def script(seen):
        return "lose reply" if seen.method in {"PATCH", "POST"} and seen.number % 2 == 0 else "pass"

    with through(server, script) as wire:
        told = upload(endpoint(wire), server.pair("phone-1"), sound)
    assert told["success"]
    assert kept(server, sound)


def test_a_chunk_changed_on_the_way_is_told_by_its_checksum_and_sent_again(server, sound, upload):
    def script(seen):
        return ("flip", 1234) if (seen.method, seen.number) == ("PATCH", 1) else "pass"

    with through(server, script) as wire:
        told = upload(endpoint(wire), server.pair("phone-1"), sound, checksum="sha1")
    assert ["PATCH", 460] in told["requests"]
    assert told["success"]
    assert kept(server, sound)


def test_a_change_without_checksums_is_told_at_the_end_and_the_bytes_are_kept_apart(server, sound, upload):
    token = server.pair("phone-1")

    def script(seen):
        return ("flip", 1234) if (seen.method, seen.number) == ("PATCH", 1) else "pass"

    with through(server, script) as wire:
        told = upload(endpoint(wire), token, sound)
    assert told["status"] == 422
    assert json.loads(told["body"])["type"].endswith(":hash-mismatch")
    assert not kept(server, sound)
    (apart,) = (server.folder / "uploads/quarantine").glob("*.part")
    assert apart.stat().st_size == SIZE
    assert upload(f"{server.desk}/api/uploads", token, sound)["success"]
    assert kept(server, sound)


def test_what_is_here_already_costs_one_chunk_at_most(server, sound, upload):
    upload(f"{server.desk}/api/uploads", server.pair("phone-1"), sound)
    told = upload(f"{server.desk}/api/uploads", server.pair("phone-2"), sound)
    assert told["success"]
    assert [method for method, _ in told["requests"]].count("PATCH") == 1
    assert len(list((server.folder / "media").glob("??/??/*"))) == 1


def test_an_upload_ended_by_its_owner_leaves_nothing(server, sound, upload):
    told = upload(f"{server.desk}/api/uploads", server.pair("phone-1"), sound, terminateAfter=60_000)
    assert ["DELETE", 204] in told["requests"]
    assert parts(server) == []
    assert not kept(server, sound)


def test_a_revoked_phone_is_told_so(server, sound, upload):
    token = server.pair("phone-1")
    server.ask("DELETE", "/api/phones/phone-1", token=server.key)
    told = upload(f"{server.desk}/api/uploads", token, sound)
    assert told["status"] == 401
    assert json.loads(told["body"])["type"].endswith(":revoked")
