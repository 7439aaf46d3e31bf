"""A new revision of the print: what it changes, and what that means for what is laid already."""

import copy
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.ledger import Ledger
from plytally.core.revised import effects, effects_told
from plytally.core.revisions import changes, changes_told
from plytally.core.schedule_reading import schedule_from_json
from plytally.schedule_file import read_schedule_file

QUILLWING = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
OLD = {
    "aircraft": "Quillwing",
    "print revision": "C",
    "materials": {"BID": {"thickness": "9.6 mil"}, "UNI": {}, "carbon BID": {}},
    "orientations": ["45", "0/90"],
    "items": ["hinge"],
    "parts": {
        "spar": {
            "sides": "left and right",
            "faces": ["fore", "aft"],
            "stations": ["hinge 1", "hinge 2"],
            "drawing": "QW-31 sheet 1",
            "steps": [
                {"step": "E1", "face": "fore", "plies": 3, "material": "BID", "orientation": "45"},
                {
                    "step": "E2",
                    "face": "fore",
                    "at": ["hinge 1"],
                    "plies": 7,
                    "material": "BID",
                    "after": "E1",
                },
                {
                    "step": "E3",
                    "face": "aft",
                    "plies": 2,
                    "material": "BID",
                    "instead": {"material": "UNI", "because": "on hand"},
                },
                {"step": "E4", "at": ["hinge 1"], "do": "mount", "item": "hinge", "after": ["E2"]},
            ],
        },
        "rib": {"steps": [{"step": "R1", "plies": 2, "material": "BID"}]},
    },
}


def revised(**steps):
    """The print with fields of some steps changed; None as a step takes it out, as a field the field."""
    raw = copy.deepcopy(OLD) | {"print revision": "D"}
    for part in raw["parts"].values():
        part["steps"] = [step for step in part["steps"] if steps.get(step["step"], step) is not None]
        for step in part["steps"]:
            for name, value in steps.get(step["step"], {}).items():
                if value is None:
                    step.pop(name)
                else:
                    step[name] = value
    return schedule_from_json(raw)


def told(new):
    return [str(change) for change in changes(schedule_from_json(OLD), new)][1:]


def laid(plies, face="fore", material="BID", kind="laid", **fields):
    given_ = {"part": "spar", "side": "right", **fields}
    return Entry(kind, given_ | ({"face": face, "plies": plies, "material": material} if plies else {}))


def changed_by(new, *entries):
    log = [Dated(f"n{day}", f"2026-01-{day:02}T10:00:00Z", each) for day, each in enumerate(entries, 1)]
    found = effects(Ledger(schedule_from_json(OLD), log), Ledger(new, log))
    return [(effect.kind, effect.why) for effect in found]


@pytest.mark.parametrize(
    ("change", "line"),
    [
        ({"E1": {"plies": 4}}, "changed: step E1 of the spar: 3 plies become 4"),
        ({"E1": {"material": "UNI"}}, "changed: step E1 of the spar: material BID becomes UNI"),
        ({"E1": {"orientation": "0/90"}}, "changed: step E1 of the spar: orientation 45 becomes 0/90"),
        ({"E1": {"orientation": None}}, "changed: step E1 of the spar: orientation 45 is gone"),
        ({"E1": {"face": "aft"}}, "changed: step E1 of the spar: face fore becomes aft"),
        ({"E2": {"at": ["hinge 1", "hinge 2"]}}, "changed: step E2 of the spar: station hinge 2 is new"),
        (
            {"E2": {"at": "hinge 2"}},
            "changed: step E2 of the spar: station hinge 2 is new; station hinge 1 is gone",
        ),
        ({"E2": {"after": None}}, "changed: step E2 of the spar: step to wait for E1 is gone"),
        ({"E2": {"disturbs": "E4"}}, "changed: step E2 of the spar: step it would spoil E4 is new"),
        ({"E3": {"instead": None}}, "changed: step E3 of the spar: UNI may no longer be laid instead"),
        (
            {"E1": {"instead": {"material": "UNI", "because": "lighter"}}},
            "changed: step E1 of the spar: UNI may be laid instead, because: lighter",
        ),
        (
            {"E3": {"instead": {"material": "UNI", "because": "lighter"}}},
            "changed: step E3 of the spar: the reason for UNI becomes: lighter",
        ),
        ({"E1": {"drawing": "QW-9"}}, "changed: step E1 of the spar: drawing is now QW-9"),
        ({"E4": {"do": "bond"}}, "changed: step E4 of the spar: do mount becomes bond"),
        ({"E4": None}, "removed: step E4 of the spar: mount hinge at hinge 1"),
        (
            {"E3": {"plies": None, "material": None, "instead": None, "do": "sand", "face": None}},
            "changed: step E3 of the spar: was 2 BID on the aft face, is now sand",
        ),
    ],
)
def test_a_difference_is_told_in_the_trades_words(change, line):
    assert line in told(revised(**change))


def test_the_same_print_says_so():
    assert changes_told(changes(QUILLWING, QUILLWING)) == ("the print says the same as before.",)


def test_parts_and_names_come_and_go():
    raw = copy.deepcopy(OLD)
    raw["parts"]["post"] = raw["parts"].pop("rib") | {"said as": "rudder post"}
    raw["parts"]["spar"]["stations"] = ["hinge 1", "hinge 2", "tip"]
    raw["parts"]["spar"]["sides"] = "right"
    raw["materials"]["BID"] = {"thickness": "10 mil", "said as": "glass bid"}

    assert [str(change) for change in changes(schedule_from_json(OLD), schedule_from_json(raw))] == [
        "changed: material BID: thickness 9.6 mil becomes 10 mil",
        "changed: material BID: is said as: glass bid",
        "changed: the spar: side left is gone",
        "added: station tip of the spar",
        "removed: part rib: with 1 step",
        "added: part post: with 1 step",
    ]


def test_a_step_that_went_to_another_part_says_where_it_was():
    raw = copy.deepcopy(OLD)
    raw["parts"]["rib"]["steps"] += [raw["parts"]["spar"]["steps"].pop(0) | {"face": ""}]
    raw["parts"]["spar"]["steps"][0].pop("after")

    assert "added: step E1 of the rib: 3 BID at 45, which was of the spar" in [
        str(change) for change in changes(schedule_from_json(OLD), schedule_from_json(raw))
    ]


@settings(max_examples=20, deadline=None)
@given(st.sampled_from([step.id for step in QUILLWING.steps if step.is_layup]), st.integers(1, 9))
def test_every_change_of_plies_is_seen_and_nothing_else(step_id, more):
    raw = QUILLWING.as_json()
    (step,) = (s for p in raw["parts"].values() for s in p["steps"] if s["step"] == step_id)
    step["plies"] = str(int(step["plies"]) + more)

    (change,) = changes(QUILLWING, schedule_from_json(raw))

    assert (change.kind, change.steps) == ("changed", (step_id,))


def test_more_plies_are_owed_where_some_lie():
    assert changed_by(revised(E1={"plies": 5}), laid(3)) == [
        ("now owed", "right spar, fore face: 2 BID at 45 more")
    ]


def test_fewer_plies_leave_what_lies_over():
    assert changed_by(revised(E1={"plies": 2}), laid(3)) == [
        ("now over", "right spar, fore face: 2 BID at 45 asked, 3 laid")
    ]


def test_plies_that_were_owed_and_are_not_any_more():
    assert changed_by(revised(E1={"plies": 2}), laid(2)) == [
        ("no longer owed", "right spar, fore face: 1 BID at 45")
    ]


def test_what_was_not_begun_is_not_touched():
    assert changed_by(revised(E1={"plies": 5}), laid(2, "aft")) == []
    assert effects_told(()) == ("nothing changes in what was laid.",)


def test_another_material_leaves_what_lies_off_the_print_and_asks_for_its_own():
    assert changed_by(revised(E1={"material": "carbon BID"}), laid(3)) == [
        ("now owed", "right spar, fore face: 3 carbon BID at 45"),
        (
            "no longer on the print",
            "3 BID laid on right spar, fore face, 1 January 2026: "
            "the print asks for carbon BID here, not BID",
        ),
    ]


def test_an_alternate_that_the_new_print_allows_counts_from_now_on():
    allowed = revised(E1={"instead": {"material": "UNI", "because": "on hand"}})

    kinds = [kind for kind, _ in changed_by(allowed, laid(3, material="UNI"))]

    assert kinds == ["no longer owed", "now on the print"]


def test_a_part_that_is_gone_takes_what_was_laid_off_the_print():
    raw = copy.deepcopy(OLD)
    raw["parts"].pop("rib")

    (effect,) = changed_by(
        schedule_from_json(raw), Entry("laid", {"part": "rib", "plies": 2, "material": "BID"})
    )

    assert effect == (
        "no longer on the print",
        "2 BID laid on rib, 1 January 2026: the print has no part 'rib'",
    )


def test_an_order_that_the_new_print_wants_may_be_broken_already():
    entries = (laid(3), laid(7, station="hinge 1"), laid(0, kind="mounted", item="hinge", station="hinge 1"))

    found = changed_by(revised(E3={"disturbs": "E4"}), *entries)

    assert found == [
        (
            "order now broken",
            "hinge mounted or fitted on right spar, at hinge 1, 3 January 2026: step E3 comes first "
            "(2 BID on the aft face), and would spoil step E4; it is still open; 2 BID go under the hinge "
            "that is mounted: the surface rises 0.0192 in (0.4877 mm), flush is lost by that much; lay "
            "first, or build up the other side by 2 plies of BID",
        )
    ]


def test_an_order_that_is_wanted_no_more_is_mended():
    broken = (laid(7, station="hinge 1"), laid(3))

    assert [kind for kind, _ in changed_by(revised(E2={"after": None}), *broken)] == [
        "order no longer broken"
    ]


def test_the_words_of_a_step_alone_break_no_order():
    broken = (laid(7, station="hinge 1"),)

    assert "order now broken" not in [kind for kind, _ in changed_by(revised(E1={"plies": 4}), *broken)]


def test_an_effect_names_its_place_and_its_evidence():
    log = [Dated("n1", "2026-01-01T10:00:00Z", laid(3))]
    (effect,) = effects(Ledger(schedule_from_json(OLD), log), Ledger(revised(E1={"plies": 4}), log))

    assert effect.place == Place("spar", "right", "fore")
    assert [dated.id for dated in effect.entries] == ["n1"]
