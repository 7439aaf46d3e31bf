"""The Quillwing's print and months of notes: command line, shop computer, phone and cards tell one truth."""

import json
import shlex

import pytest
from click.testing import CliRunner
from support.devices import Device

from plytally.cli import main
from plytally.core.hearing import typed
from plytally.core.pocket import Pocket
from plytally.workshop.history import replay
from plytally.workshop.print_copy import print_copy

NOW = "2026-03-21T10:00:00.000-04:00"
OVER_LAID = "have i laid two plies of bid on the right elevator rib two inboard face"
PLACES = ["right elevator spar", "left elevator spar", "right elevator rib two", "trim tab", "rudder post"]


@pytest.fixture
def phone(bench):
    """A phone that has the print and all of the log."""
    return phone_of(bench)


def phone_of(bench):
    copy = json.loads(json.dumps(dict(print_copy(bench.log))))
    pocket = Pocket(copy["print"], copy["words"])
    rows = [(record.operation.as_json(), None) for record in bench.log.journal.read()]
    assert pocket.saw(rows) == []
    return pocket


def commanded(folder, *words):
    done = CliRunner().invoke(main, [*words, *(["--data", str(folder)] if folder else [])])
    assert done.exit_code == 0, done.output
    return done.output.splitlines()


def test_the_demo_has_what_the_truth_is_tried_on(bench):
    mirrored = [part for part in bench.schedule.parts if len(part.sides) == 2]
    kinds = {finding.split(":")[0] for finding in commanded_snags(bench)}

    assert len(mirrored) >= 12
    assert kinds == {"over", "out of order", "not on print", "in doubt"}
    assert bench.log.state.to_settle


def commanded_snags(bench):
    return commanded(bench.log.folder.parent / "log", "snags")


@pytest.mark.parametrize("place", PLACES)
def test_what_is_owed_is_the_same_by_command_and_by_phone(folder, phone, place):
    said = phone.take(f"what is owed on the {place}", NOW)["lines"]

    assert said == commanded(folder, "owed", place)


def test_what_is_owed_on_all_of_it_is_the_same_at_the_bench_and_on_the_phones_page(bench, phone):
    assert phone.board(NOW)["owed"] == list(bench.take(typed("what is owed")).lines)


@pytest.mark.parametrize("place", PLACES)
def test_where_work_stopped_is_the_same_by_command_and_by_phone(folder, phone, place):
    said = phone.take(f"where did i leave off on the {place}", NOW)["lines"]

    assert said == commanded(folder, "left-off", place)


@pytest.mark.parametrize("question", [OVER_LAID, "have i laid the uni on the left elevator spar fore face"])
def test_whether_it_is_laid_is_the_same_at_the_bench_and_on_the_phone(bench, phone, question):
    assert phone.take(question, NOW)["lines"] == list(bench.take(typed(question)).lines)


def test_the_doubt_that_nobody_answered_waits_on_the_phone_and_counts_nowhere(folder, phone):
    waiting = [entry["line"] for entry in phone.board(NOW)["to_settle"]]
    question = "have i laid seven plies of bid on the right elevator spar fore face at hinge one"

    assert any(line.startswith("laid: 7 plies BID") for line in waiting)
    assert phone.take(question, NOW)["lines"][0].startswith("no:")
    assert "in doubt" in " ".join(commanded(folder, "snags"))


def test_laying_over_a_full_face_and_fitting_too_early_are_asked_about_alike(bench, phone):
    for said in (
        "laid two plies of bid on the right elevator rib two inboard face",
        "laid seven plies of bid on the right elevator spar fore face at hinge two",
    ):
        (act,) = phone.take(said, NOW)["acts"]
        meant = bench.meaning(typed(said))
        fields = ("field", "heard", "runner_up")
        heard = [tuple(doubt[name] for name in fields) for doubt in act["body"]["doubts"]]
        assert heard == [(doubt.field, doubt.heard, doubt.runner_up) for doubt in meant.doubts]
        assert heard


SUMS = [
    ("how thick is ten plies of bid", None, "0.096 in (2.438 mm)"),
    ("how many plies for eighty thousandths", 'plies-for "80 mil" "9.6 mil"', "3.2 mil (0.08128 mm)"),
    (
        "how much resin for two plies of bid on three square feet",
        'thickness --plies 2 "8.8 oz/yd2" --area "3 ft2"',
        "168.1 g (5.928 oz)",
    ),
    (
        "what is the most vacuum i can pull at five thousand feet",
        'air --elevation "5000 ft"',
        "24.9 inHg (84.31 kPa)",
    ),
    (
        "can i pull twenty two inches at nine thousand feet",
        'vacuum "22 inHg" --elevation "9000 ft"',
        "22 inHg is not possible here: the gauge can show 21.39 inHg (72.43 kPa) at most",
    ),
    (
        "what does twenty two inches press with",
        'vacuum "22 inHg" --area "1 ft2"',
        "1556 lbf (6921 N)",
    ),
    (
        "how long is the pot life at ninety degrees",
        'time-at "90 degF" --maker "72 degF" "20 min"',
        "10 min",
    ),
    (
        "how much hardener for eighty grams at four to one",
        'mix 4:1 --resin "80 g"',
        "20 g (0.7055 oz)",
    ),
]


@pytest.mark.parametrize(("question", "line", "figure"), SUMS, ids=[question for question, _, _ in SUMS])
def test_a_sum_is_the_same_asked_at_the_bench_on_the_phone_and_by_its_card(
    bench, phone, question, line, figure
):
    said = phone.take(question, NOW)["lines"]

    assert said == list(bench.take(typed(question)).lines)
    assert figure in said[0]
    assert line is None or figure in "\n".join(commanded(None, "shop", *shlex.split(line)))


def test_a_ply_measured_on_the_phone_is_the_shops_own_once_it_has_it(tmp_path):
    with replay(tmp_path / "log") as bench:
        phone = phone_of(bench)
        kept = phone.keep_sum("own-ply", {"coupon": [["52 mil", "5"]], "material": "BID"}, {})
        made = [Device("phone-1").does(act["act"], act["target"], act["body"]) for act in kept["acts"]]
        phone.saw([(operation.as_json(), None) for operation in made])
        bench.log.receive([operation.as_json() for operation in made], "phone-1")

        question = "how thick is ten plies of bid"
        said = phone.take(question, NOW)["lines"]
        assert said[0].startswith("10 plies of BID: 0.104 in (2.642 mm), by 10.4 mil")
        assert said == list(bench.take(typed(question)).lines)
