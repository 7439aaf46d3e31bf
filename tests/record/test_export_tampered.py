"""An export that was tampered with makes nothing, and says where it was."""

import os

import pytest
from support.exports import files_in, taken

from plytally.core.schedule import ScheduleError
from plytally.record.errors import ImportRefused
from plytally.record.importing import MOST_LINE


@pytest.fixture
def copied(sent, tmp_path):
    """An export to be tampered with."""
    for name, content in files_in(sent).items():
        path = tmp_path / "sent" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return tmp_path / "sent"


def the_log(folder):
    return folder / "log.jsonl"


def change_a_digit(folder):
    content = the_log(folder).read_bytes()
    the_log(folder).write_bytes(content.replace(b'"plies":3', b'"plies":9', 1))


def drop_a_line(folder):
    lines = the_log(folder).read_bytes().splitlines(keepends=True)
    the_log(folder).write_bytes(b"".join(lines[:2] + lines[3:]))


def cut_the_end(folder):
    lines = the_log(folder).read_bytes().splitlines(keepends=True)
    the_log(folder).write_bytes(b"".join(lines[:-1]))


def tear_the_end(folder):
    the_log(folder).write_bytes(the_log(folder).read_bytes()[:-20])


def a_line_without_end(folder):
    the_log(folder).write_bytes(b"{" * (MOST_LINE + 10))


def nested_without_end(folder):
    the_log(folder).write_bytes(b"[" * 100_000 + b"\n")


def a_medium(folder):
    return next((folder / "media").iterdir())


def change_a_photo(folder):
    a_medium(folder).write_bytes(b"another photo")


def lose_a_photo(folder):
    a_medium(folder).unlink()


def name_outside(folder):
    (folder / "media" / "..%2f..%2fescape").write_bytes(b"x")


def backslash_name(folder):
    (folder / "media" / "..\\..\\escape.jpg").write_bytes(b"x")


def link_to_secret(folder):
    path = a_medium(folder)
    path.unlink()
    path.symlink_to("/etc/passwd")


def log_is_a_link(folder):
    the_log(folder).unlink()
    the_log(folder).symlink_to("/etc/passwd")


def media_is_a_link(folder):
    os.rename(folder / "media", folder / "elsewhere")
    (folder / "media").symlink_to(folder / "elsewhere")


def a_pipe(folder):
    path = a_medium(folder)
    path.unlink()
    os.mkfifo(path)


def a_huge_photo(folder):
    with a_medium(folder).open("wb") as file:
        file.truncate(129 * 1024 * 1024)  # sparse: it takes no room on the disk


def twice(folder):
    path = a_medium(folder)
    path.with_suffix(".png").write_bytes(path.read_bytes())


def no_about(folder):
    (folder / "about.json").unlink()


def about_of_something_else(folder):
    (folder / "about.json").write_text('{"form": "something else"}')


def deep_about(folder):
    (folder / "about.json").write_text("[" * 100_000)


def other_words(folder):
    (folder / "words.json").write_text('[{"list": "materials", "name": 5}]')


def other_stock(folder):
    (folder / "stock.json").write_text('{"resin": [{"name": "epoxy"}]}')


@pytest.mark.parametrize(
    ("tamper", "told"),
    [
        pytest.param(change_a_digit, r"log.jsonl, line \d+: its hash does not match", id="a digit changed"),
        pytest.param(drop_a_line, r"log.jsonl, line 3: it has number 4 where 3 belongs", id="a line dropped"),
        pytest.param(cut_the_end, "about.json says lines", id="the last line dropped"),
        pytest.param(tear_the_end, r"log.jsonl, line \d+: it was not written to its end", id="torn"),
        pytest.param(a_line_without_end, "log.jsonl, line 1: longer than", id="a line without end"),
        pytest.param(nested_without_end, "log.jsonl, line 1: it is not a line of the log", id="nested"),
        pytest.param(change_a_photo, "its bytes are not what its name says", id="a photo changed"),
        pytest.param(lose_a_photo, "about.json says media", id="a photo lost"),
        pytest.param(name_outside, "named by its SHA-256", id="a name that leads outside"),
        pytest.param(backslash_name, "named by its SHA-256", id="the same with backslashes"),
        pytest.param(link_to_secret, "no link and no folder", id="a link for a photo"),
        pytest.param(log_is_a_link, "no link and no folder", id="a link for the log"),
        pytest.param(media_is_a_link, "must be a folder", id="a link for the folder"),
        pytest.param(a_pipe, "no link and no folder", id="a pipe"),
        pytest.param(a_huge_photo, "the limit is", id="too large"),
        pytest.param(twice, "there twice", id="a photo twice"),
        pytest.param(no_about, "not finished", id="cut short"),
        pytest.param(about_of_something_else, "wanted the form", id="something else"),
        pytest.param(deep_about, "no JSON", id="nested deep"),
        pytest.param(other_words, "wanted a list of objects", id="words"),
        pytest.param(other_stock, "is not an amount", id="stock"),
    ],
)
def test_an_export_that_was_tampered_with_makes_nothing_and_says_where(copied, tmp_path, tamper, told):
    tamper(copied)
    before = sorted(path.name for path in tmp_path.iterdir())

    with pytest.raises(ImportRefused, match=told):
        taken(copied, tmp_path / "log")

    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_a_print_that_cannot_be_used_makes_nothing(copied, tmp_path):
    (copied / "print.yaml").write_text("aircraft: [")
    with pytest.raises(ScheduleError):
        taken(copied, tmp_path / "log")
    assert not (tmp_path / "log").exists()
