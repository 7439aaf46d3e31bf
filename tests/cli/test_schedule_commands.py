"""The print on the command line: taken, compared, put in order, listed to be ticked."""

from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from plytally.cli import main
from plytally.schedule_file import read_schedule_file
from plytally.schedule_table import schedule_from_csv

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
SPAR = "right elevator spar"


@pytest.fixture
def run(tmp_path):
    def invoke(*words, code=0):
        done = CliRunner().invoke(main, [*map(str, words)], env={"PLYTALLY_DATA": str(tmp_path / "log")})
        assert done.exit_code == code, done.output
        return done.output

    return invoke


@pytest.fixture
def bench(run):
    assert run("schedule", QUILLWING).splitlines() == ["Quillwing, revision C: 22 parts, 115 steps"]
    return run


@pytest.fixture
def revision(tmp_path):
    text = QUILLWING.read_text().replace("print revision: C", "print revision: D")
    text = text.replace("{step: E3, face: aft, plies: 4", "{step: E3, face: aft, plies: 5")
    file = tmp_path / "revision-d.yaml"
    file.write_text(text)
    return file


def test_comparing_shows_what_a_revision_changes_and_takes_nothing(bench, revision):
    bench("note", f"laid four plies bid on the {SPAR} aft face")

    assert bench("schedule", "--compare", revision).splitlines() == [
        "changed: the print: revision C becomes D",
        "changed: step E3 of the elevator spar: 4 plies become 5",
        "in what is laid:",
        "  now owed: right elevator spar, aft face: 1 BID at 45 more",
        "Quillwing, revision C: 22 parts, 115 steps",
    ]
    assert "revision C" in bench("schedule")


def test_a_revision_that_is_taken_shows_its_changes_and_counts(bench, revision):
    assert "4 plies become 5" in bench("schedule", revision)
    assert "revision D" in bench("schedule")
    assert "aft face: 0 of 5 BID laid, 5 owed" in bench("owed", SPAR)


def test_the_same_file_again_changes_nothing(bench):
    assert bench("schedule", QUILLWING).splitlines()[:3] == [
        "the print says the same as before.",
        "in what is laid:",
        "  nothing changes in what was laid.",
    ]


def test_a_schedule_goes_out_as_a_table_and_comes_back(bench, tmp_path):
    file = tmp_path / "print.csv"
    file.write_text(bench("schedule", "--csv"), newline="")

    assert schedule_from_csv(file.read_text()) == read_schedule_file(QUILLWING)
    assert "the print says the same as before." in bench("schedule", file)
    assert "revision C" in bench("schedule")


def test_a_table_with_a_mistake_names_the_row(run, tmp_path):
    file = tmp_path / "print.csv"
    file.write_text("row,name\nprint,Quillwing\nclot,BID\n")

    assert "row 3: 'clot' is not what a row can be" in run("schedule", file, code=40)


def test_comparing_needs_a_file(run):
    assert "--compare needs the FILE" in run("schedule", "--compare", code=2)


def test_the_order_of_work_of_a_part(bench):
    lines = bench("order", SPAR).splitlines()

    assert lines[0] == "right elevator spar:"
    assert lines[1] == "  right E1 (3 BID at 45 on the fore face): 1 to 106 of 115"
    assert lines[-1] == "plytally advises; the kit manual, local rules and your inspector decide."


def test_the_order_of_work_of_all_ends_with_what_the_print_leaves_open(bench):
    assert [line for line in bench("order").splitlines() if line.startswith("look at this")] == [
        f"look at this: closes in: step RK3 of the {side} rudder skin (bond) does not wait for RS2 "
        "(2 BID at 45 on the aft face) of the rudder spar; can that still be reached after it?"
        for side in ("left", "right")
    ]


def test_what_was_laid_just_now_is_for_later(bench):
    bench("note", f"laid three plies bid on the {SPAR} fore face")

    lines = bench("next", SPAR).splitlines()

    assert [line.split(":")[0] for line in lines[:-1]] == ["later"] * 4
    assert "cures 24 h (epoxy, by the print)" in lines[0]
    assert bench("next", "left elevator spar").startswith("now: left elevator spar, E1")


def test_nothing_left_is_said(run):
    assert run("next").strip() == "nothing is left to be worked there."
    assert run("snags").strip() == "nothing in the log disagrees with the print."
    assert "no layup schedule yet" in run("schedule")


class Tags(HTMLParser):
    """Every tag opened is closed, in order."""

    def __init__(self):
        super().__init__()
        self.open, self.text, self.faults = [], [], []

    def handle_starttag(self, tag, attrs):
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)

    def handle_data(self, data):
        self.text.append(data)


def test_a_checklist_as_a_page_is_whole_and_escapes_what_the_builder_wrote(run, tmp_path):
    file = tmp_path / "print.yaml"
    file.write_text(
        "aircraft: 'Quill & <b>wing</b>'\nprint revision: C\nmaterials: BID\n"
        "parts:\n  rib:\n    stations: hinge 1, hinge 2\n    steps:\n"
        "      - {step: R1, at: [hinge 1, hinge 2], plies: 2, material: BID, note: '<script>x</script>'}\n"
    )
    run("schedule", file)
    run("note", "laid one ply bid on the rib at hinge one")
    page = Tags()

    page.feed(run("checklist", "--html"))
    page.close()

    assert (page.open, page.faults) == ([], [])
    assert "<script>x</script>" in page.text
    assert page.text.count("☐") == 2
    assert any("1 of 2" in text for text in page.text)


def test_a_checklist_in_doubt_is_not_ticked(bench):
    bench("note", "laid two plies bid on the right elevator rib two inboard face")
    bench("note", "laid three plies bid on the right elevator rib three inboard face")

    lines = bench("checklist", "right elevator rib 3").splitlines()

    assert any(line.startswith("        [ ]") or line.startswith("        [?]") for line in lines)
    assert not any("[x]" in line for line in lines)
