"""Laid against asked: what counts where, what does not, and what remains owed."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.account import NextStep
from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.wall import WallError

HINGES = ["hinge 1", "hinge 2"]
PRINT = schedule_from_json(
    {
        "aircraft": "Quillwing",
        "print revision": "C",
        "materials": ["BID", "UNI", "carbon BID"],
        "parts": {
            "spar": {
                "sides": "left and right",
                "faces": ["fore", "aft"],
                "features": ["cap"],
                "stations": ["root", *HINGES],
                "steps": [
                    {"step": "E1", "face": "fore", "plies": 3, "material": "BID", "orientation": "45"},
                    {
                        "step": "E2",
                        "face": "fore",
                        "at": HINGES,
                        "plies": 7,
                        "material": "BID",
                        "after": "E1",
                        "disturbs": "E5",
                    },
                    {
                        "step": "E3",
                        "face": "aft",
                        "plies": 4,
                        "material": "BID",
                        "after": "E1",
                        "instead": {"material": "carbon BID", "because": "on hand"},
                    },
                    {"step": "E4", "face": "fore", "feature": "cap", "plies": 2, "material": "UNI"},
                    {"step": "E5", "at": HINGES, "do": "mount", "item": "hinge", "after": "E3"},
                ],
            },
            "post": {
                "faces": ["fore"],
                "steps": [
                    {"step": "P1", "face": "fore", "plies": 2, "material": "BID", "orientation": "0"},
                    {"step": "P2", "face": "fore", "plies": 1, "material": "BID", "orientation": "45"},
                    {"step": "P3", "face": "fore", "plies": 1, "material": "UNI", "after": "P2"},
                ],
            },
            "fin": {"steps": [{"step": "F1", "do": "bond", "after": ["P3"]}]},
        },
    }
)
FITTINGS = schedule_from_json(
    {
        "aircraft": "Quillwing",
        "print revision": "C",
        "materials": ["BID"],
        "parts": {
            "box": {
                "faces": ["fore", "aft", "end"],
                "features": ["cap", "web"],
                "stations": HINGES,
                "steps": [
                    {"step": "B1", "face": "fore", "feature": "cap", "plies": 1, "material": "BID"},
                    {
                        "step": "B2",
                        "face": "aft",
                        "at": HINGES,
                        "plies": 1,
                        "material": "BID",
                        "disturbs": "B4",
                    },
                    {"step": "B3", "at": "hinge 1", "do": "mount", "item": "bracket"},
                    {"step": "B4", "at": "hinge 1", "do": "mount", "item": "hinge", "after": "B2"},
                    {"step": "B5", "do": "bond", "after": "B2"},
                ],
            }
        },
    }
)
DAYS = st.integers(1, 28)


def entry(kind="laid", part="spar", side="right", **fields):
    given_ = {"part": part, "side": side if part == "spar" else "", **fields}
    return Entry(kind, {name: value for name, value in given_.items() if value != ""})


def laid(plies, material="BID", face="fore", **fields):
    return entry(face=face, plies=plies, material=material, **fields)


def mounted(station="hinge 1", **fields):
    return entry("mounted", station=station, **{"item": "hinge", **fields})


def noted(*entries, doubts=()):
    """Entries one a day, from 1 January on."""
    return [
        Dated(f"n{day}", f"2025-01-{day:02}T10:00:00+01:00", each, doubts)
        for day, each in enumerate(entries, 1)
    ]


def tally(ledger, step, side="right", station=""):
    (only,) = (t for t in ledger.tallies(Place(side=side)) if step in t.steps and t.place.station == station)
    return only


def kinds(ledger, where=None):
    return [(finding.kind, finding.entry.id) for finding in findings(ledger, where)]


def test_what_is_laid_is_no_longer_owed():
    ledger = Ledger(PRINT, noted(laid(2)))

    assert (tally(ledger, "E1").laid, tally(ledger, "E1").owed) == (2, 1)
    assert [dated.id for dated in tally(ledger, "E1").evidence] == ["n1"]


def test_the_other_side_still_owes_its_own():
    assert tally(Ledger(PRINT, noted(laid(3))), "E1", "left").owed == 3


def test_a_layer_over_the_whole_face_is_not_the_reinforcement_at_a_station():
    ledger = Ledger(PRINT, noted(laid(3), laid(7, station="hinge 1")))

    assert tally(ledger, "E1").owed == 0
    assert tally(ledger, "E2", station="hinge 1").owed == 0
    assert tally(ledger, "E2", station="hinge 2").owed == 7


def test_what_is_owed_at_a_station_is_its_own_and_what_goes_over_the_whole_face():
    owed = Ledger(PRINT).owed(Place("spar", "right", "fore", "", "hinge 2"))

    assert [(t.place.station, t.owed) for t in owed] == [("", 3), ("hinge 2", 7), ("", 2)]


def test_what_is_owed_on_a_face_leaves_out_the_other_face():
    assert [t.steps for t in Ledger(PRINT).owed(Place("spar", "right", "aft"))] == [("E3",)]


def test_the_total_at_a_station_counts_every_layer_there():
    ledger = Ledger(PRINT, noted(laid(3), laid(5, station="hinge 1")))

    totals = {
        total.place.station: total
        for total in ledger.totals(Place("spar", "right", "fore"))
        if not total.place.feature
    }

    assert (totals["hinge 1"].asked, totals["hinge 1"].laid) == (10, 8)
    assert (totals["hinge 2"].asked, totals["hinge 2"].laid) == (10, 3)


def test_plies_beyond_those_asked_are_over_and_owe_nothing():
    ledger = Ledger(PRINT, noted(laid(2), laid(3)))

    assert (tally(ledger, "E1").laid, tally(ledger, "E1").over, tally(ledger, "E1").owed) == (3, 2, 0)
    assert kinds(ledger) == [("over", "n2")]


def test_an_entry_in_doubt_is_shown_apart_and_stays_owed():
    ledger = Ledger(PRINT, [*noted(laid(2)), Dated("d", "2025-01-09T10:00:00Z", laid(1), ("plies",))])

    assert (tally(ledger, "E1").laid, tally(ledger, "E1").in_doubt, tally(ledger, "E1").owed) == (2, 1, 1)
    assert kinds(ledger) == [("in doubt", "d")]


def test_a_final_entry_goes_before_an_earlier_one_in_doubt():
    ledger = Ledger(PRINT, [Dated("d", "2025-01-01T00:00:00Z", laid(3), ("face",)), *noted(laid(3))])

    assert (tally(ledger, "E1").laid, tally(ledger, "E1").in_doubt) == (3, 0)


@pytest.mark.parametrize("field", ["unused", "text", "order", "by", "category"])
def test_a_doubt_about_something_else_leaves_the_plies_final(field):
    assert tally(Ledger(PRINT, noted(laid(3), doubts=(field,))), "E1").owed == 0


@pytest.mark.parametrize(
    "field", ["plies", "material", "side", "face", "station", "orientation", "kind", "withdrawn"]
)
def test_a_doubt_about_what_was_laid_where_is_not_final(field):
    assert tally(Ledger(PRINT, noted(laid(3), doubts=(field,))), "E1").in_doubt == 3


@pytest.mark.parametrize(
    ("said", "field"),
    [
        pytest.param(entry(side="", face="fore", plies=3, material="BID"), "side", id="side"),
        pytest.param(entry(plies=3, material="BID"), "face", id="face"),
        pytest.param(entry(face="fore", material="BID"), "plies", id="plies"),
        pytest.param(entry(face="fore", plies=3), "material", id="material"),
        pytest.param(
            entry(part="post", face="fore", plies=1, material="BID"), "orientation", id="orientation"
        ),
        pytest.param(mounted(station=""), "station", id="station of other work"),
        pytest.param(mounted(side=""), "side", id="side of other work"),
        pytest.param(Entry("laid", {"plies": 2, "material": "BID"}), "part", id="part"),
        pytest.param(laid(2, part="wing"), "part", id="unknown part"),
        pytest.param(laid(2, face="upper"), "face", id="unknown face"),
        pytest.param(laid(2, station="hinge 9"), "station", id="unknown station"),
        pytest.param(
            replace(laid(2, part="post"), fields={**laid(2, part="post").fields, "side": "left"}),
            "side",
            id="side of what has none",
        ),
    ],
)
def test_what_does_not_say_where_is_unplaced_and_its_field_asked(said, field):
    ledger = Ledger(PRINT, noted(said))

    (finding,) = findings(ledger)

    assert (finding.kind, finding.field) == ("unplaced", field)
    assert all(t.laid == 0 for t in ledger.tallies())


@pytest.mark.parametrize(
    ("said", "field"),
    [
        pytest.param(laid(3, "UNI"), "material", id="material"),
        pytest.param(laid(3, orientation="90"), "orientation", id="orientation"),
        pytest.param(laid(3, station="root"), "station", id="station without plies of its own"),
        pytest.param(laid(3, face="aft", feature="cap"), "feature", id="feature on the other face"),
        pytest.param(laid(3, "carbon BID"), "material", id="alternate of another step"),
    ],
)
def test_what_the_print_does_not_ask_for_is_not_on_the_print(said, field):
    ledger = Ledger(PRINT, noted(said))

    (finding,) = findings(ledger)

    assert (finding.kind, finding.field) == ("not on print", field)
    assert all(t.laid == 0 for t in ledger.tallies())


def test_an_alternate_counts_and_is_named():
    ledger = Ledger(PRINT, noted(laid(3), laid(4, "carbon BID", "aft")))

    assert (tally(ledger, "E3").owed, tally(ledger, "E3").instead) == (0, ("carbon BID",))
    assert kinds(ledger) == []


def test_an_orientation_that_need_not_be_said_is_taken_as_asked():
    assert tally(Ledger(PRINT, noted(laid(3))), "E1").laid == 3


def test_two_orientations_on_one_face_are_counted_apart():
    ledger = Ledger(PRINT, noted(laid(1, part="post", orientation="45")))

    assert [(t.orientation, t.owed) for t in ledger.tallies(Place("post"))] == [("0", 2), ("45", 0), ("", 1)]


def test_names_count_whatever_their_capitals():
    ledger = Ledger(PRINT, noted(laid(3, "bid", "Fore", part="spar")))

    assert tally(ledger, "E1").owed == 0


def test_a_withdrawn_entry_counts_no_more():
    (first,) = noted(laid(3))
    ledger = Ledger(PRINT, [first])

    ledger.add(replace(first, withdrawn=True))

    assert tally(ledger, "E1").owed == 3
    assert ledger.left_off().last is None


def test_an_amended_entry_takes_the_place_of_what_it_was():
    (first,) = noted(laid(3))
    ledger = Ledger(PRINT, [first])

    ledger.add(replace(first, entry=laid(2, face="aft")))

    assert (tally(ledger, "E1").laid, tally(ledger, "E3").laid) == (0, 2)


def test_a_step_before_what_it_needs_is_out_of_order_until_what_it_needs_is_done():
    ledger = Ledger(PRINT, noted(laid(4, face="aft")))

    (finding,) = findings(ledger)

    assert (finding.kind, finding.entry.id) == ("out of order", "n1")
    assert "step E1 comes first (3 BID at 45 on the fore face); it is still open" in finding.why


def test_a_step_done_too_late_stays_out_of_order_and_says_when():
    ledger = Ledger(PRINT, noted(laid(4, face="aft"), laid(3)))

    (finding,) = findings(ledger)

    assert finding.why.endswith("it was done only on 2 January 2025")


def test_steps_in_the_order_of_the_print_leave_nothing_to_find():
    done = noted(laid(3), laid(7, station="hinge 1"), laid(4, face="aft"), mounted("hinge 1"))

    assert kinds(Ledger(PRINT, done)) == []


def test_order_is_held_station_by_station():
    done = noted(
        laid(3), laid(7, station="hinge 1"), laid(4, face="aft"), mounted("hinge 1"), mounted("hinge 2")
    )

    (finding,) = findings(Ledger(PRINT, done))

    assert finding.entry.id == "n5"
    assert "7 BID on the fore face at hinge 2), and would spoil step E5" in finding.why


def test_the_side_does_not_mix_up_the_order():
    assert kinds(Ledger(PRINT, noted(laid(3, side="left"), laid(4, face="aft")))) == [("out of order", "n2")]


def test_work_that_is_no_step_of_the_print_is_only_log():
    assert kinds(Ledger(PRINT, noted(entry("sanded", side=""), entry("mixed", part="")))) == []


def test_what_was_only_looked_at_or_asked_is_no_work():
    ledger = Ledger(PRINT, noted(entry("photo"), entry("to_do"), entry("note", part="", text="cold")))

    assert ledger.left_off().last is None


def test_you_left_off_at_the_latest_work_there():
    ledger = Ledger(PRINT, noted(laid(3), laid(1, face="aft"), laid(3, side="left")))

    assert ledger.left_off(Place("spar", "right")).last.id == "n2"
    assert ledger.left_off(Place("spar")).last.id == "n3"
    assert ledger.left_off(Place("spar", "right", "fore")).last.id == "n1"
    assert ledger.left_off(Place("post")).last is None
    assert ledger.left_off().last.id == "n3"


def test_the_latest_is_by_the_instant_whatever_the_offset():
    early = Dated("a", "2025-01-01T23:30:00-08:00", laid(1))
    late = Dated("b", "2025-01-02T07:00:00+00:00", laid(1))

    assert Ledger(PRINT, [late, early]).left_off().last.id == "a"


def test_the_next_steps_wait_for_nothing():
    ledger = Ledger(PRINT, noted(laid(3), laid(7, station="hinge 1"), laid(1, face="aft")))
    right = {step.id: step for step in PRINT.steps if step.side == "right"}

    assert ledger.left_off(Place("spar", "right")).next == (
        NextStep(right["E2"], ("hinge 2",), 7),
        NextStep(right["E3"], (), 3),
        NextStep(right["E4"], (), 2),
    )


def test_what_would_be_spoilt_is_not_next():
    ledger = Ledger(PRINT, noted(laid(3), laid(4, face="aft"), laid(7, station="hinge 2")))

    ready = {next_.step.id: next_.stations for next_ in ledger.next_steps(Place("spar", "right"))}

    assert ready["E5"] == ("hinge 2",)


def test_the_whole_print_done_owes_nothing_and_has_nothing_next():
    done = [
        each
        for side in ("left", "right")
        for each in (
            laid(3, side=side),
            *(laid(7, side=side, station=hinge) for hinge in HINGES),
            laid(4, face="aft", side=side),
            laid(2, "UNI", side=side, feature="cap"),
            *(mounted(hinge, side=side) for hinge in HINGES),
        )
    ]
    post = [
        laid(2, part="post", orientation="0"),
        laid(1, part="post", orientation="45"),
        laid(1, "UNI", part="post"),
    ]
    ledger = Ledger(PRINT, noted(*done, *post, entry("bonded", part="fin")))

    assert ledger.owed() == ()
    assert ledger.next_steps() == ()
    assert findings(ledger) == ()


def box(kind="laid", **fields):
    return Entry(
        kind, {"part": "box", **({"plies": 1, "material": "BID"} if kind == "laid" else {}), **fields}
    )


def found(*entries):
    return [(finding.kind, finding.field) for finding in findings(Ledger(FITTINGS, noted(*entries)))]


def test_a_face_laid_only_at_features_or_stations_asks_at_which():
    assert found(box(face="fore")) == [("unplaced", "feature")]
    assert found(box(face="aft")) == [("unplaced", "station")]
    assert found(box(face="aft", feature="web")) == [("not on print", "feature")]
    assert found(box(face="end")) == [("not on print", "face")]


def test_of_two_things_mounted_at_one_place_it_must_be_said_which():
    assert found(box("mounted", station="hinge 1")) == [("unplaced", "item")]
    assert found(box("mounted", station="hinge 1", item="bracket")) == []


def test_work_done_twice_is_nothing_over():
    assert found(*[box("mounted", station="hinge 1", item="bracket")] * 2) == []


def test_one_entry_before_one_step_is_one_finding_however_many_stations_it_has():
    assert found(box("bonded")) == [("out of order", "")]


def test_a_step_both_needed_and_spoiling_is_told_once_and_as_spoiling():
    (finding,) = findings(Ledger(FITTINGS, noted(box("mounted", station="hinge 1", item="hinge"))))

    assert "would spoil step B4" in finding.why


def test_a_step_that_leaves_the_orientation_open_takes_any():
    assert tally(Ledger(PRINT, noted(laid(3), laid(4, face="aft", orientation="90"))), "E3").owed == 0


def test_a_time_that_is_none_is_told():
    with pytest.raises(WallError, match="yesterday"):
        Ledger(PRINT, [Dated("x", "yesterday", laid(1))])


entries = st.one_of(
    st.builds(
        lambda plies, material, face, station, side, feature: laid(
            plies, material, face, station=station, side=side, feature=feature
        ),
        st.integers(0, 9),
        st.sampled_from(["BID", "UNI", "carbon BID"]),
        st.sampled_from(["fore", "aft", ""]),
        st.sampled_from(["", "", "", "root", *HINGES]),
        st.sampled_from(["left", "right", "right", ""]),
        st.sampled_from(["", "", "cap"]),
    ),
    st.builds(
        lambda plies, material, angle: laid(plies, material, part="post", orientation=angle),
        st.integers(1, 4),
        st.sampled_from(["BID", "UNI"]),
        st.sampled_from(["0", "45", "90", ""]),
    ),
    st.builds(mounted, st.sampled_from(["", *HINGES]), side=st.sampled_from(["left", "right", ""])),
    st.just(entry("bonded", part="fin")),
)
logs = st.lists(
    st.builds(
        lambda day, each, doubts, withdrawn: (f"2025-01-{day:02}T10:00:00Z", each, doubts, withdrawn),
        DAYS,
        entries,
        st.sampled_from([(), (), (), ("plies",)]),
        st.sampled_from([False, False, False, True]),
    ),
    max_size=25,
).map(lambda rows: [Dated(f"n{at:02}", *row) for at, row in enumerate(rows)])


def everything(ledger):
    return (ledger.tallies(), findings(ledger), ledger.left_off(), ledger.left_off(Place("spar", "right")))


@settings(max_examples=80, deadline=None)
@given(logs, st.randoms(use_true_random=False))
def test_the_ledger_is_the_same_in_whatever_order_entries_arrive(log, random):
    shuffled = random.sample(log, len(log))
    arriving = Ledger(PRINT)
    for dated in shuffled:
        arriving.add(dated)
        arriving.tallies()

    assert everything(arriving) == everything(Ledger(PRINT, log))


@settings(max_examples=80, deadline=None)
@given(logs, logs)
def test_a_ledger_kept_current_is_one_built_afresh(before, after):
    ledger = Ledger(PRINT, before)
    everything(ledger)
    for dated in after:
        ledger.add(dated)
    newest = {dated.id: dated for dated in (*before, *after)}

    assert everything(ledger) == everything(Ledger(PRINT, newest.values()))


@settings(max_examples=100, deadline=None)
@given(logs)
def test_no_ply_of_a_final_layup_is_lost_from_the_account(log):
    ledger = Ledger(PRINT, log)
    final = [d for d in log if d.entry.kind == "laid" and not d.withdrawn and not d.in_doubt]
    noted_plies = sum(d.entry.fields["plies"] for d in final)
    counted = sum(t.laid + t.over for t in ledger.tallies())
    aside = {f.entry.id: f.entry for f in findings(ledger) if f.kind in ("unplaced", "not on print")}
    put_aside = sum(
        d.entry.fields["plies"] for d in aside.values() if d.entry.kind == "laid" and not d.in_doubt
    )

    assert noted_plies == counted + put_aside


@settings(max_examples=80, deadline=None)
@given(logs)
def test_every_layup_is_evidence_or_a_finding(log):
    ledger = Ledger(PRINT, log)
    seen = {d.id for t in ledger.tallies() for d in t.evidence} | {f.entry.id for f in findings(ledger)}
    should = {d.id for d in log if d.entry.kind == "laid" and not d.withdrawn and d.entry.fields["plies"]}

    assert should <= seen


@settings(max_examples=80, deadline=None)
@given(logs)
def test_laid_and_owed_agree_with_a_count_by_hand(log):
    ledger = Ledger(PRINT, log)
    by_hand = Counter()
    for dated in log:
        if dated.entry.kind == "laid" and not dated.withdrawn and not dated.in_doubt:
            fields = dated.entry.fields
            where = tuple(fields.get(name, "") for name in ("part", "side", "face", "feature", "station"))
            if fields["material"] == "BID" and where[0] == "spar":
                by_hand[where] += fields["plies"]
    for t in ledger.tallies(Place("spar")):
        place = (t.place.part, t.place.side, t.place.face, t.place.feature, t.place.station)
        if t.steps in (("E1",), ("E2",)):
            assert t.laid == min(t.asked, by_hand[place])
            assert t.over == by_hand[place] - t.laid
