"""The schedule as a value: sides, order, the plain form, and what a print may and may not say."""

import json
from dataclasses import replace
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.entry import KINDS
from plytally.core.names import Name
from plytally.core.quantities import parse_quantity
from plytally.core.schedule import DO, Part, Schedule, ScheduleError, Step
from plytally.core.schedule_order import circles
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.vocabulary import from_schedule

SPAR = {
    "sides": "left and right",
    "faces": ["fore", "aft"],
    "stations": ["hinge 1", "hinge 2"],
    "features": ["cap"],
    "steps": [
        {"step": "E1", "face": "fore", "plies": 3, "material": "BID", "orientation": "45"},
        {
            "step": "E2",
            "face": "fore",
            "plies": 7,
            "material": "BID",
            "at": "hinge 1, hinge 2",
            "after": "E1",
        },
        {"step": "E3", "do": "mount", "item": "hinge", "at": ["hinge 1", "hinge 2"], "after": ["E2"]},
    ],
}


def a_print(**changes):
    whole = {
        "aircraft": "Quillwing",
        "print revision": "C",
        "materials": ["BID", "UNI"],
        "parts": {"spar": SPAR},
    }
    return whole | changes


def with_step(**changes):
    step = {
        name: value for name, value in ({"step": "E9", "face": "aft"} | changes).items() if value is not None
    }
    return a_print(parts={"spar": SPAR | {"steps": [*SPAR["steps"], step]}})


def complaints(raw):
    with pytest.raises(ScheduleError) as raised:
        schedule_from_json(raw)
    return [problem.message for problem in raised.value.problems]


def test_a_part_written_once_has_its_steps_on_each_side():
    schedule = schedule_from_json(a_print())

    assert [str(step) for step in schedule.steps] == [
        f"{s} E{n}" for s in ("left", "right") for n in (1, 2, 3)
    ]


def test_a_step_waits_for_the_same_side_and_not_for_the_other():
    schedule = schedule_from_json(a_print())
    (right,) = schedule.with_id("E2", "right")

    assert schedule.needed_by(right) == schedule.with_id("E1", "right")


def test_a_step_of_a_part_without_sides_waits_for_both_sides():
    box = {"steps": [{"step": "B1", "do": "bond", "after": "E3"}]}
    schedule = schedule_from_json(a_print(parts={"spar": SPAR, "box": box}))
    (bond,) = schedule.with_id("B1")

    assert [step.side for step in schedule.needed_by(bond)] == ["left", "right"]


def test_a_part_may_be_on_one_side_only():
    tab = {"sides": "right", "steps": [{"step": "T1", "plies": 1, "material": "BID"}]}

    assert [step.side for step in schedule_from_json(a_print(parts={"tab": tab})).steps] == ["right"]


def test_names_are_found_whatever_their_capitals_and_kept_as_declared():
    schedule = schedule_from_json(with_step(face="Aft", plies=1, material="bid", at="Hinge 2"))
    (step,) = schedule.with_id("E9", "left")

    assert (step.face, step.material, step.stations) == ("aft", "BID", ("hinge 2",))


def test_orientations_and_items_need_no_list_of_their_own():
    schedule = schedule_from_json(a_print())

    assert (schedule.orientations, schedule.items) == ((Name("45"),), (Name("hinge"),))


def test_a_step_under_a_face_is_the_same_as_one_that_names_its_face():
    step = {"step": "E1", "plies": 2, "material": "BID"}
    under = {"faces": {"fore": {"steps": [step]}}}
    named = {"faces": ["fore"], "steps": [step | {"face": "fore"}]}

    assert schedule_from_json(a_print(parts={"rib": under})) == schedule_from_json(
        a_print(parts={"rib": named})
    )


def test_a_material_keeps_its_thickness_and_weight_as_written():
    cloth = {"thickness": "9.6 mil", "areal weight": "8.8 oz/yd2", "said as": ["Bid", "bi directional 8"]}
    (bid, _) = schedule_from_json(a_print(materials={"BID": cloth, "UNI": None})).materials

    assert bid.thickness == parse_quantity("9.6 mil")
    assert bid.areal_weight == parse_quantity("8.8 oz/yd2")
    assert bid.said_as == ("bid", "bi directional eight")


def test_every_do_of_the_table_is_a_kind_of_entry():
    assert set(DO.values()) <= set(KINDS)


def test_the_vocabulary_takes_whatever_a_schedule_takes():
    faces = {"fore": {"said as": ["FORE", "Front-Face 1"]}, "aft": None}

    words = from_schedule(schedule_from_json(a_print(parts={"Spar No. 2": {"faces": faces}})))

    assert words.parts[0].faces[0].spoken == ("fore", "front face one")


names = st.text("abcdefgh", min_size=1, max_size=8)


@st.composite
def schedules(draw):
    """Any print of a few parts: each step waits for some of those before it."""
    parts, ids = [], []
    for part_name in draw(st.lists(names, min_size=1, max_size=4, unique=True)):
        faces = draw(st.lists(names, max_size=3, unique=True))
        stations = draw(st.lists(names, max_size=3, unique=True))
        steps = []
        for _ in range(draw(st.integers(0, 4))):
            step = Step(
                id=f"S{len(ids) + 1}",
                part=part_name,
                face=draw(st.sampled_from(faces)) if faces else "",
                stations=tuple(draw(st.lists(st.sampled_from(stations), unique=True))) if stations else (),
                after=tuple(draw(st.lists(st.sampled_from(ids), unique=True))) if ids else (),
                plies=draw(st.integers(1, 20)),
                material="BID",
                orientation=draw(st.sampled_from(["", "0", "45"])),
                note=draw(st.sampled_from(["", "under the horn"])),
            )
            steps.append(
                step
                if draw(st.booleans())
                else replace(step, plies=0, material="", orientation="", do="bond")
            )
            ids.append(step.id)
        sides = draw(st.sampled_from([(), ("left", "right"), ("right",)]))
        named = (tuple(map(Name, faces)), (), tuple(map(Name, stations)))
        parts.append(Part(part_name, (), sides, *named, tuple(steps)))
    bare = Schedule("Quillwing", "1.10", schedule_from_json(a_print()).materials, parts=tuple(parts))
    used = dict.fromkeys(step.orientation for part in parts for step in part.steps if step.orientation)
    return replace(bare, orientations=tuple(map(Name, used)))


@settings(max_examples=60, deadline=None)
@given(schedules())
def test_a_schedule_comes_back_from_its_plain_form(schedule):
    assert schedule_from_json(json.loads(json.dumps(schedule.as_json()))) == schedule


@settings(max_examples=200, deadline=None)
@given(st.dictionaries(st.sampled_from("abcdef"), st.lists(st.sampled_from("abcdef"), max_size=3)))
def test_a_circle_is_found_exactly_where_no_order_exists(some):
    graph = {node: tuple(some.get(node, ())) for node in "abcdef"}
    try:
        TopologicalSorter(graph).prepare()
        has_order = True
    except CycleError:
        has_order = False

    found = list(circles(graph))

    assert bool(found) is not has_order
    for path in found:
        assert path[0] == path[-1]
        assert all(after in graph[before] for before, after in pairwise(path))


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
