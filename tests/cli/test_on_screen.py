"""What a note, a name or a file brings along commands no terminal."""

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from plytally.cli import main
from plytally.clock import MachineClock
from plytally.core.entry import Entry
from plytally.on_screen import plain
from plytally.store.log import BuildLog
from plytally.web.phones import Phones

HOSTILE = "laid \x1b]0;owned\x07\x1b[2J\x1b[8mhidden\u202eback"


def run(*words):
    return CliRunner().invoke(main, list(map(str, words)))


@pytest.fixture
def data(tmp_path):
    with BuildLog(tmp_path / "log") as log:
        log.record(Entry("note", {"text": HOSTILE}, HOSTILE))
        Phones(log.documents, MachineClock()).pair("phone-1", "the blue one")
    return tmp_path / "log"


@pytest.mark.parametrize("command", [("log",), ("find", "laid"), ("snags",)])
def test_a_note_with_commands_for_a_terminal_is_shown_and_does_nothing(data, command):
    shown = run(*command, "--data", data)

    assert shown.exit_code == 0, shown.output
    assert not {"\x1b", "\x07", "\u202e"} & set(shown.output)
    assert "snags" in command or "␛]0;owned" in shown.output


def test_a_message_about_a_file_that_means_harm_is_plain(tmp_path):
    file = tmp_path / "print.csv"
    file.write_text("row,\x1b]0;owned\x07\nprint,x\n")

    refused = run("schedule", file, "--data", tmp_path / "log")

    assert refused.exit_code == 40
    assert not {"\x1b", "\x07"} & set(refused.stderr)


def test_our_own_styles_pass():
    assert plain("\x1b[1mowed\x1b[0m, \x1b[2;3mdim\x1b[0m") == "\x1b[1mowed\x1b[0m, \x1b[2;3mdim\x1b[0m"


@given(st.text())
def test_nothing_but_text_is_left(text):
    left = plain(text).replace("\r\n", "\n")

    for style in ("\x1b[0m", "\x1b[1m", "\x1b[2m", "\x1b[3m"):
        left = left.replace(style, "")
    assert plain(left) == left
    assert not [c for c in left if ord(c) < 32 and c not in "\n\t\x1b"]


def test_a_restore_tells_who_is_let_in_by_what_the_backup_brought(data, tmp_path):
    assert run("backup", tmp_path / "stick", "--data", data).exit_code == 0

    told = run("restore", tmp_path / "stick", "--data", tmp_path / "again").output

    assert "phones: the blue one (phone-1)" in told
    assert "links for an inspector: none" in told
    assert "passphrase" in told
