"""A model packed for phones: the same files give the same archive, in pieces that are each compared."""

import hashlib
import struct
import tarfile

import pytest

from plytally.speech import phone_model
from plytally.speech.phone_model import PhoneModel, archive, pack
from plytally.speech.port import ModelIncomplete


def graph():
    """The head of a small OpenFst file of a kind whose size is not foretold."""
    texts = b"".join(struct.pack("<i", len(text)) + text for text in (b"vector", b"standard"))
    return struct.pack("<i", 2125659606) + texts + struct.pack("<iiQqqq", 2, 0, 0, 0, 1, 0)


@pytest.fixture
def model(tmp_path):
    folder = tmp_path / "small"
    contents = {
        "am/final.mdl": b"acoustics" * 100_000,
        "conf/mfcc.conf": b"--use-energy=false\n--num-mel-bins=40\n--num-ceps=40\n",
        "graph/phones/word_boundary.int": b"1 begin\n",
        "graph/HCLr.fst": graph(),
        "graph/Gr.fst": graph(),
    }
    for name, content in contents.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def test_the_same_files_give_the_same_archive(model, tmp_path):
    one, other = pack(model, tmp_path / "one"), pack(model, tmp_path / "other")
    assert one == other
    assert (tmp_path / "one" / archive(one.address)).read_bytes() == (
        tmp_path / "other" / archive(one.address)
    ).read_bytes()


def test_what_was_packed_is_not_packed_again(model, tmp_path):
    made = pack(model, tmp_path / "packs")
    file = tmp_path / "packs" / archive(made.address)
    before = file.stat().st_mtime_ns
    assert pack(model, tmp_path / "packs") == made
    assert file.stat().st_mtime_ns == before


def test_another_model_has_another_address(model, tmp_path):
    before = pack(model, tmp_path / "packs")
    (model / "am/final.mdl").write_bytes(b"other acoustics")
    assert pack(model, tmp_path / "packs").address != before.address


def test_the_pieces_are_the_archive(model, tmp_path, monkeypatch):
    monkeypatch.setattr(phone_model, "PIECE", 1000)
    made = pack(model, tmp_path / "packs")
    content = (tmp_path / "packs" / archive(made.address)).read_bytes()
    pieces = [content[at : at + made.piece] for at in range(0, made.size, made.piece)]
    assert len(pieces) > 1
    assert tuple(hashlib.sha256(piece).hexdigest() for piece in pieces) == made.pieces
    assert hashlib.sha256(content).hexdigest() == made.address


def test_the_archive_holds_the_files_under_one_folder(model, tmp_path):
    made = pack(model, tmp_path / "packs")
    with tarfile.open(tmp_path / "packs" / archive(made.address)) as tar:
        names = tar.getnames()
    assert {name.split("/")[0] for name in names} == {"model"}
    assert len(names) == 5


def test_half_a_model_is_not_packed_and_not_offered(model, tmp_path):
    (model / "graph/Gr.fst").unlink()
    with pytest.raises(ModelIncomplete, match=r"Gr\.fst is missing"):
        pack(model, tmp_path / "packs")
    offered = PhoneModel(model, tmp_path / "packs")
    offered.start()
    offered.wait()
    assert offered.pack is None


def test_a_link_that_leads_out_of_the_model_hands_phones_nothing(model, tmp_path):
    (tmp_path / "secret").write_text("not for phones")
    (model / "conf/extra.conf").symlink_to(tmp_path / "secret")

    made = pack(model, tmp_path / "packs")

    with tarfile.open(tmp_path / "packs" / archive(made.address)) as packed:
        assert "model/conf/extra.conf" not in packed.getnames()
