"""Hours, the calendar, and the stores, from what the log says and from nothing else."""

import pytest
from support.devices import Device

from plytally.core.hours import hours, time_told
from plytally.core.likes import ISO, Likes
from plytally.core.merge import State
from plytally.core.pictures.stores import NO_STOCK, stores_figures
from plytally.core.pictures.work import NO_DAYS, NO_HOURS, days_figure, hours_figures
from plytally.core.spoken_hours import from_until, told_afterwards
from plytally.core.stock import Stock, StockError, stock_from_json

HOUR = 3_600_000
STOCK = {
    "resin": [{"name": "epoxy", "batch": "4471", "amount": "5 kg", "expires": "2026-11-30"}],
    "cloth": [{"name": "BID", "amount": "30 m2"}],
    "face areas": {"elevator spar": {"aft face": "0.40 m2"}},
}


def entry(kind, **fields):
    return {"kind": kind, "fields": fields, "said": "", "unused": []}


def log(*acts):
    """The log's entries after some (kind, fields, hours since the last) on one phone."""
    phone = Device()
    made = [
        phone.does("note", None, note(entry(kind, **fields)), int(after * HOUR))
        for kind, fields, after in acts
    ]
    return State().with_operations(made).order


def note(raw, doubts=()):
    return {"entry": raw, "doubts": list(doubts), "hearing": None, "author": "builder"}


def test_a_stop_ends_what_was_started():
    worked = hours(log(("started", {"part": "spar", "category": "layup"}, 1), ("stopped", {}, 2.5)))
    (session,) = worked.sessions
    assert (session.minutes, session.part, session.category) == (150, "spar", "layup")
    assert worked.remarks == ()


@pytest.mark.parametrize(
    ("acts", "why"),
    [
        pytest.param([("started", {}, 1)], "is not stopped yet", id="never stopped"),
        pytest.param([("stopped", {}, 1)], "has no start", id="never started"),
        pytest.param(
            [("started", {}, 1), ("stopped", {}, 30)], "when did it stop", id="longer than a day's work"
        ),
    ],
)
def test_hours_that_were_not_noted_are_asked_for_and_not_guessed(acts, why):
    worked = hours(log(*acts))
    assert worked.minutes == 0
    assert why in worked.remarks[0]


def test_a_second_start_leaves_the_first_uncounted_and_says_so():
    worked = hours(log(("started", {}, 1), ("started", {}, 1), ("stopped", {}, 1)))
    assert worked.minutes == 60
    assert "before the next start" in worked.remarks[0]


def test_the_hours_of_every_view_add_up_to_the_same():
    worked = hours(
        log(("started", {"part": "spar"}, 1), ("stopped", {}, 2), ("started", {}, 170), ("stopped", {}, 1))
    )
    for figure in hours_figures(worked):
        assert sum(int(row[2]) for row in figure.table.rows) == worked.minutes == 180


def test_an_empty_log_says_what_to_do_next():
    assert hours_figures(hours(()))[0].remarks == (NO_HOURS,)
    assert days_figure((), hours(())).remarks == (NO_DAYS,)
    assert all(NO_STOCK in figure.remarks for figure in stores_figures((), Stock(), "2026-11-03"))


def test_the_calendar_has_each_day_worked_with_its_entries():
    entries = log(
        ("laid", {"plies": 2, "material": "BID", "part": "spar"}, 1),
        ("sanded", {"part": "spar"}, 2),
        ("note", {"text": "rain"}, 24),
        ("sanded", {"part": "spar"}, 24),
    )
    rows = days_figure(entries, hours(entries), Likes(dates=ISO)).table.rows
    assert [(row[0], row[2]) for row in rows] == [("2026-11-03", "2"), ("2026-11-05", "1")]
    assert days_figure(entries, hours(entries)).table.rows[0][0] == "3 November 2026"


def mixed(grams, batch=""):
    fields = {"mass": {"amount": str(grams), "unit": "g"}, "resin": "epoxy"}
    return ("mixed", fields | ({"batch": batch} if batch else {}), 1)


def test_resin_mixed_is_taken_from_its_batch_and_no_other():
    figure, _ = stores_figures(log(mixed(120, "4471"), mixed(80)), stock_from_json(STOCK), "2026-11-03")
    rows = {row[1]: row for row in figure.table.rows}
    assert rows["4471"][2:6] == ("120 g", "", "5 kg", "4.88 kg")
    assert rows["batch not said"][4] == "not on the list"


def test_a_batch_near_its_day_past_it_or_used_after_it_is_told():
    entries = log(mixed(120, "4471"))

    def said(today, stock=STOCK):
        return " ".join(stores_figures(entries, stock_from_json(stock), today)[0].remarks)

    assert "27 more days" in said("2026-11-03")
    assert "past its day" in said("2026-12-03")
    early = {"resin": [STOCK["resin"][0] | {"expires": "2026-10-01"}]}
    assert "was used after it, last on 3 November 2026" in said("2026-11-03", early)


def test_cloth_is_an_area_only_where_the_builder_gave_one():
    known = {"plies": 2, "material": "BID", "part": "elevator spar", "side": "right", "face": "aft face"}
    _, figure = stores_figures(log(("laid", known, 1)), stock_from_json(STOCK), "2026-11-03")
    assert figure.table.rows[0][2:7] == ("2", "", "0.8 m²", "30 m²", "29.2 m²")
    _, figure = stores_figures(
        log(("laid", known | {"face": "fore"}, 1)), stock_from_json(STOCK), "2026-11-03"
    )
    assert figure.table.rows[0][4] == "not known"
    assert any("no area of one ply for: elevator spar, fore" in remark for remark in figure.remarks)


def test_every_fault_of_a_stock_list_is_told_at_once():
    wrong = {
        "resin": [{"batch": "1", "amount": "5 m2"}, "epoxy"],
        "cloth": [{"name": "BID", "amount": "3 m2", "expires": "soon"}],
        "glue": [],
    }
    with pytest.raises(StockError) as told:
        stock_from_json(wrong)
    text = "\n".join(told.value.problems)
    for part in ("'glue'", "resin 1: wanted a mass", "'name' is missing", "resin 2", "'expires'"):
        assert part in text


def test_time_is_told_in_hours_and_minutes():
    assert (time_told(0), time_told(60)) == ("0 min", "1 h 00 min")


def spent(hours, **fields):
    return {"duration": {"amount": str(hours), "unit": "h"}, **fields}


def test_hours_told_afterwards_count():
    worked = hours(
        log(("spent", spent(2, part="rudder post"), 1), ("spent", spent(3, part="rudder spar"), 1))
    )
    assert (worked.minutes, worked.remarks) == (300, ())


@pytest.mark.parametrize(
    "acts",
    [
        pytest.param(
            [("started", {"part": "spar"}, 1), ("stopped", {}, 2), ("spent", spent(2, part="spar"), 1)],
            id="the same part, started and stopped",
        ),
        pytest.param([("started", {}, 1), ("stopped", {}, 2), ("spent", spent(2), 1)], id="no part said"),
        pytest.param(
            [("spent", spent(2, part="spar"), 1), ("spent", spent(2, part="spar"), 1)], id="told twice"
        ),
    ],
)
def test_time_that_may_count_already_is_told_and_not_counted_a_second_time(acts):
    worked = hours(log(*acts))
    assert worked.minutes == 120
    assert "not counted a second time" in worked.remarks[0]


def test_yesterdays_hours_are_yesterdays():
    today, earlier = hours(log(("spent", spent(2), 1))), hours(log(("spent", spent(2, day="yesterday"), 1)))
    assert (today.sessions[0].day > earlier.sessions[0].day, earlier.minutes) == (True, 120)


@pytest.mark.parametrize(
    ("began", "ended", "said", "walls"),
    [
        ("6:00 am or pm", "9:30 am or pm", "2026-11-03T21:40:00.000+01:00", ("18:00", "21:30")),
        ("6:00 am or pm", "9:30 am or pm", "2026-11-03T12:00:00.000+01:00", ("06:00", "09:30")),
        ("21:00", "01:00", "2026-11-04T01:10:00.000+01:00", ("21:00", "01:00")),
    ],
)
def test_from_when_to_when_is_the_last_that_had_gone_by(began, ended, said, walls):
    lasted = from_until(began, ended)
    told = told_afterwards({"duration": lasted, "began": began, "ended": ended}, said)
    assert tuple(wall[11:16] for wall in told.walls) == walls
