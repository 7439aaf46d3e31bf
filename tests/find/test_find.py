"""Finding: by words and by everything else, over what an entry says and what it said before."""

import json
import re
import sqlite3
from pathlib import Path

import pytest
from click.testing import CliRunner
from support.desk_days import copied
from support.shop_computer import ShopComputer

from plytally.cli import main
from plytally.core.entry import KINDS
from plytally.core.hearing import typed
from plytally.find.index import INDEX_NAME, Index, IndexClosed
from plytally.store.log import BuildLog
from plytally.workshop.bench import Bench
from plytally.workshop.finding import Finder
from plytally.workshop.places import UnknownPlace

ROOT = Path(__file__).parents[2]
ALL = 52
"""The entries of the demo's months and day."""


@pytest.fixture(scope="module")
def whole(made, tmp_path_factory):
    """The demo's log, only read."""
    with Bench.open(copied(made, tmp_path_factory.mktemp("find") / "log")) as bench:
        finder = Finder(bench)
        finder.log = bench.log
        yield finder


@pytest.fixture
def bench(made, tmp_path):
    with Bench.open(copied(made, tmp_path / "log")) as opened:
        yield opened


def lines(answer):
    return [row["line"] for row in answer.rows]


@pytest.mark.parametrize(
    ("asked", "count"),
    [
        pytest.param({"words": "selvage"}, 0, id="a word that nobody heard"),
        pytest.param({"words": "alert"}, 1, id="a word of a plain note"),
        pytest.param({"words": "epoxy elev"}, 0, id="words are joined by and"),
        pytest.param({"words": "horn insi"}, 1, id="the last word may be begun"),
        pytest.param({"words": "scratch"}, 2, id="a reason for withdrawing"),
        pytest.param({"kind": "vacuum"}, 2, id="kind"),
        pytest.param({"names": {"batch": "714"}}, 1, id="batch"),
        pytest.param({"names": {"resin": "flox"}}, 1, id="resin"),
        pytest.param(
            {"kind": "laid", "author": "helper", "first_day": "2026-03-01"}, 5, id="person and days"
        ),
        pytest.param({"stands": ["withdrawn"]}, 2, id="withdrawn"),
        pytest.param({"photos": True}, 8, id="with a photo"),
        pytest.param({"last_day": "2025-09-06"}, 4, id="up to a day"),
        pytest.param({"last_day": "2025-99-99"}, 20, id="up to a day that the calendar lacks"),
        pytest.param({}, ALL, id="all of it"),
    ],
)
def test_what_fits_everything_asked_is_found(whole, asked, count):
    assert whole.find(**asked, limit=200).count == count


def test_the_latest_comes_first_and_pages_follow_one_another(whole):
    first = whole.find(limit=30)
    second = whole.find(limit=30, before=first.more)
    walls = [row["wall"] for row in (*first.rows, *second.rows)]
    assert (len(walls), len(set(walls) | {"x"}) > 40, second.more) == (ALL, True, None)
    numbers = [row["number"] for row in (*first.rows, *second.rows)]
    assert numbers == sorted(numbers, reverse=True)


def test_every_entry_that_touched_a_place_is_found(whole):
    found = whole.find(at="left elevator spar", limit=200)
    by_hand = [
        logged.id
        for logged in whole.log.state.order
        if (str(logged.entry.fields.get("part")), logged.entry.fields.get("side"))
        == ("elevator spar", "left")
    ]
    assert len(by_hand) == 15
    assert sorted(row["id"] for row in found.rows) == sorted(by_hand)


def test_a_place_is_found_by_its_face_and_station_too(whole):
    at = whole.find(at="right elevator spar fore face at hinge one", limit=200)
    assert lines(at) == ["laid: 7 plies BID, right elevator spar, fore, hinge 1"]


def test_an_entry_that_was_elsewhere_before_a_correction_is_found_at_both_places(bench):
    finder = Finder(bench)
    (row,) = finder.find("horn", at="left elevator control horn").rows
    bench.log.amend(row["id"], "side", "right")
    for side in ("left", "right"):
        assert row["id"] in {each["id"] for each in finder.find(at=f"{side} elevator control horn").rows}


def test_an_entry_that_leaves_the_side_open_is_found_on_both_sides(bench):
    bench.log.record(_entry(bench, "laid two plies bid on the elevator rib three inboard face"))
    for side in ("left", "right"):
        found = lines(Finder(bench).find(at=f"{side} elevator rib three"))
        assert "laid: 2 plies BID, elevator rib 3, inboard" in found


@pytest.mark.parametrize("said", ["the left elevator spar has a dent", "elevator spar left, dented"])
def test_a_plain_note_that_names_the_place_either_way_round_is_found(bench, said):
    bench.log.record(_entry(bench, f"note {said}"))
    assert any("dent" in line for line in lines(Finder(bench).find(at="left elevator spar")))


def test_a_place_that_is_not_on_the_print_is_told_with_near_ones(whole):
    with pytest.raises(UnknownPlace, match="elevator spar"):
        whole.find(at="left elevator spart")


@pytest.mark.parametrize(
    "words",
    [
        '"',
        "a AND",
        "NEAR(",
        "laid OR bid",
        "words:laid",
        "'; DROP TABLE entries; --",
        "*",
        "-laid",
        "(",
        "\x00",
    ],
)
def test_no_word_is_an_operator(whole, words):
    assert whole.find(words).count <= ALL


def test_a_change_is_found_at_once(bench):
    finder = Finder(bench)
    assert finder.find("dragonfly").count == 0
    note = bench.log.record(_entry(bench, "note a dragonfly sat on the spar"))
    assert finder.find("dragonfly").count == 1
    bench.log.withdraw(note.id, "not of the build")
    assert [row["stands"] for row in finder.find("dragonfly").rows] == ["withdrawn"]
    bench.log.amend(note.id, "text", "a moth sat on the spar")
    assert (finder.find("moth").count, finder.find("dragonfly").count) == (1, 1)


def _count(bench):
    finder = Finder(bench)
    try:
        return finder.find(limit=200).count
    finally:
        finder.close()


def test_the_index_goes_on_after_a_restart_where_it_was(made, tmp_path):
    folder = copied(made, tmp_path / "log")
    with Bench.open(folder) as bench:
        assert _count(bench) == ALL
        bench.log.record(_entry(bench, "note the pump was loud"))
    with Bench.open(folder) as bench:
        told = []
        finder = Finder(bench, lambda done, whole: told.append(whole))
        assert finder.find("pump").count == 1
        assert told == [1]


@pytest.mark.parametrize(
    "harm", ["missing", "no database", "cut short", "another log", "another form", "ahead"]
)
def test_an_index_that_does_not_fit_is_thrown_away_and_built_anew(made, tmp_path, harm):
    folder = copied(made, tmp_path / "log")
    with Bench.open(folder) as bench:
        _count(bench)
    _harm(folder / INDEX_NAME, harm)
    with Bench.open(folder) as bench:
        assert _count(bench) == ALL
        assert Finder(bench).find(at="left elevator spar").count == 15


def _harm(file, how):
    if how == "missing":
        file.unlink()
    elif how == "no database":
        file.write_bytes(b"not a database at all" * 999)
    elif how == "cut short":
        file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])
    else:
        name, value = {
            "another log": ("epoch", "x"),
            "another form": ("form", "0"),
            "ahead": ("seq", "9999"),
        }[how]
        with sqlite3.connect(file) as db:
            db.execute("UPDATE about SET value = ? WHERE name = ?", (value, name))
            db.execute("DELETE FROM entries")
        db.close()


def test_closing_while_it_is_built_leaves_an_index_that_is_built_again(made, tmp_path):
    with Bench.open(copied(made, tmp_path / "log")) as bench:
        index = Index(bench.log)
        index._progress = lambda done, whole: index._ending.set()
        with pytest.raises(IndexClosed):
            index.ask(lambda db: None)
        index.close()
        assert _count(bench) == ALL


def test_the_command_asks_the_server_while_it_serves(made, tmp_path):
    shop = ShopComputer(copied(made, tmp_path / "log"), with_print=False)
    told = {"pid": 1, "desk": shop.url, "phones": "", "key": shop.key}
    (shop.folder / "serving.json").write_text(json.dumps(told))
    found = CliRunner().invoke(main, ["find", "flox", "--photos", "--data", str(shop.folder)])
    also = CliRunner().invoke(main, ["find", "flox", "--data", str(shop.folder)])
    shop.close()
    assert (found.exit_code, found.output.splitlines()[-1]) == (0, "0 entries")
    assert also.output.splitlines()[-1] == "1 entry"


def test_the_index_is_readable_by_its_user_alone(bench):
    _count(bench)
    assert (bench.log.folder / INDEX_NAME).stat().st_mode & 0o077 == 0


def test_an_empty_log_finds_nothing(tmp_path):
    with BuildLog(tmp_path / "log") as log:
        assert Index(log).ask(lambda db: db.execute("SELECT count(*) FROM entries").fetchone()) == (0,)


def test_the_command_line_finds_too(made, tmp_path):
    folder = copied(made, tmp_path / "log")
    told = CliRunner().invoke(main, ["find", "flox", "--data", str(folder)])
    assert (told.exit_code, told.output.splitlines()[-1]) == (0, "1 entry")
    assert "resin mixed: 15 g flox" in told.output
    rows = CliRunner().invoke(main, ["find", "--at", "left elevator spar", "--json", "--data", str(folder)])
    assert len([json.loads(line) for line in rows.output.splitlines()]) == 15
    days = ["--from", "2026-03-21", "--to", "2026-03-21", "--stands", "withdrawn"]
    told = CliRunner().invoke(main, ["find", *days, "--data", str(folder)])
    assert [line[:16] for line in told.output.splitlines()] == ["2026-03-21 16:10", "1 entry"]
    wrong = CliRunner().invoke(main, ["find", "--from", "March", "--data", str(folder)])
    assert wrong.exit_code == 2
    wrong = CliRunner().invoke(main, ["find", "--at", "left wing", "--data", str(folder)])
    assert wrong.exit_code == 2
    assert "no place on the print" in wrong.output.replace("\n", " ")


def _entry(bench, words):
    return bench.meaning(typed(words)).entry


def test_the_page_and_the_written_description_offer_every_kind():
    page = (ROOT / "pwa/src/desk/find.tsx").read_text()
    described = (ROOT / "server/plytally/web/openapi.yaml").read_text()
    offered = re.search(r"const KINDS = \[(.*?)\];", page)[1].replace('"', "").split(", ")
    taken = re.search(r'name: kind, in: query, schema: \{type: string, enum: \["", (.*?)\]', described)[1]
    assert offered == taken.split(", ") == list(KINDS)
