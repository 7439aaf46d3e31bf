"""What is typed for one field at the desk."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.desk.typed_value import TypedValueError, told, typed_value
from plytally.core.entry import FIELDS, KINDS, Entry, value_from_json, value_to_json
from plytally.core.quantities import Quantity, Ratio, unit_named
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

INHG = unit_named("inHg")
WORDS = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))
LAID = Entry("laid", {"plies": 2, "material": "BID", "side": "left", "part": "elevator spar"})
MIXED = Entry("mixed", {})
VACUUM = Entry("vacuum", {"gauge": Quantity(Decimal(22), INHG)})


@pytest.mark.parametrize(
    ("entry", "field", "text", "value"),
    [
        (LAID, "plies", "3", 3),
        (LAID, "plies", "nineteen", 19),
        (LAID, "material", "uni glass", "UNI"),
        (LAID, "face", "aft face", "aft"),
        (LAID, "face", "rear", "aft"),
        (LAID, "station", "Hinge 2", "hinge 2"),
        (LAID, "side", "Right", "right"),
        (LAID, "part", "ELEVATOR SPAR", "elevator spar"),
        (LAID, "orientation", "45", "45"),
        (LAID, "orientation", "at forty five", "45"),
        (LAID, "batch", "b-77", "B-77"),
        (LAID, "batch", "seven one four", "714"),
        (LAID, "plies", "  ", None),
        (MIXED, "ratio", "4:1", Ratio(Decimal(4), Decimal(1))),
        (MIXED, "ratio", "four to one", Ratio(Decimal(4), Decimal(1))),
        (VACUUM, "gauge", "21", Quantity(Decimal(21), INHG)),
        (VACUUM, "gauge", "twenty one inches", Quantity(Decimal(21), INHG)),
    ],
)
def test_words_and_figures_are_read_for_their_field(entry, field, text, value):
    assert typed_value(field, text, entry, WORDS).value == value


@pytest.mark.parametrize(
    ("entry", "field", "text", "why"),
    [
        (LAID, "plies", "two and a half", "a whole number"),
        (LAID, "plies", "3 feet", "a whole number"),
        (LAID, "side", "upper", "there is left, right"),
        (LAID, "station", "hinge 7", "hinge 1"),
        (LAID, "part", "wing", "not on the print"),
        (LAID, "mass", "3 g", "no field 'mass'"),
        (MIXED, "mass", "80", "with its unit, such as 80 g"),
        (MIXED, "mass", "80 inHg", "a quantity of mass"),
        (MIXED, "ratio", "four", "a ratio such as 4:1"),
    ],
)
def test_what_does_not_fit_is_refused_with_what_is_wanted(entry, field, text, why):
    with pytest.raises(TypedValueError, match=why):
        typed_value(field, text, entry, WORDS)


def test_a_name_that_no_list_has_is_taken_and_told_as_new():
    read = typed_value("material", "aramid tape", LAID, WORDS)
    assert (read.value, read.new_in) == ("aramid tape", "materials")
    assert typed_value("material", "bid", LAID, WORDS).new_in == ""


@given(text=st.text(max_size=60), field=st.sampled_from(KINDS["laid"].fields))
def test_whatever_is_typed_is_a_value_of_the_field_or_refused(text, field):
    try:
        value = typed_value(field, text, LAID, WORDS).value
    except TypedValueError:
        return
    assert value is None or value_from_json(field, value_to_json(value)) == value
    assert FIELDS[field].holds == "text" or told(value)
