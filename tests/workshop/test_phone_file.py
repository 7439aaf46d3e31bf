"""A phone's own file brought into the log: all of it, once, and nothing that was changed on the way."""

import hashlib

import pytest
from support.phone_files import PHOTO, SOUND, media_names, operations, saved_by_a_phone

from plytally.record.errors import ImportRefused
from plytally.workshop.bench import Bench
from plytally.workshop.phone_file import take_phone_file

PHOTO_NAME, SOUND_NAME = media_names()


@pytest.fixture
def bench(tmp_path):
    with Bench.open(tmp_path / "log") as opened:
        yield opened


def address(content):
    return hashlib.sha256(content).hexdigest()


def test_what_the_phone_had_noted_comes_in_with_its_photo(bench, tmp_path):
    taken = take_phone_file(bench, saved_by_a_phone(tmp_path / "phone.zip"))

    assert (taken.new, taken.known, taken.media) == (2, 0, 2)
    assert taken.refused == taken.damaged == ()
    (laid,) = [each for each in bench.log.state.order if each.entry.kind == "laid"]
    assert [bench.log.media.read(each.media) for each in laid.attachments] == [PHOTO]


def test_a_sound_that_nothing_told_of_waits_for_the_second_hearing(bench, tmp_path):
    take_phone_file(bench, saved_by_a_phone(tmp_path / "phone.zip"))

    (note,) = [each for each in bench.log.state.order if each.entry.kind == "note"]
    (sound,) = note.attachments
    assert (sound.media, sound.role, sound.size) == (address(SOUND), "sound", len(SOUND))
    assert [doubt.field for doubt in note.entry.doubts] == ["text"]


def test_written_words_that_were_not_gone_through_are_understood_here_at_their_own_time(bench, tmp_path):
    take_phone_file(bench, saved_by_a_phone(tmp_path / "phone.zip"))

    (mixed,) = [each for each in bench.log.state.order if each.entry.kind == "mixed"]
    assert str(mixed.entry.fields["mass"].amount) == "80"
    assert mixed.happened_millis == 1_773_500_000_000


def test_taking_a_file_twice_changes_nothing(bench, tmp_path):
    file = saved_by_a_phone(tmp_path / "phone.zip")
    take_phone_file(bench, file)
    head = bench.log.journal.head

    again = take_phone_file(bench, file)

    assert bench.log.journal.head == head
    assert (again.new, again.known, again.notes) == (0, 2, 0)


def test_what_the_phone_had_sent_before_is_known(bench, tmp_path):
    made = operations()
    bench.log.receive([made[0].as_json()], "phone-saved")

    taken = take_phone_file(bench, saved_by_a_phone(tmp_path / "phone.zip", made))

    assert (taken.new, taken.known) == (1, 1)


def test_a_photo_that_was_changed_on_the_way_is_named_and_the_rest_comes_in(bench, tmp_path):
    taken = take_phone_file(bench, saved_by_a_phone(tmp_path / "phone.zip", photo=PHOTO[:-1] + b"?"))

    assert taken.damaged == (PHOTO_NAME,)
    assert (taken.new, taken.media, taken.notes) == (2, 1, 2)
    assert address(PHOTO) not in bench.log.media


def test_a_file_of_an_earlier_app_without_its_lists_comes_in_too(bench, tmp_path):
    file = saved_by_a_phone(tmp_path / "phone.zip", leave_out=("waiting.jsonl", "media.jsonl"))

    taken = take_phone_file(bench, file)

    assert (taken.new, taken.media, taken.notes) == (2, 2, 0)


def test_an_operation_that_is_none_is_put_aside_and_told(bench, tmp_path):
    file = saved_by_a_phone(tmp_path / "phone.zip", more={"operations.jsonl": b'{"id": "no such thing"}\n'})

    taken = take_phone_file(bench, file)

    assert taken.new == 0
    assert len(taken.refused) == 1
    assert b"no such thing" in (bench.log.folder / "aside.jsonl").read_bytes()


@pytest.mark.parametrize(
    ("spoil", "why"),
    [
        pytest.param(
            {"leave_out": ("operations.jsonl",)}, "it is not what a phone saved", id="no operations"
        ),
        pytest.param({"more": {"operations.jsonl": b"{\n"}}, "operations.jsonl, line 1", id="no JSON"),
        pytest.param({"more": {"operations.jsonl": b"[" * 9000}}, "operations.jsonl, line 1", id="deep"),
        pytest.param({"more": {"operations.jsonl": b"3\n"}}, "wanted an object", id="no object"),
        pytest.param({"more": {"media/../../x.wav": b"x"}}, "no name that a phone gives", id="a way out"),
    ],
)
def test_what_is_no_file_of_a_phone_is_refused_and_nothing_is_kept(bench, tmp_path, spoil, why):
    with pytest.raises(ImportRefused, match=why):
        take_phone_file(bench, saved_by_a_phone(tmp_path / "phone.zip", **spoil))

    assert bench.log.journal.head.seq == 0


def test_a_file_that_was_cut_short_or_is_not_there_is_refused(bench, tmp_path):
    whole = saved_by_a_phone(tmp_path / "phone.zip").read_bytes()
    (tmp_path / "cut.zip").write_bytes(whole[:-40])

    for name in ("cut.zip", "none.zip"):
        with pytest.raises(ImportRefused, match=r"not whole|there is no file"):
            take_phone_file(bench, tmp_path / name)
