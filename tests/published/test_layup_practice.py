"""How plies add up where a hinge is: common practice of the trade, no source."""

import pytest

from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.ledger import Ledger
from plytally.schedule_file import schedule_from_yaml

PRINT = schedule_from_yaml("""\
aircraft: Quillwing
print revision: C
materials: BID
parts:
  elevator spar:
    sides: left and right
    faces: outside, inside
    stations: hinge 1, hinge 2, hinge 3
    steps:
      - {step: S1, face: outside, plies: 3, material: BID}
      - {step: S2, face: outside, at: [hinge 1, hinge 2, hinge 3], plies: 7, material: BID, after: S1}
      - {step: S3, face: inside, at: [hinge 1, hinge 2, hinge 3], plies: 2, material: BID, after: S1}
  elevator rib:
    sides: left and right
    faces: inboard, outboard
    stations: hinge 2
    steps:
      - {step: R1, face: inboard, plies: 2, material: BID}
      - {step: R2, face: outboard, plies: 2, material: BID}
""")


def totals(where):
    return {(total.place.part, total.place.face): total.asked for total in Ledger(PRINT).totals(where)}


@pytest.mark.parametrize(
    "hinge", [pytest.param(f"hinge {n}", id=f"common practice, no source-{n}") for n in (1, 2, 3)]
)
def test_three_over_the_length_and_seven_more_at_a_hinge_are_ten_outside_and_two_inside(hinge):
    spar = totals(Place("elevator spar", "right", station=hinge))

    assert spar == {("elevator spar", "outside"): 10, ("elevator spar", "inside"): 2}
    assert sum(spar.values()) == 12


@pytest.mark.parametrize(
    "side", [pytest.param(side, id=f"common practice, no source-{side}") for side in ("left", "right")]
)
def test_with_the_layers_of_the_rib_that_ends_there_sixteen_lie_at_the_middle_hinge(side):
    here = totals(Place(side=side, station="hinge 2"))

    assert here[("elevator rib", "inboard")] + here[("elevator rib", "outboard")] == 4
    assert sum(here.values()) == 16


@pytest.mark.parametrize(
    "hinge", [pytest.param(f"hinge {n}", id=f"common practice, no source-{n}") for n in (1, 2, 3)]
)
def test_laid_as_the_trade_lays_it_nothing_is_owed_at_the_hinge(hinge):
    done = [
        ("outside", 3, ""),
        *(("outside", 7, f"hinge {n}") for n in (1, 2, 3)),
        *(("inside", 2, f"hinge {n}") for n in (1, 2, 3)),
    ]
    log = []
    for at, (face, plies, station) in enumerate(done):
        fields = {"part": "elevator spar", "side": "left", "face": face, "plies": plies, "material": "BID"}
        fields |= {"station": station} if station else {}
        log.append(Dated(f"n{at}", f"2026-01-0{at + 1}T10:00:00Z", Entry("laid", fields)))
    ledger = Ledger(PRINT, log)

    assert ledger.owed(Place("elevator spar", "left", station=hinge)) == ()
    assert sum(total.laid for total in ledger.totals(Place("elevator spar", "left", station=hinge))) == 12
