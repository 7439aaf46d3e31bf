"""Days, times and amounts as a builder likes them, beside what was said."""

import datetime
import time

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.entry import Doubt, Entry
from plytally.core.likes import DATES, OWN_UNITS, USUAL, Likes, month_told, setting_of, weekday
from plytally.core.quantities import Dimension, Quantity, parse_quantity, unit_named
from plytally.core.readback import shown

REFERENCE = pint.UnitRegistry()
NAMES = {"mil": "thou", "in": "inch", "inHg": "inch_Hg_32F", "mbar": "millibar", "oz": "ounce", "lb": "pound"}
NAMES |= {"degF": "degF", "degC": "degC", "°F": "degF", "°C": "degC"}
METRIC, INCH = Likes(units="metric"), Likes(units="inch")


@pytest.mark.parametrize(
    ("said", "likes", "told"),
    [
        pytest.param("22 inHg", METRIC, "74.5 kPa", id="NIST SP 811 B.8: 1 inHg is 3.386 389 kPa"),
        pytest.param("82 mil", METRIC, "2.083 mm", id="NIST SP 811 B.8: 1 mil is 0.0254 mm"),
        pytest.param("120 g", INCH, "4.233 oz", id="NIST SP 811 B.8: 1 oz is 28.349 52 g"),
        pytest.param("71 degF", METRIC, "21.67 °C", id="NIST SP 811 B.8: degC = (degF - 32) / 1.8"),
        pytest.param("22 inHg", INCH, "", id="said in those units"),
        pytest.param("22 inHg", USUAL, "", id="as it was said"),
        pytest.param("50 %", METRIC, "", id="has no other unit"),
        pytest.param("0 degC", INCH, "32 °F", id="nothing to round"),
        pytest.param(
            "22 inHg",
            Likes(own={Dimension.PRESSURE: "mbar"}),
            "745 mbar",
            id="a unit of its own, 22 x 33.863 89",
        ),
        pytest.param("80 g", Likes(units="inch", own={Dimension.MASS: "g"}), "", id="grams beside inches"),
        pytest.param(
            "2 mm", Likes(units="inch", own={Dimension.MASS: "g"}), "0.07874 in", id="inches beside grams"
        ),
    ],
)
def test_an_amount_is_told_beside_what_was_said(said, likes, told):
    assert likes.beside(parse_quantity(said)) == told


@settings(deadline=None)
@given(
    amount=st.integers(1, 99_999),
    said=st.sampled_from(
        [(dimension, symbol) for dimension, symbols in OWN_UNITS.items() for symbol in symbols]
    ),
    data=st.data(),
)
def test_every_unit_to_choose_agrees_with_a_reference_library(amount, said, data):
    dimension, symbol = said
    liked = data.draw(st.sampled_from(OWN_UNITS[dimension]))
    told = Likes(own={dimension: liked}).beside(
        Quantity(parse_quantity(f"{amount} {symbol}").amount, unit_named(symbol))
    )
    if liked == symbol:
        assert told == ""
        return
    theirs = REFERENCE.Quantity(amount, NAMES.get(symbol, symbol)).to(NAMES.get(liked, liked)).magnitude
    assert float(told.split()[0]) == pytest.approx(theirs, rel=1e-3, abs=1e-4)


def test_a_name_or_a_count_has_no_unit():
    assert (METRIC.beside("BID"), INCH.beside(3), METRIC.told("BID"), METRIC.told(None)) == (
        "",
        "",
        "BID",
        "nothing",
    )


@pytest.mark.parametrize(
    ("dates", "clock", "told"),
    [
        ("day_month", "24", "21 March 2026 19:05 −04:00"),
        ("month_day", "12", "March 21, 2026 7:05 pm −04:00"),
        ("iso", "24", "2026-03-21 19:05 −04:00"),
        ("iso", "12", "2026-03-21 7:05 pm −04:00"),
    ],
)
def test_a_moment_is_written_as_one_likes_with_its_offset_kept(dates, clock, told):
    assert Likes(dates=dates, clock=clock).moment("2026-03-21T19:05:00.000-04:00") == told


def test_a_time_in_utc_says_so():
    assert USUAL.moment("2026-03-21T19:05:00.000Z").endswith("19:05 UTC")


@pytest.mark.parametrize(
    ("clock", "told"),
    [
        pytest.param("00:00", "12:00 midnight", id="NIST: 12 a.m. is ambiguous, from memory"),
        pytest.param("12:00", "12:00 noon", id="NIST: 12 p.m. is ambiguous, from memory"),
        ("00:30", "12:30 am"),
        ("11:59", "11:59 am"),
        ("12:30", "12:30 pm"),
        ("13:00", "1:00 pm"),
    ],
)
def test_twelve_hours_leave_no_noon_or_midnight_in_doubt(clock, told):
    assert Likes(clock="12").time(clock) == told


@given(st.times())
def test_a_time_in_twelve_hours_is_the_same_time(clock):
    told = Likes(clock="12").time(clock.isoformat()).replace("midnight", "am").replace("noon", "pm")
    assert time.strptime(told, "%I:%M %p")[3:5] == (clock.hour, clock.minute)


@given(st.dates(min_value=datetime.date(1900, 1, 1)), st.sampled_from(DATES))
def test_a_day_can_be_read_in_one_way_only(day, dates):
    forms = {"iso": "%Y-%m-%d", "day_month": "%d %B %Y", "month_day": "%B %d, %Y"}
    told = Likes(dates=dates).day(day.isoformat())
    assert time.strptime(told, forms[dates])[:3] == (day.year, day.month, day.day)
    assert (weekday(day.isoformat()), month_told(day.isoformat())) == (f"{day:%A}", f"{day:%B} {day.year}")


@pytest.mark.parametrize(
    ("ours", "told"),
    [
        ("laid since 14 months (20 January 2025)", "laid since 14 months (January 20, 2025)"),
        ("due 19:05 on 3 March 2026", "due 7:05 pm on March 3, 2026"),
        (
            "work started on 3 March 2026 at 09:41 by builder",
            "work started on March 3, 2026 at 9:41 am by builder",
        ),
        ("until 3 March 2026, 12:00", "until March 3, 2026, 12:00 noon"),
        ("resin at 10:15, 3 plies", "resin at 10:15, 3 plies"),
    ],
)
def test_days_in_a_sentence_of_ours_are_written_as_one_likes(ours, told):
    assert Likes(dates="month_day", clock="12").days_in(ours) == told
    assert USUAL.days_in(ours) == ours


def test_an_entrys_line_has_the_liked_unit_in_brackets_and_without_likes_as_it_was_said():
    entry = Entry("vacuum", {"gauge": parse_quantity("22 inHg"), "part": "elevator spar"})
    assert "22 inHg (74.5 kPa)" in shown(entry, METRIC)
    assert "(" not in shown(entry)


def test_both_sides_of_a_doubt_are_told_alike_and_words_stay_words():
    doubt = METRIC.doubt(Doubt("mass", "50 oz", "15 oz", "they sound alike"))
    assert (doubt.heard, doubt.runner_up) == ("50 oz (1417 g)", "15 oz (425.2 g)")
    assert METRIC.doubt(Doubt("material", "22 inHg", "", "why")).heard == "22 inHg"


def test_settings_that_are_missing_or_strange_are_the_usual_ones():
    assert Likes.of({"dates": "roman", "clock": 12, "units": None, "unit_mass": "stone"}) == Likes(clock="12")
    assert Likes.of({setting_of(Dimension.MASS): "oz"}).told(parse_quantity("100 g")) == "100 g (3.527 oz)"
