"""What is asked wrongly is refused with what to do, before anything is made or changed."""

import io
import json
import sys

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from plytally.cli import main
from plytally.core.hearing import typed
from plytally.find.index import INDEX_NAME
from plytally.on_screen import carried, only_text
from plytally.workshop.bench import Bench
from plytally.workshop.finding import Finder


@pytest.fixture
def plytally(tmp_path, monkeypatch):
    monkeypatch.setenv("PLYTALLY_DATA", str(tmp_path / "log"))
    return lambda *words: CliRunner().invoke(main, list(map(str, words)))


@pytest.mark.parametrize("option", ["--data", "--day"])
def test_the_demo_never_goes_into_a_log_that_is_there(plytally, tmp_path, option):
    plytally("note", "the first of a real log")

    told = plytally("demo", option, tmp_path / "log")

    assert told.exit_code == 2
    assert "name a new folder" in told.output
    assert plytally("log").output.count("\n") == 1


def test_a_folder_without_a_log_is_never_called_whole(plytally, tmp_path):
    told = plytally("verify", "--data", tmp_path / "lgo")

    assert told.exit_code == 44
    assert "holds no log" in told.stderr
    assert not (tmp_path / "lgo").exists()


def test_an_empty_log_says_so_and_where_it_is(plytally, tmp_path):
    told = plytally("log")

    assert (told.stdout, told.stderr) == ("", f"nothing is noted yet in {tmp_path / 'log'}\n")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("note", " "), "no words"),
        (("record", "x.pdf", "--from", "2026-02-30"), "no day"),
        (("record", "x.pdf", "--from", "2026-03-02", "--to", "2026-03-01"), "is after"),
        (("clocks", "--resin", "epoxy"), "--pot-life"),
        (("clocks", "--resin", "epoxy", "--pot-life", "25 min"), "lacks the temperature"),
        (("serve", "--port", "99999"), "0<=x<=65535"),
    ],
    ids=str,
)
def test_a_wrong_word_is_a_usage_error_that_says_what_is_wrong(plytally, words, says):
    told = plytally(*words)

    assert told.exit_code == 2
    assert says in told.output


@pytest.mark.parametrize("words", [("stock", "none.yaml"), ("record", "none/x.pdf")])
def test_a_name_that_leads_nowhere_does_not_blame_the_disk(plytally, words):
    plytally("note", "a log")
    told = plytally(*words)

    assert told.exit_code == 53
    assert "there is no such file or folder" in told.stderr


def test_words_between_colons_stay_as_they_were_said(plytally):
    plytally("note", "note that :smile: is no picture")

    assert json.loads(plytally("log", "--json").output)["entry"]["said"] == "note that :smile: is no picture"


def test_what_a_terminal_lacks_is_shown_by_the_nearest_letters():
    assert carried("90 °F · 2 ft² …", "ascii") == "90 F - 2 ft2 ..."
    assert carried("90 °F", "latin-1") == "90 °F"


@given(st.text(), st.sampled_from(["ascii", "latin-1", "cp437", "utf-8"]))
def test_any_text_can_be_shown_on_any_terminal(text, encoding):
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        text = ""
    carried(text, encoding).encode(encoding)


def test_a_terminal_of_ascii_letters_shows_temperatures(monkeypatch):
    bytes_ = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(bytes_, "ascii", errors="strict"))

    main(["shop", "units", "72 degF"], standalone_mode=False)
    sys.stdout.flush()

    assert b"72 F" in bytes_.getvalue()


def test_what_is_shown_is_guarded_only_meanwhile():
    before = sys.stdout, sys.stderr
    with only_text():
        assert (sys.stdout, sys.stderr) != before
    assert (sys.stdout, sys.stderr) == before


def test_where_no_index_can_be_written_it_is_made_in_memory(tmp_path):
    with Bench.open(tmp_path / "log") as bench:
        bench.take(typed("note that the flox is gone"))
        (tmp_path / "log" / INDEX_NAME).symlink_to(tmp_path / "gone" / INDEX_NAME)
        finder = Finder(bench)
        try:
            finder._index.throw_away = lambda: None  # as where the folder may only be read
            assert finder.find("flox").count == 1
        finally:
            finder.close()
