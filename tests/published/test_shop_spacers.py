"""A spacer as the trade stacks it: common practice, no source."""

import pytest

from plytally.core.quantities import parse_quantity
from plytally.core.shop.stack import SpacerKind, pick_spacer

WASHERS = SpacerKind("washer", parse_quantity("0.070 in"), 8)
TAPES = SpacerKind("tape", parse_quantity("0.0045 in"), 8)


@pytest.mark.parametrize(
    "kinds",
    [
        pytest.param([WASHERS, TAPES], id="common practice, no source-washers first"),
        pytest.param([TAPES, WASHERS], id="common practice, no source-tapes first"),
    ],
)
def test_a_washer_of_0_070_and_four_tapes_make_0_088_for_a_layer_of_0_080_under_clamp(kinds):
    target, within, taken = (parse_quantity(f"{inches} in") for inches in ("0.080", "0.001", "0.008"))

    spacer = pick_spacer(target, within, kinds, clamp_takes=taken)

    assert {one.kind.name: one.number for one in spacer.pieces} == {"washer": 1, "tape": 4}
    assert spacer.loose.value == parse_quantity("0.088 in")
    assert spacer.clamped.value == parse_quantity("0.08 in")
    assert spacer.fits
