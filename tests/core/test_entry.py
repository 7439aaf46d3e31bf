"""Entries: what fits, what is refused, and that nothing is lost in JSON."""

from decimal import Decimal

import pytest

from plytally.core.entry import FIELDS, KINDS, Entry, EntryError, Place
from plytally.core.quantities import Quantity, Ratio, unit_named

LAID = Entry("laid", {"plies": 2, "material": "BID", "part": "elevator spar", "side": "right"}, "laid two …")


def test_an_entry_survives_json():
    assert Entry.from_json(LAID.as_json()) == LAID


def test_an_amount_keeps_its_digits_and_its_spoken_unit():
    entry = Entry("vacuum", {"gauge": Quantity(Decimal("22.50"), unit_named("inHg"))})

    assert entry.as_json()["fields"]["gauge"] == {"amount": "22.50", "unit": "inHg"}
    assert Entry.from_json(entry.as_json()).fields["gauge"].amount == Decimal("22.50")


def test_a_ratio_keeps_its_parts():
    entry = Entry("mixed", {"ratio": Ratio(Decimal(100), Decimal("27.5"))})

    assert entry.as_json()["fields"]["ratio"] == {"ratio": ["100", "27.5"]}
    assert Entry.from_json(entry.as_json()) == entry


def test_an_entry_tells_what_it_lacks():
    assert Entry("laid", {"plies": 2}).lacks == ("material", "part")


def test_a_place_reads_as_it_is_said():
    assert str(Place("elevator spar", "right", "aft", "", "hinge 2")) == "right elevator spar, aft, hinge 2"


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ({"kind": "baked"}, "'baked' is not a kind of entry"),
        ({"kind": "laid", "fields": {"gauge": {"amount": "2", "unit": "inHg"}}}, "has no field 'gauge'"),
        ({"kind": "laid", "fields": {"plies": "two"}}, "field 'plies' holds a whole number"),
        ({"kind": "laid", "fields": {"plies": True}}, "cannot be read"),
        ({"kind": "laid", "fields": {"plies": 2.0}}, "cannot be read"),
        ({"kind": "laid", "fields": {"colour": "red"}}, "'colour' is not a field"),
        ({"kind": "laid", "fields": []}, "must be an object"),
        (
            {"kind": "vacuum", "fields": {"gauge": {"amount": "2", "unit": "g"}}},
            "holds a quantity of pressure",
        ),
        ({"kind": "vacuum", "fields": {"gauge": {"amount": "two", "unit": "inHg"}}}, "cannot be read"),
        ({"kind": "vacuum", "fields": {"gauge": {"amount": "2", "unit": "bananas"}}}, "cannot be read"),
        ({"kind": "mixed", "fields": {"ratio": {"ratio": ["4"]}}}, "cannot be read"),
        ({"kind": "mixed", "fields": {"ratio": {"ratio": ["0", "1"]}}}, "cannot be read"),
    ],
)
def test_an_entry_that_cannot_be_says_why(raw, says):
    with pytest.raises(EntryError) as refused:
        Entry.from_json(raw)

    assert says in str(refused.value)


@pytest.mark.parametrize("kind", KINDS.values(), ids=lambda k: k.name)
def test_every_kind_is_made_of_known_fields(kind):
    assert set(kind.fields) <= set(FIELDS)
    assert set(kind.needs) <= set(kind.fields)
