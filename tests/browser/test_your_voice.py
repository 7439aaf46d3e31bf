"""Reading aloud on the phone: kept, sent, never a note; the voice learnt from it is heard by, offline too."""

import numpy as np
from support.axe import serious
from support.patience import until
from support.phone_tables import FACT, OPENED

from plytally.speech.sphinx_model import embedded_model
from plytally.speech.voice_fit import Fitted
from plytally.speech.voice_learning import Heard, Learnt
from plytally.speech.ways_said import WaySaid
from plytally.workshop.voices import Voices

SAYS = "put down seven layers of bid on tailplane front spar"
TALL = {"width": 390, "height": 844}


def learnt(sentences):
    """What a shop computer may have learnt: means a little off the model's, and a name that was not heard."""
    heard = [Heard(each.text, each.text, each.text) for each in sentences[:7]]
    way = WaySaid("spar", "S P AH R", 61.0)
    heard[1] = Heard(sentences[1].text, "where was i", "where was i", (way,))
    return Learnt(Fitted(embedded_model().means + 0.01, 7, 60.0, 9.0, np.zeros(1)), tuple(heard))


CHANGE = (
    """async (change) => {"""
    + OPENED
    + """
  const db = await opened();
  const means = await all(db.transaction("facts").objectStore("facts").get("means"));
  window.good ??= means;
  const other = new Uint8Array(good.bytes.slice(0));
  const text = new TextDecoder("latin1").decode(other.slice(0, 60));
  if (change === "damaged") other[other.length - 3] ^= 0x41;
  if (change === "another") other[text.indexOf("model ") + 6] ^= 1;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", other));
  const hash = [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const etag = change === "another" ? `"${hash}"` : good.etag;
  const tx = db.transaction("facts", "readwrite");
  tx.objectStore("facts").put({ etag, bytes: other.buffer }, "means");
  await new Promise((done, fail) => { tx.oncomplete = done; tx.onabort = () => fail(tx.error); });
  db.close();
}"""
)


def hears_by_the_voice_only_if_its_file_is_good(phone):
    """Where it is not, the phone says so and hears without it."""
    phone.open("Shop")
    phone.page.get_by_text("It hears by your voice.").wait_for()
    for change, said in (("damaged", "its file is damaged"), ("another", "another version of the engine")):
        phone.page.context.set_offline(True)  # else a good file takes the bad one's place at once
        phone.ask(CHANGE, change)
        phone.page.reload()
        phone.until_it_understands()
        phone.open("Shop")
        phone.page.get_by_text(said).wait_for()
        phone.page.get_by_text("Hearing works without any network.").wait_for()
        phone.page.context.set_offline(False)


def test_what_is_read_aloud_is_learnt_from_and_is_no_note(shop, phones, desks, tmp_path):
    asked = []
    shop.stop()
    shop.more |= {"learn_voices": lambda: asked.append("learn")}
    shop.start()
    voices = Voices(shop.inside.bench)
    phone = phones(shop.url, says=SAYS, size=TALL)
    page = phone.page
    phone.pair(shop.code())
    phone.open("Shop")
    page.get_by_role("button", name="Read them aloud").click()
    for _ in range(2):
        page.get_by_role("button", name="Record", exact=True).click()
        page.get_by_role("button", name="I have read it").wait_for()
        phone.until("document.querySelector('.voice meter').value > 0")
        page.screenshot(path=tmp_path / "reading.png")
        page.get_by_role("button", name="I have read it").click()
        page.get_by_role("button", name="Record", exact=True).wait_for()
    assert serious(page) == []
    page.get_by_role("button", name="Stop here").click()
    (device,) = [each.device for each in shop.inside.phones]
    until(lambda: sum(each["read"] for each in voices.told(device)["sentences"]) == 2, "both readings")
    assert not shop.log.state.order, "what is read aloud is no entry"

    voices.keep(device, learnt(voices.sentences()))
    phone.open("Bench")
    phone.open("Shop")
    page.get_by_text("It is learnt, and your notes are heard by it.").wait_for()
    page.get_by_text("Hard to hear").wait_for()
    page.screenshot(path=tmp_path / "voice.png", full_page=True)
    until(lambda: phone.ask(FACT, "means"), "the voice on the phone")
    assert serious(page) == []
    page.reload()
    phone.until_it_understands()
    assert phone.ask("document.querySelector('.wrong')?.textContent ?? ''") == ""
    hears_by_the_voice_only_if_its_file_is_good(phone)

    desk = desks(shop).sign_in()
    desk.press("T")
    desk.page.get_by_role("button", name="teach it").wait_for()
    desk.page.screenshot(path=tmp_path / "desk.png", full_page=True)
    assert desk.findings() == []
    desk.page.get_by_role("button", name="Learn anew").click()
    until(lambda: asked, "the asking for it")
    desk.page.get_by_role("button", name="Forget").click()
    desk.page.get_by_role("button", name="Yes, forget it").click()
    until(lambda: voices.told(device)["state"] == "none", "that it is forgotten")
