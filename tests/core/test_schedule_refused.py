"""What a print may not say, and how each mistake is told."""

import pytest
from support.prints import a_print, with_step

from plytally.core.schedule import ScheduleError
from plytally.core.schedule_reading import schedule_from_json


def complaints(raw):
    with pytest.raises(ScheduleError) as raised:
        schedule_from_json(raw)
    return [problem.message for problem in raised.value.problems]


def test_a_circle_of_steps_is_told_as_a_path():
    steps = [{"step": "E1", "do": "check", "after": "E3"}]
    steps += [{"step": f"E{n}", "do": "check", "after": f"E{n - 1}"} for n in (2, 3)]

    (told,) = complaints(a_print(parts={"spar": {"steps": steps}}))

    assert "wait for each other in a circle: E1 -> E2 -> E3 -> E1; take one 'after'" in told


def test_a_step_that_would_spoil_what_it_waits_for_is_a_circle():
    (told,) = complaints(with_step(plies=1, material="BID", after="E3", disturbs="E3"))

    assert "in a circle" in told


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        pytest.param(
            {"plys": 2}, "'plys' is not a field of a step; did you mean 'plies'?", id="misspelt field"
        ),
        pytest.param({"lay": 2}, "'lay' is not a field of a step; did you mean 'plies'?", id="another word"),
        pytest.param({"E3": ""}, "a list is written in brackets, [E3, …]", id="list without brackets"),
        pytest.param({"plies": "two"}, "'plies' is a whole number from 1 to 200, found 'two'", id="word"),
        pytest.param({"plies": 2.5}, "'plies' is a whole number from 1 to 200, found '2.5'", id="fraction"),
        pytest.param({"plies": 0}, "'plies' is a whole number from 1 to 200, found '0'", id="none"),
        pytest.param({"plies": -1}, "found '-1'", id="negative"),
        pytest.param({"plies": "٣"}, "found '٣'", id="digit of another script"),
        pytest.param({"plies": [2]}, "'plies' is one text, found a list", id="list"),
        pytest.param({"plies": 1}, "step E9 lays plies of nothing; add 'material:'", id="no material"),
        pytest.param(
            {"plies": 1, "material": "bidd"},
            "'bidd' is not a material of this print; did you mean 'BID'?",
            id="material",
        ),
        pytest.param(
            {"plies": 1, "material": "BID", "face": None},
            "step E9 needs 'face:', one of fore, aft",
            id="no face",
        ),
        pytest.param(
            {"plies": 1, "material": "BID", "face": "after"}, "'after' is not a face of the spar", id="face"
        ),
        pytest.param(
            {"plies": 1, "material": "BID", "at": "hinge 4"},
            "'hinge 4' is not a station of the spar",
            id="station",
        ),
        pytest.param(
            {"plies": 1, "material": "BID", "at": ["hinge 1", "hinge 1"]},
            "'hinge 1' stands twice in 'at'",
            id="twice",
        ),
        pytest.param(
            {"plies": 1, "material": "BID", "feature": "horn"},
            "'horn' is not a feature of the spar; there is: cap",
            id="feature",
        ),
        pytest.param(
            {"plies": 1, "material": "BID", "do": "bond"}, "step E9 both lays plies and has 'do'", id="both"
        ),
        pytest.param({}, "step E9 needs 'plies:' and 'material:', or 'do:'", id="neither"),
        pytest.param({"do": "mont"}, "'mont' is not something a step can do; did you mean 'mount'?", id="do"),
        pytest.param(
            {"do": "bond", "material": "BID"}, "step E9 names a material but no 'plies:'", id="stray material"
        ),
        pytest.param(
            {"do": "bond", "after": "E7"},
            "step E9: 'after' names 'E7', which is no step of this print",
            id="after",
        ),
        pytest.param({"do": "bond", "disturbs": "E7"}, "'disturbs' names 'E7'", id="disturbs"),
        pytest.param({"do": "bond", "step": "E1"}, "step 'E1' stands already in the spar", id="id twice"),
        pytest.param(
            {"do": "bond", "step": None}, "a step of the spar needs a name to call it by", id="no id"
        ),
        pytest.param({"do": "bond", "step": "<script>"}, "cannot be called '<script>'", id="odd id"),
        pytest.param({"do": "bond", "note": "x" * 3000}, "'note' is longer than 2000 characters", id="long"),
        pytest.param(
            {"plies": 1, "material": "BID", "instead": {"material": "UNI"}},
            "needs 'material:' and the reason",
            id="no reason",
        ),
    ],
)
def test_what_is_wrong_with_a_step_is_told(changes, told):
    assert any(told in complaint for complaint in complaints(with_step(**changes)))


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        pytest.param({"aircraft": ""}, "the schedule needs 'aircraft:'", id="no aircraft"),
        pytest.param({"print revision": None}, "the schedule needs 'print revision:'", id="no revision"),
        pytest.param({"revision": "C"}, "did you mean 'print revision'?", id="other name"),
        pytest.param(
            {"parts": {"spar": ["E1"]}},
            "is written as 'name: value' lines, found a list",
            id="list for a part",
        ),
        pytest.param(
            {"parts": {"spar": {"steps": {"E1": 3}}}}, "the steps of the spar are a list", id="table of steps"
        ),
        pytest.param({"parts": {"spar": {"sides": "upper"}}}, "'upper' is no side", id="side"),
        pytest.param(
            {"parts": {"spar": {}, "Spar": {}}}, "'Spar' stands here twice as a part", id="part twice"
        ),
        pytest.param({"parts": {"rib 1": {}, "rib one": {}}}, "are both said as 'rib one'", id="said alike"),
        pytest.param({"parts": {"rib 1234567": {}}}, "'rib 1234567' cannot be said aloud", id="unspeakable"),
        pytest.param({"materials": {"BID": {"thickness": "9.6"}}}, "the thickness of BID: ", id="unit"),
        pytest.param(
            {"materials": {"BID": {"thickness": "9 oz"}}},
            "is given as a length above zero, found 9 oz",
            id="dimension",
        ),
        pytest.param({"materials": {"BID": {"thickness": "0 in"}}}, "above zero, found 0 in", id="zero"),
        pytest.param(
            {"orientations": ["0"]}, "'45' is not an orientation of this print; there is: 0", id="orientation"
        ),
        pytest.param({"items": ["bracket"]}, "'hinge' is not an item of this print", id="item"),
    ],
)
def test_what_is_wrong_with_a_print_is_told(changes, told):
    assert any(told in complaint for complaint in complaints(a_print(**changes)))


def test_all_problems_come_at_once():
    assert len(complaints(with_step(plies="two", material="bidd", face="after", at="hinge 9"))) == 4


@pytest.mark.parametrize("raw", ["", [], "Quillwing", 3, None, {"parts": []}])
def test_what_is_no_schedule_at_all_is_told(raw):
    assert complaints(raw)
