"""Sounds and photos by the SHA-256 of their bytes."""

import hashlib
import threading

import pytest
from support.disks import FullDisk, IllDisk

from plytally.store.errors import MediaDamaged, MediaMissing, MediaRefused, StoreBroken, StoreFull
from plytally.store.media import MediaFolder

SOUND = b"RIFF" + bytes(range(256)) * 40
ADDRESS = hashlib.sha256(SOUND).hexdigest()


@pytest.fixture
def media(tmp_path):
    return MediaFolder(tmp_path / "media")


def files(tmp_path):
    return [path for path in (tmp_path / "media").rglob("*") if path.is_file()]


def test_what_is_kept_is_at_the_address_of_its_content(media, tmp_path):
    assert media.keep(SOUND) == ADDRESS
    assert ADDRESS in media
    assert media.read(ADDRESS) == SOUND
    assert files(tmp_path) == [tmp_path / "media" / ADDRESS[:2] / ADDRESS[2:4] / ADDRESS]


def test_the_same_bytes_again_are_not_written_again(media, tmp_path):
    media.keep(SOUND)
    inode = media.path(ADDRESS).stat().st_ino
    media.keep(SOUND)
    assert (media.path(ADDRESS).stat().st_ino, len(files(tmp_path))) == (inode, 1)


def test_a_known_address_is_held_against_the_bytes(media):
    assert media.keep(SOUND, ADDRESS) == ADDRESS
    with pytest.raises(MediaRefused, match="was changed on the way, send it again"):
        media.keep(SOUND + b"x", ADDRESS)


def test_a_finished_upload_is_moved_in(media, tmp_path):
    upload = tmp_path / "upload"
    upload.write_bytes(SOUND)
    assert media.take(upload, ADDRESS) == ADDRESS
    assert media.read(ADDRESS) == SOUND
    assert not upload.exists()


def test_an_upload_that_is_not_what_it_says_stays_where_it_is(media, tmp_path):
    upload = tmp_path / "upload"
    upload.write_bytes(SOUND[:-1])
    with pytest.raises(MediaRefused):
        media.take(upload, ADDRESS)
    assert upload.read_bytes() == SOUND[:-1]
    assert ADDRESS not in media


def test_taking_what_is_here_already_is_no_harm(media, tmp_path):
    media.keep(SOUND)
    upload = tmp_path / "upload"
    upload.write_bytes(SOUND)
    media.take(upload, ADDRESS)
    assert list(media) == [ADDRESS]


def test_what_is_not_here_is_said_to_be_missing(media):
    assert ADDRESS not in media
    with pytest.raises(MediaMissing, match="the phone that made it"):
        media.read(ADDRESS)


def test_bytes_that_changed_are_never_handed_out(media):
    media.keep(SOUND)
    media.path(ADDRESS).write_bytes(SOUND[:-1] + b"?")
    with pytest.raises(MediaDamaged, match="no longer what was kept"):
        media.read(ADDRESS)
    assert list(media.damaged()) == [ADDRESS]


def test_keeping_the_right_bytes_again_mends_damaged_ones(media):
    media.keep(SOUND)
    media.path(ADDRESS).write_bytes(b"")
    media.keep(SOUND)
    assert (media.read(ADDRESS), list(media.damaged())) == (SOUND, [])


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("../../../etc/passwd", id="path upwards"),
        pytest.param("/etc/passwd", id="absolute path"),
        pytest.param(ADDRESS.upper(), id="upper case"),
        pytest.param(ADDRESS[:-1], id="too short"),
        pytest.param(ADDRESS + "\n", id="line end behind"),
        pytest.param(ADDRESS[:-1] + "\0", id="zero byte"),
        pytest.param("", id="nothing"),
    ],
)
def test_a_name_that_is_no_address_leads_nowhere(media, name):
    for use in (media.read, media.path, media.__contains__, lambda bad: media.keep(SOUND, bad)):
        with pytest.raises(MediaRefused, match="is not an address"):
            use(name)


@pytest.mark.parametrize("room", [0, 5000])
def test_a_full_disk_keeps_nothing_and_says_so(tmp_path, room):
    media = MediaFolder(tmp_path / "media", FullDisk(room))
    with pytest.raises(StoreFull, match="make room"):
        media.keep(SOUND)
    assert (ADDRESS in media, list(media)) == (False, [])
    assert sum(path.stat().st_size for path in files(tmp_path)) == 0


def test_a_disk_error_is_told(tmp_path):
    with pytest.raises(StoreBroken, match="check the disk"):
        MediaFolder(tmp_path / "media", IllDisk("sync")).keep(SOUND)


def test_left_over_pieces_are_no_media(media):
    media.keep(SOUND)
    media.path(ADDRESS).with_name("piece.new").write_bytes(b"half")
    assert list(media) == [ADDRESS]


def test_many_threads_with_the_same_sound_keep_it_once_and_whole(media):
    threads = [threading.Thread(target=media.keep, args=(SOUND,)) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (list(media), media.read(ADDRESS)) == ([ADDRESS], SOUND)
