"""What the phone does to be noticed by somebody who does not look: tones, shaking, and a pile that grows."""

from support.faults_in_page import OWN_MICROPHONE

NOTICED = """{
  window.shakes = [];
  window.tones = [];
  Navigator.prototype.vibrate = (pattern) => window.shakes.push([].concat(pattern));
  const Oscillator = window.OscillatorNode;
  window.OscillatorNode = class extends Oscillator {
    constructor(context, given) {
      super(context, given);
      if (given?.type === "triangle") window.tones.push(given.frequency);
    }
  };
}"""
NO_MICROPHONE = """
  MediaDevices.prototype.getUserMedia = async () => { throw new DOMException("gone", "NotFoundError"); };
"""


def noticed(phone):
    """The shaking and the tones since the last time, once there are some."""
    phone.until("window.shakes.length && window.tones.length")
    phone.page.wait_for_timeout(300)
    return tuple(
        tuple(map(str, each)) for each in phone.ask("[window.shakes.splice(0), window.tones.splice(0)]")
    )


def test_started_kept_in_doubt_and_failed_can_be_told_apart_by_ear_and_by_hand(shop, phones):
    phone = phones(shop.url, faults=[NOTICED, OWN_MICROPHONE], profile="works")
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.sheet.click()
    phone.until_recorded(1)
    started = noticed(phone)
    phone.sheet.click()
    phone.page.locator(".sheet.ready").wait_for()
    kept = noticed(phone)
    phone.until_gone_through()
    phone.leave_doubts()
    phone.ask("[window.shakes.splice(0), window.tones.splice(0)].length")
    phone.write("laid nineteen plies of bid on the elevator spar aft face")
    phone.page.locator(".asking").wait_for()
    doubt = noticed(phone)
    phone.close()
    phone = phones(shop.url, faults=[NOTICED, NO_MICROPHONE], profile="fails")
    phone.sheet.click()
    failed = noticed(phone)

    assert len({each[0] for each in (started, kept, doubt, failed)}) == 4, "by hand"
    assert len({each[1] for each in (started, kept, doubt, failed)}) == 4, "by ear"


def test_the_pile_grows_with_the_voice_and_falls_with_silence(shop, phones):
    phone = phones(shop.url, faults=[OWN_MICROPHONE])
    high = "document.querySelectorAll('.sheet.recording .pile .on').length"
    phone.sheet.click()
    phone.until_recorded(1)
    low = phone.ask(high)
    phone.ask("window.speakFor(3)")
    phone.until(f"{high} > {low + 3}")
    phone.until(f"{high} <= {low + 1}")
