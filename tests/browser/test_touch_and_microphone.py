"""From the touch to the first sample: nothing said is cut, and the microphone is open only when needed.

See "Capture" and rows 13, 14 and 17 of the table in docs/phone.md.
"""

import json

from support.faults_in_page import (
    COUNTED_MICROPHONE,
    COUNTED_WAKE_LOCKS,
    ENDLESS_VOICE,
    KEPT_PRESSES,
    OWN_MICROPHONE,
    hasty,
)

IDLE_MS, AWAY_MS = 600_000, 25_000
LOUD = 10_000
OPEN = "window.tracks.filter((track) => track.readyState === 'live').length"
ASLEEP = """
  Object.defineProperty(document, "visibilityState", { get: () => "hidden", configurable: true });
  document.dispatchEvent(new Event("visibilitychange"));
"""


def settings(**those):
    """What the builder chose on an earlier visit."""
    return f"localStorage.setItem('plytally-settings', JSON.stringify({json.dumps(those)}));"


def at_hand(phone):
    """The microphone is open, and has been for long enough to remember something."""
    phone.until(f"{OPEN} === 1")
    phone.page.wait_for_timeout(600)


def beginning_of_the_note(phone):
    """The first half second of what was recorded by a touch a fifth of a second after a word began."""
    phone.until("window.wordThenTouch(200)")
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_recorded(1)
    phone.sheet.click()
    phone.page.locator(".sheet.ready").wait_for()
    newest = max(phone.kept("media"), key=lambda medium: medium["startedMillis"])
    return phone.samples(newest["id"])[:8000]


def test_a_word_that_begins_before_the_touch_is_kept(shop, phones):
    phone = phones(shop.url, warm=True, faults=[OWN_MICROPHONE])
    at_hand(phone)
    heard = lambda: max(map(abs, beginning_of_the_note(phone))) > LOUD  # noqa: E731
    assert heard() or heard(), "twice, since a busy machine may stop its sound for longer than a word"


def test_a_microphone_that_is_not_held_ready_is_off_but_for_the_note(shop, phones):
    phone = phones(shop.url, warm=True, faults=[OWN_MICROPHONE, settings(ready=False)])
    phone.until("document.querySelector('.sheet.ready')")
    assert max(map(abs, beginning_of_the_note(phone))) < LOUD
    phone.until(f"{OPEN} === 0")
    assert phone.ask("window.tracks.length") == 1


def test_the_phones_own_voice_is_not_taken_for_the_beginning_of_a_note(shop, phones):
    phone = phones(shop.url, warm=True, faults=[OWN_MICROPHONE, ENDLESS_VOICE])
    at_hand(phone)
    phone.write("mixed eighty grams at four to one")
    phone.until("window.began")
    assert max(map(abs, beginning_of_the_note(phone))) < LOUD


def test_on_another_page_the_microphone_is_let_go_and_on_the_bench_it_is_there_again(shop, phones):
    phone = phones(shop.url, warm=True, faults=[COUNTED_MICROPHONE, hasty(AWAY_MS)])
    phone.until(f"{OPEN} === 1")
    phone.open("Log")
    phone.until(f"{OPEN} === 0")
    phone.open("Bench")
    phone.until(f"{OPEN} === 1")


def test_out_of_sight_the_microphone_is_let_go(shop, phones):
    phone = phones(shop.url, warm=True, faults=[COUNTED_MICROPHONE, hasty(AWAY_MS)])
    phone.until(f"{OPEN} === 1")
    phone.page.evaluate(ASLEEP)
    phone.until(f"{OPEN} === 0")


def test_after_a_while_without_a_note_the_microphone_is_let_go_and_the_next_touch_records(shop, phones):
    phone = phones(shop.url, warm=True, faults=[COUNTED_MICROPHONE, hasty(IDLE_MS)])
    phone.until(f"window.tracks.length > 0 && {OPEN} === 0")
    phone.speak(1)
    phone.until_media(1)
    phone.until(f"{OPEN} === 0")
    assert phone.wrong == []


def test_the_screen_is_kept_on_from_a_note_until_a_while_after_it(shop, phones):
    held = "window.locks.filter((lock) => !lock.released).length"
    phone = phones(shop.url, faults=[COUNTED_WAKE_LOCKS, "window.waits = [];", _kept_back(IDLE_MS)])
    phone.speak(1)
    phone.until(f"{held} === 1")
    phone.until("window.locks.at(-1).release().then(() => true)")
    phone.page.evaluate('document.dispatchEvent(new Event("visibilitychange"))')
    phone.until(f"{held} === 1")
    phone.page.evaluate("window.waits.forEach((work) => work())")
    phone.until(f"{held} === 0")


def _kept_back(millis):
    """Timers of so many milliseconds wait in `waits` until the test lets them go."""
    return f"""{{
  const set = window.setTimeout;
  window.setTimeout = (work, ms, ...given) =>
    ms === {millis} ? (window.waits.push(work), 0) : set(work, ms, ...given);
}}"""


def test_a_key_that_is_held_records_while_it_is_held(shop, phones):
    phone = phones(shop.url)
    phone.page.keyboard.down("b")
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_recorded(1)
    phone.page.keyboard.up("b")
    phone.page.locator(".sheet.ready").wait_for()
    phone.until_media(1)


def test_a_key_after_a_touch_starts_a_note_and_not_the_button_that_was_touched(shop, phones):
    phone = phones(shop.url)
    phone.page.get_by_role("button", name="Bench").click()
    phone.page.keyboard.press("Enter")
    phone.page.locator(".sheet.recording").wait_for()


def test_by_keyboard_the_button_in_focus_is_meant_and_a_field_takes_every_key(shop, phones):
    phone = phones(shop.url)
    phone.page.get_by_role("button", name="Write").focus()
    phone.page.keyboard.press("Enter")
    phone.page.get_by_label("Write a note").wait_for()
    phone.page.get_by_label("Write a note").press_sequentially("a b")
    assert phone.page.get_by_label("Write a note").input_value() == "a b"
    assert phone.kept("media") == []


def test_a_headsets_button_starts_and_ends_a_note_once_the_builder_wants_it(shop, phones):
    phone = phones(shop.url, faults=[KEPT_PRESSES])
    assert not phone.ask("Object.values(window.presses).some(Boolean)")
    phone.open("Shop")
    phone.page.get_by_label("A headset's button").check()
    phone.until("window.presses.pause && window.playing && !window.playing.paused && window.playing.loop")
    phone.page.evaluate("window.presses.pause({ action: 'pause' })")
    phone.page.locator(".sheet.recording").wait_for()
    phone.until_recorded(1)
    phone.page.evaluate("window.presses.play({ action: 'play' })")
    phone.page.locator(".sheet.ready").wait_for()
    phone.until_media(1)
    phone.open("Shop")
    phone.page.get_by_label("A headset's button").uncheck()
    phone.until("window.playing.paused && !window.presses.pause")
