"""The demo's months of notes, counted by hand: every way of asking tells the same truth."""

import re
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from plytally.cli import main
from plytally.core.answering import owed
from plytally.core.asking import have_laid
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.hearing import typed
from plytally.core.telling import left_off_told

DEMO = Path(__file__).parents[2] / "demo_entries"
SPAR = "elevator spar"
HINGES = ("hinge 1", "hinge 2", "hinge 3")

# By hand, from log.yaml: (part, side, face, feature, station): plies of the material that the print asks for.
LAID = {
    (SPAR, "left", "fore", "", ""): 3,
    **{(SPAR, "left", "fore", "", hinge): 7 for hinge in HINGES},
    (SPAR, "left", "aft", "", ""): 4,
    **{(SPAR, "left", "aft", "", hinge): 2 for hinge in HINGES},
    (SPAR, "left", "fore", "upper cap", ""): 2,
    ("elevator rib 2", "right", "inboard", "", ""): 2,
    (SPAR, "right", "fore", "", ""): 3,
    (SPAR, "right", "aft", "", ""): 4,
    ("trim tab", "right", "upper", "", ""): 1,
}
OWED_ON_RIGHT_SPAR = 3 * 7 + 3 * 2 + 2 + 2 + 3  # E2 and E4 at three hinges, both caps, E7 at the root


def told(folder, *words):
    done = CliRunner().invoke(main, [*words, "--data", str(folder)])
    assert done.exit_code == 0, done.output
    return done.output


def asked_by_the_file():
    """Plies of the whole print, counted from the file's own words and not by the schedule's reader."""
    print_ = yaml.safe_load((DEMO / "quillwing.yaml").read_text())
    return sum(
        int(step.get("plies", 0))
        * max(1, len(step.get("at", ())))
        * (2 if part.get("sides") == "left and right" else 1)
        for part in print_["parts"].values()
        for step in part["steps"]
    )


def test_what_is_laid_is_what_was_counted_by_hand(bench):
    tallies = bench.ledger.tallies()

    counted = {
        (t.place.part, t.place.side, t.place.face, t.place.feature, t.place.station): t.laid
        for t in tallies
        if t.laid
    }

    assert counted == LAID


def test_what_is_owed_in_all_is_what_the_file_asks_less_what_was_counted(bench):
    assert sum(t.owed for t in bench.ledger.owed()) == asked_by_the_file() - sum(LAID.values())


def test_the_face_laid_twice_is_over_by_two(bench):
    over = [(t.place, t.over) for t in bench.ledger.tallies() if t.over]

    assert over == [(Place("elevator rib 2", "right", "inboard"), 2)]


def test_the_snags_are_the_four_that_were_put_into_the_log(bench):
    found = [(f.kind, f.entry.when[:10], f.entry.entry.kind) for f in findings(bench.ledger)]

    assert found == [
        ("over", "2025-11-15", "laid"),
        *[("out of order", "2025-12-20", "mounted")] * 3,  # before E8, E2 and E4
        ("not on print", "2026-01-10", "laid"),
        ("in doubt", "2026-02-14", "laid"),
    ]


def test_the_question_that_nobody_answered_counts_for_nothing(bench):
    answer = have_laid(bench.ledger, Place(SPAR, "right", "fore", "", "hinge 1"), None, "BID")

    assert answer.verdict == "no"


def test_a_note_that_was_taken_back_counts_for_nothing(bench):
    (cap,) = bench.ledger.tallies(Place(SPAR, "left", "fore", "upper cap"))

    assert (cap.laid, cap.over, len(cap.evidence)) == (2, 0, 1)


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("what is owed on the right elevator spar", lambda ledger, where: owed(ledger, where)),
        (
            "where did i leave off on the right elevator spar",
            lambda ledger, where: left_off_told(ledger.left_off(where), where),
        ),
    ],
)
def test_spoken_and_typed_questions_get_the_answer_that_the_ledger_gives(bench, question, answer):
    assert bench.take(typed(question)).lines == answer(bench.ledger, Place(SPAR, "right"))


def test_the_command_line_owes_the_same(folder, bench):
    lines = told(folder, "owed", "right elevator spar").splitlines()

    assert lines == list(owed(bench.ledger, Place(SPAR, "right")))
    assert sum(int(re.search(r"(\d+) owed", line)[1]) for line in lines) == OWED_ON_RIGHT_SPAR


def test_the_command_line_leaves_off_at_the_same(folder, bench):
    where = Place(SPAR, "right")

    assert told(folder, "left-off", "right elevator spar").splitlines() == list(
        left_off_told(bench.ledger.left_off(where), where)
    )


def test_snags_are_listed_by_place(folder):
    assert [line.split(":")[0] for line in told(folder, "snags").splitlines()] == [
        "over",
        *["out of order"] * 3,
        "not on print",
        "in doubt",
    ]
    assert told(folder, "snags", "left elevator spar") == "nothing in the log disagrees with the print.\n"
    assert "surface rises 0.0672 in" in told(folder, "snags", "right elevator spar")


def test_the_checklist_ticks_what_the_ledger_has_and_names_who(folder):
    lines = told(folder, "checklist", "left elevator spar").splitlines()

    assert "        [x] hinge 2  13 September 2025, helper" in lines
    assert (
        sum("[x]" in line for line in lines) == 11
    )  # E1, 3 of E2, E3, 3 of E4, E5, and E8 and E9 at hinge 1
    assert sum("[ ]" in line for line in lines) == 6  # E6, E7, and E8 and E9 at two hinges each


def test_the_demo_shows_its_months_and_where_they_end():
    done = CliRunner().invoke(main, ["demo", "--history"])

    assert done.exit_code == 0
    assert "2025-11-15  helper: laid two plies bid on the right elevator rib two inboard face" in done.output
    assert "in doubt: 7 BID laid on right elevator spar, fore face, 14 February 2026" in done.output
    assert "23 entries in the log" in done.output


def test_a_replay_leaves_a_log_that_is_sound(folder):
    assert "all of it is what was written" in told(folder, "verify")
