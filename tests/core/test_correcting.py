"""What "make it …" changes, and what it refuses."""

from decimal import Decimal

import pytest

from plytally.core.correcting import CorrectionError, correction
from plytally.core.entry import Entry
from plytally.core.quantities import Quantity, unit_named

LAID = Entry("laid", {"plies": 2, "material": "BID", "part": "rudder post"})
READ = Entry("vacuum", {"gauge": Quantity(Decimal(22), unit_named("inHg")), "part": "rudder post"})


def test_a_bare_number_changes_the_first_amount():
    assert correction(LAID, (), {"number": "3"}) == {"plies": 3}


def test_a_bare_number_keeps_the_unit_that_was_spoken():
    assert correction(READ, (), {"number": "21.5"}) == {
        "gauge": Quantity(Decimal("21.5"), unit_named("inHg"))
    }


def test_a_bare_number_goes_to_the_amount_in_doubt_first():
    air = Entry(
        "shop_air",
        {
            "temperature": Quantity(Decimal(70), unit_named("degF")),
            "humidity": Quantity(Decimal(3), unit_named("%")),
        },
    )

    assert list(correction(air, ("humidity",), {"number": "30"})) == ["humidity"]


def test_a_side_or_a_material_changes_its_own_field():
    assert correction(LAID, (), {"side": "left"}) == {"side": "left"}
    assert correction(LAID, (), {"material": "UNI"}) == {"material": "UNI"}


@pytest.mark.parametrize(
    ("entry", "said", "says"),
    [
        (Entry("bagged", {"part": "rudder post"}), {"number": "3"}, "no number to change"),
        (READ, {"material": "UNI"}, "has no material"),
        (LAID, {"number": "2.5"}, "must be a whole number"),
    ],
)
def test_a_correction_that_does_not_fit_says_so(entry, said, says):
    with pytest.raises(CorrectionError, match=says):
        correction(entry, (), said)
