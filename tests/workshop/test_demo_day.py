"""The demo's day for the desk: enough in it, the same each time, and nothing of it refused."""

import pytest
from click.testing import CliRunner

from plytally.cli import main
from plytally.store.verify import verify
from plytally.workshop.bench import Bench
from plytally.workshop.demo_day import day_of, make_day


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("day") / "log"
    with make_day(folder) as bench:
        yield bench, day_of(bench)


def test_the_day_holds_enough_to_be_gone_over(made):
    _, day = made
    attached = [each for logged in day for each in logged.attachments]
    assert len(day) >= 25
    assert len({logged.device for logged in day}) == 2
    assert sum(bool(logged.entry.doubts) for logged in day) >= 6
    assert len([each for each in attached if each.role == "photo"]) == 8
    assert len([each for each in attached if each.role == "sound"]) >= 12
    assert [logged.conflicts for logged in day if logged.conflicts] == [("plies",)]
    assert [logged.withdrawn for logged in day if logged.withdrawn] == ["scratch that"]


def test_the_doubts_of_the_day_are_of_several_kinds(made):
    _, day = made
    doubted = {doubt.field for logged in day for doubt in logged.entry.doubts}
    assert {"text", "station", "plies", "mass", "face"} <= doubted


def test_nothing_of_the_day_was_refused_or_put_aside_and_every_sound_and_photo_is_there(made):
    bench, day = made
    assert bench.log.state.put_aside == ()
    assert not (bench.log.folder / "aside.jsonl").exists()
    assert verify(bench.log.folder).sound
    assert all(each.media in bench.log.media for logged in day for each in logged.attachments)


def test_the_phones_operations_are_the_same_each_time(made, tmp_path):
    bench, _ = made
    with make_day(tmp_path / "again") as again:
        ours, theirs = (
            [r.operation.as_json() for r in each.log.journal.read() if r.operation.device.startswith("phone")]
            for each in (bench, again)
        )
    assert ours == theirs


def test_the_command_makes_the_day_and_says_what_to_do_with_it(tmp_path):
    folder = tmp_path / "new"
    told = CliRunner().invoke(main, ["demo", "--day", str(folder)])
    assert told.exit_code == 0, told.output
    assert "open doubts" in told.output
    assert f"plytally serve --data {folder}" in told.output.replace("\n", "")
    with Bench.open(folder) as bench:
        assert len(day_of(bench)) >= 25
    assert CliRunner().invoke(main, ["demo", "--day", str(folder)]).exit_code == 2
