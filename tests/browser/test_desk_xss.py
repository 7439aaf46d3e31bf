"""What a builder says or types is shown as it is and never run: markup in every field, at the desk."""

import pytest
from support.desk_days import DAY, until
from support.devices import Device

from plytally.core.body import KIND
from plytally.core.hearing import Hearing, Word
from plytally.core.wall import read_wall
from plytally.store.heard import HeardAgain

BAD = '"><img src=x onerror="window.hit=1"><script>window.hit=1</script>'
NOON = read_wall(f"{DAY}T12:00:00Z").millis


def said_badly(log):
    """One entry with markup in every text that a phone can send: words, fields, doubts, reasons, names."""
    phone, other = Device("phone-1", NOON), Device("phone-2", NOON)
    names = ("part", "face", "feature", "station", "material", "orientation", "batch")
    fields = {"plies": 2, **dict.fromkeys(names, BAD)}
    entry = {"kind": "laid", "fields": fields, "said": BAD, "unused": [BAD]}
    doubts = [
        {"field": name, "heard": BAD, "runner_up": f"{BAD}2", "why": BAD} for name in ("face", KIND, BAD)
    ]
    hearing = Hearing((Word(BAD, 0.1, 0.5, 0.3, BAD),), engine=BAD, remarks=(BAD,)).as_json()
    body = {"entry": entry, "doubts": doubts, "hearing": hearing, "author": BAD}
    note = phone.does("note", None, body)
    sound = {
        "media": log.media.keep(b"no sound"),
        "mime": "audio/wav",
        "size": 8,
        "role": "sound",
        "name": BAD,
    }
    photo = {"media": "ab" * 32, "mime": "image/jpeg", "size": 8, "role": "photo", "name": BAD}
    operations = [
        note,
        phone.does("attach", note.id, sound),
        phone.does("attach", note.id, photo),
        phone.amends(note.id, "material", f"{BAD}1", [note.id], author=BAD, why=BAD),
        other.amends(note.id, "material", f"{BAD}2", [note.id], author=BAD, why=BAD),
        phone.notes({"kind": "note", "fields": {"text": BAD}, "said": BAD, "unused": []}),
        phone.notes({"kind": "started", "fields": {"category": BAD, "part": BAD}, "said": BAD, "unused": []}),
    ]
    operations.append(phone.withdraws(operations[-2].id, BAD))
    for device in ("phone-1", "phone-2"):
        raws = [operation.as_json() for operation in operations if operation.device == device]
        assert log.receive(raws, device).refused == ()
    HeardAgain(log.folder).keep(
        operations[1].id, note.id, Hearing((Word(BAD, 0, 1, 0.2, BAD),), engine=BAD), [BAD], ""
    )
    return note.id


@pytest.fixture
def bad_shop(shop):
    shop.entry = said_badly(shop.log)
    shop.inside.desk.set("person", BAD[:60])
    return shop


def test_markup_in_every_field_is_shown_and_never_run(bad_shop, desks):
    desk = desks(bad_shop).sign_in()
    desk.page.locator(".strips").wait_for()
    desk.page.goto(f"{bad_shop.url}/desk#day/{DAY}/{bad_shop.entry}")
    desk.page.locator(".detail").wait_for()
    shown = desk.page.inner_text("main")
    assert shown.count('<img src=x onerror="window.hit=1">') > 10
    for row in desk.page.locator("[data-entry]").all():
        row.click()
        desk.page.locator(f'.detail[data-of="{row.get_attribute("data-entry")}"]').wait_for()
    desk.press("r")
    desk.page.locator(".asksheet").wait_for()
    desk.page.keyboard.press("Control+a")
    desk.page.keyboard.type(BAD)
    desk.page.locator(".reads b, .reads span").first.wait_for()
    desk.press("Escape", "F")
    desk.page.locator(".foundlist li").first.wait_for()
    desk.page.keyboard.type("onerror")
    until(lambda: "onerror" in desk.page.inner_text(".foundlist"))
    assert desk.page.evaluate("window.hit") is None
    assert desk.page.locator("main script, main [onerror], main img[src=x]").count() == 0
    assert [problem for problem in desk.wrong if "Content Security" in problem] == []
