"""The schedule as a value: sides, order and the plain form."""

import json
from dataclasses import replace
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from support.prints import SPAR, a_print, with_step

from plytally.core.entry import KINDS
from plytally.core.names import Name
from plytally.core.quantities import parse_quantity
from plytally.core.schedule import DO, Part, Schedule, Step
from plytally.core.schedule_order import circles
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.vocabulary import from_schedule


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
