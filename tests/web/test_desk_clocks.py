"""The desk's clocks over HTTP: what runs and ran, being done with one or putting it off, whom calls go to."""

import pytest
from support.desk_days import OwnProgram
from support.devices import called_act
from support.shops import TestShop

from plytally.clock import fresh_id
from plytally.core.clocks import ClockBook

MIN, H = 60_000, 3_600_000
SPAR = {"side": "right", "part": "elevator spar"}


class House:
    """A shop with a phone that noted clocks, and its desk."""

    def __init__(self, folder):
        self.shop = TestShop(folder)
        self.phone, self.desk = self.shop.phone(), OwnProgram(self.shop)

    def notes(self, kind, after=1000, **fields):
        note = self.phone.maker.does(
            "note",
            None,
            {
                "entry": {"kind": kind, "fields": fields, "said": "", "unused": []},
                "doubts": [],
                "hearing": None,
                "author": "builder",
            },
            after,
        )
        return self.sends(note)

    def sends(self, operation):
        self.phone.sync([operation])
        self.shop.clock.millis = self.phone.maker.now
        return operation.id

    def told(self, **query):
        answer = self.desk.ask("GET", "/api/desk/clocks", query_string=query)
        assert answer.status_code == 200, answer.text
        return answer.json

    def does(self, act, clock, key="", **more):
        body = {"key": key or fresh_id(), "act": act, "entry": clock["id"], "call": clock["call"], **more}
        return self.desk.ask("POST", "/api/desk/clocks", json=body)


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path / "data")
    yield made
    made.shop.close()


def minutes(amount):
    return {"amount": str(amount), "unit": "min"}


def test_what_runs_is_told_the_first_due_first_with_who_was_called(house):
    house.notes("clock", clock="cure", duration=minutes(600))
    timer = house.notes("clock", duration=minutes(20))
    book = ClockBook()
    book.take(house.shop.log.state.entries.values())
    act = called_act(book.running(house.shop.clock.millis)[0], house.phone.device, "called by Web Push")
    house.sends(house.phone.maker.does(act["act"], act["target"], act["body"]))
    told = house.told()
    assert [clock["kind"] for clock in told["running"]] == ["timer", "cure"]
    (call,) = told["running"][0]["calls"]
    assert (told["running"][0]["id"], call["device"], call["why"]) == (
        timer,
        house.phone.device,
        "called by Web Push",
    )
    assert told["devices"][house.phone.device]


def test_done_at_the_desk_ends_it_durably_and_says_by_whom_and_how_late(house):
    house.notes("clock", duration=minutes(20))
    (clock,) = house.told()["running"]
    house.shop.clock.millis += 30 * MIN
    assert house.does("done", clock).status_code == 200
    house.shop.reopen()
    told = house.told()
    assert told["running"] == []
    (past,) = told["past"]
    assert (past["how"], past["line"], past["late"]) == ("done", "at the desk", "10 minutes")
    assert told["devices"][past["device"]] == "the desk"


@pytest.mark.parametrize(("more", "minutes_later"), [({}, 10), ({"minutes": 45}, 45)])
def test_put_off_at_the_desk_it_calls_again_so_much_later(house, more, minutes_later):
    house.notes("clock", duration=minutes(20))
    (clock,) = house.told()["running"]
    house.does("later", clock, **more)
    (later,) = house.told()["running"]
    assert later["due"] - clock["due"] == minutes_later * MIN
    assert later["call"] != clock["call"]


def test_the_same_request_again_does_nothing_more(house):
    house.notes("clock", duration=minutes(20))
    (clock,) = house.told()["running"]
    key = fresh_id()
    first, again = house.does("later", clock, key), house.does("later", clock, key)
    assert (len(first.json["kept"]), again.json["kept"]) == (1, [])
    assert house.told()["running"][0]["due"] - clock["due"] == 10 * MIN


@pytest.mark.parametrize("first", ["done", "later"])
def test_a_clock_that_is_not_as_the_page_shows_it_is_left_alone(house, first):
    house.notes("clock", duration=minutes(20))
    (clock,) = house.told()["running"]
    house.does(first, clock)
    answer = house.does("done", clock)
    assert (answer.status_code, answer.json["type"].split(":")[-1]) == (409, "changed")


def test_each_way_of_ending_is_told_the_latest_first(house):
    house.notes("bagged", **SPAR)
    house.notes("bag_off", after=H, **SPAR)
    cup = house.notes("mixed", mass={"amount": "80", "unit": "g"})
    house.sends(house.phone.maker.withdraws(cup))
    house.notes("mixed", mass={"amount": "90", "unit": "g"})
    house.notes("clock", duration=minutes(20), after=MIN)
    (clock,) = [each for each in house.told()["running"] if each["kind"] == "timer"]
    house.does("done", clock)
    house.shop.clock.millis += 20 * H
    told = house.told()
    assert [(each["label"], each["how"]) for each in told["past"]] == [
        ("timer", "done"),
        ("pot life", "lapsed"),
        ("pot life", "scratched"),
        ("pump", "noted"),
    ]
    assert told["past"][-1]["line"].startswith("bag off: right elevator spar")


def test_older_ones_are_asked_for_page_by_page(house):
    for _ in range(45):
        house.sends(house.phone.maker.withdraws(house.notes("clock", duration=minutes(20))))
    first = house.told()
    rest = house.told(before=first["past"][-1]["started"])
    assert (len(first["past"]), first["more"]) == (40, True)
    assert (len(rest["past"]), rest["more"]) == (5, False)
    assert house.desk.ask("GET", "/api/desk/clocks?before=soon").status_code == 422


def test_the_address_for_push_services_is_kept_and_nonsense_is_refused(house):
    assert (house.told()["contact"], house.phone.ask("GET", "/api/calls").json["contact"]) == ("", False)
    put = house.desk.ask("PUT", "/api/desk/contact", json={"contact": "builder@shop.example"})
    assert put.json == {"contact": "mailto:builder@shop.example"}
    assert house.phone.ask("GET", "/api/calls").json["contact"] is True
    assert house.desk.ask("PUT", "/api/desk/contact", json={"contact": "me"}).status_code == 422
    assert house.told()["contact"] == "mailto:builder@shop.example"
    house.desk.ask("PUT", "/api/desk/contact", json={"contact": ""})
    assert house.told()["contact"] == ""
