"""What was taught is in the log, and counts while its note there stands, whoever withdraws it."""

import pytest

from plytally.clock import MachineClock, fresh_id
from plytally.core.entry import Entry
from plytally.core.hearing import typed
from plytally.core.vocabulary import VocabularyError
from plytally.core.wall import Wall
from plytally.record.content import Scope
from plytally.record.export import export
from plytally.record.reading import read_folder
from plytally.workshop.bench import Bench
from plytally.workshop.carrying import take_export
from plytally.workshop.desk import DeskWork
from plytally.workshop.print_copy import own_words
from plytally.workshop.record_copy import content_of
from plytally.workshop.taught import NotTaught, rows_of

KEVLAR = ("materials", "kevlar cloth")


@pytest.fixture
def bench(tmp_path):
    with Bench.open(tmp_path / "log") as made:
        yield made


@pytest.fixture
def words(bench):
    return DeskWork(bench).vocabulary


def taught(words):
    return words.taught()["taught"]


def test_what_is_taught_is_a_note_of_the_log_by_who_sits_at_the_desk(bench, words):
    words.teach(*KEVLAR, ["kevlar"], author="helper")
    (logged,) = bench.log.state.order
    assert (logged.author, logged.entry.fields["text"]) == (
        "helper",
        "taught: kevlar cloth, one of the materials, is said “kevlar”",
    )
    (told,) = taught(words)
    assert (told["note"], told["stands"], told["author"]) == (logged.id, True, "helper")


@pytest.mark.parametrize("way", ["at the desk's list", "by withdrawing its note", "on another device"])
def test_it_counts_no_more_once_its_note_is_withdrawn_and_again_when_it_is_brought_back(bench, words, way):
    bench.log.record(Entry("laid", {"plies": 2, "material": "kevlar cloth", "part": "elevator spar"}))
    words.teach(*KEVLAR, ["kevlar"])
    assert own_words(bench.log) == {"materials": {"kevlar cloth": ["kevlar"]}}
    (told,) = taught(words)
    assert told["names"] == 1
    if way == "at the desk's list":
        words.set_standing(*KEVLAR, told["note"], False, "helper")
    elif way == "by withdrawing its note":
        bench.log.withdraw(told["note"], "not so", author="helper")
    else:
        bench.log.perform([])
        bench.log.receive([_withdrawal(told["note"])], "phone-bench")
    (told,) = taught(words)
    assert (own_words(bench.log), told["stands"], told["ended"]["author"]) == ({}, False, "helper")
    assert all(name.name != "kevlar cloth" for name in bench.vocabulary.materials)
    words.set_standing(*KEVLAR, told["note"], True, "builder")
    assert bench.vocabulary.materials[-1].spoken == ("kevlar",)


def _withdrawal(note):
    return {
        "act": "withdraw",
        "body": {"why": "scratch that", "over": [], "author": "helper"},
        "device": "phone-bench",
        "id": "01a21443-4a6d-7a12-9455-6ef57478ef1a",
        "number": 1,
        "skew_ms": None,
        "stamp": [MachineClock().now_millis(), 0],
        "target": note,
        "wall": str(Wall(MachineClock().now_millis(), 0)),
    }


def test_taking_back_twice_and_what_was_never_taught_are_told(bench, words):
    words.teach(*KEVLAR, ["kevlar"])
    (told,) = taught(words)
    words.set_standing(*KEVLAR, told["note"], False, "builder")
    with pytest.raises(NotTaught, match="already"):
        words.set_standing(*KEVLAR, told["note"], False, "builder")
    with pytest.raises(NotTaught, match="was not taught"):
        words.set_standing("materials", "basalt", "", False, "builder")


def test_one_of_two_ways_is_taken_back_and_the_other_stays(bench, words):
    words.teach(*KEVLAR, ["kevlar"])
    words.teach(*KEVLAR, ["kevlar", "yellow cloth"])
    newest, _ = taught(words)
    assert newest["said_as"] == ["yellow cloth"]
    words.set_standing(*KEVLAR, newest["note"], False, "builder")
    assert own_words(bench.log) == {"materials": {"kevlar cloth": ["kevlar"]}}


def test_a_way_that_went_to_another_word_meanwhile_is_not_taught_again(bench, words):
    words.teach(*KEVLAR, ["yellow cloth"])
    (told,) = taught(words)
    words.set_standing(*KEVLAR, told["note"], False, "builder")
    words.teach("materials", "aramid tape", ["yellow cloth"])
    with pytest.raises(VocabularyError, match="said for both"):
        words.set_standing(*KEVLAR, told["note"], True, "builder")
    bench.log.bring_back(told["note"])  # as a phone can; the shop opens all the same, and says so
    assert own_words(bench.log) == {"materials": {"kevlar cloth": ["yellow cloth"]}}
    assert [each["clashes"] for each in taught(words)] == [True, False]


def test_a_word_of_an_earlier_version_counts_and_gets_its_note_when_it_is_taken_back(bench, words):
    with bench.log.documents.table("words") as table:
        table.insert({"list": KEVLAR[0], "name": KEVLAR[1], "said_as": ["kevlar"]})
    bench.begin_anew()
    assert bench.vocabulary.materials[-1].name == "kevlar cloth"
    words.set_standing(*KEVLAR, "", False, "builder")
    (logged,) = bench.log.state.order
    assert logged.withdrawn == "taken back"
    assert (own_words(bench.log), rows_of(bench.log)[0]["note"]) == ({}, logged.id)


def test_scratch_that_means_the_last_work_and_never_what_was_taught(bench, words):
    laid = bench.take(typed("mixed eighty grams of epoxy")).logged.id
    words.teach(*KEVLAR, ["kevlar"])
    bench.take(typed("scratch that"))
    assert bench.log.entry(laid).withdrawn is not None
    assert own_words(bench.log) == {"materials": {"kevlar cloth": ["kevlar"]}}


def test_what_was_taught_and_what_was_taken_back_come_along_in_an_export(bench, words, tmp_path):
    words.teach(*KEVLAR, ["kevlar"])
    words.teach("materials", "basalt twill", ["basalt"])
    words.set_standing(*KEVLAR, taught(words)[1]["note"], False, "builder")
    reading = read_folder(bench.log.folder)
    export(reading, content_of(reading, Scope(), bench.now()), tmp_path / "out")
    take_export(tmp_path / "out", tmp_path / "in", fresh_id, bench.now())
    with Bench.open(tmp_path / "in") as other:
        assert own_words(other.log) == {"materials": {"basalt twill": ["basalt"]}}
        assert len(rows_of(other.log)) == 2
