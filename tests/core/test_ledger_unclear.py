"""What does not count against the print: what is in doubt, does not say where, or is not asked for."""

from dataclasses import replace

import pytest
from support.ledgers import PRINT, box, entry, found, kinds, laid, mounted, noted, tally

from plytally.core.crediting import Dated
from plytally.core.entry import Entry
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.wall import WallError


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


def test_a_time_that_is_none_is_told():
    with pytest.raises(WallError, match="yesterday"):
        Ledger(PRINT, [Dated("x", "yesterday", laid(1))])
