"""Voices: what was read, what is learnt of it, when it counts, and that the second hearing goes by it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plytally.core.desk.acts import Asker, accept
from plytally.core.hearing import Hearing, typed
from plytally.core.understand import understand
from plytally.speech.port import SpeechError
from plytally.speech.sphinx_model import embedded_model, is_from_notes
from plytally.speech.voice_fit import Fitted, TooLittleSpeech
from plytally.speech.voice_learning import Heard, Learnt
from plytally.store.log import Recording
from plytally.workshop.bench import Bench
from plytally.workshop.second_hearing import SecondHearing
from plytally.workshop.voice_work import VoiceWork
from plytally.workshop.voices import AGAIN_UNASKED, FIRST_UNASKED, NoSuchSentence, Voices

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
SAID = "laid two plies of bid on the right elevator spar aft face"
PHONE = "phone-1"


@pytest.fixture
def bench(tmp_path):
    with Bench.open(tmp_path / "log") as made:
        made.take_schedule(QUILLWING)
        yield made


@pytest.fixture
def voices(bench):
    return Voices(bench)


def learnt(heard=(), gain=9.0):
    means = embedded_model().means
    return Learnt(Fitted(means, len(heard), 90.0, gain, np.zeros(1)), tuple(heard))


class Ear:
    """Learns as it is told to, and remembers what it was given."""

    def __init__(self, gives):
        self.gives, self.given, self.heard_by, self.words = gives, [], [], None

    def learn(self, said, vocabulary):
        self.given.append(said)
        if isinstance(self.gives, Exception):
            raise self.gives
        return self.gives

    def hear(self, recording, name, vocabulary, voice=None, *_):
        self.heard_by.append(voice)
        return Hearing(self.words or typed(SAID).words)


def read(bench, voices, *texts):
    for text in texts:
        voices.read(PHONE, text, bench.log.media.keep(text.encode()))


def heard_rightly(texts):
    return [Heard(text, text, text) for text in texts]


def test_a_sentence_read_twice_is_one_reading_the_later(bench, voices):
    text = voices.sentences()[0].text
    voices.read(PHONE, text, bench.log.media.keep(b"first"))
    voices.read(PHONE, text, last := bench.log.media.keep(b"second"))
    assert [(each.text, each.media) for each in voices.material(PHONE)] == [(text, last)]
    assert sum(each["read"] for each in voices.told(PHONE)["sentences"]) == 1


def test_what_is_not_to_be_read_is_refused(bench, voices):
    with pytest.raises(NoSuchSentence, match="the words have changed"):
        voices.read(PHONE, "the weather is fine", bench.log.media.keep(b"x"))


def test_a_voice_that_is_asked_for_is_learnt_from_what_was_read_and_heard_by(bench, voices):
    texts = [each.text for each in voices.sentences()[:9]]
    read(bench, voices, *texts)
    ear = Ear(learnt(heard_rightly(texts)))
    voices.want(PHONE)
    assert voices.told(PHONE)["state"] == "learning"
    assert VoiceWork(bench, voices, ear).learn_next()
    assert ear.given == [[(text, text.encode()) for text in texts]]
    told = voices.told(PHONE)
    assert (told["state"], told["right"], told["of"]) == ("helps", [2, 2], 2)
    assert voices.file_of(PHONE).is_file()
    assert not is_from_notes(voices.file_of(PHONE))


@pytest.mark.parametrize(
    ("heard", "gain"),
    [
        pytest.param(heard_rightly("abcdefgh"), 0.1, id="not likelier"),
        pytest.param([Heard(t, t, "wrong" if t in "dh" else t) for t in "abcdefgh"], 9.0, id="heard worse"),
    ],
)
def test_a_voice_that_makes_nothing_better_is_told_and_not_used(voices, heard, gain):
    voices.keep(PHONE, learnt(heard, gain))
    assert voices.told(PHONE)["state"] == "does not help"
    assert voices.file_of(PHONE) is None


def test_a_voice_can_be_switched_off_and_on_and_forgotten(bench, voices):
    read(bench, voices, voices.sentences()[0].text)
    voices.keep(PHONE, learnt(heard_rightly("abcdefgh")))
    file = voices.file_of(PHONE)
    voices.switch(PHONE, on=False)
    assert (voices.told(PHONE)["state"], voices.file_of(PHONE)) == ("off", None)
    voices.switch(PHONE, on=True)
    assert voices.file_of(PHONE) == file
    voices.forget(PHONE)
    assert not file.exists()
    assert (voices.all(), voices.material(PHONE), voices.file_of(PHONE)) == ([], [], None)


def test_names_of_parts_that_were_not_heard_are_told_with_what_was_heard(bench, voices):
    about = [each for each in voices.sentences() if each.part][:8]
    read(bench, voices, *(each.text for each in about))
    wrong = about[1].text.replace("right tailplane rear spar", "rudder post")
    heard = [Heard(each.text, wrong if each is about[1] else each.text) for each in about]
    voices.keep(PHONE, learnt(heard))
    hard = [(each["part"], each["heard"]) for each in voices.told(PHONE)["names"] if not each["right"]]
    assert hard == [(about[1].part, wrong)]


def test_too_little_speech_is_told_and_an_earlier_voice_stays(bench, voices):
    voices.keep(PHONE, learnt(heard_rightly("abcdefgh")))
    for problem in (TooLittleSpeech("there are 2 notes"), SpeechError("no sound")):
        voices.want(PHONE)
        VoiceWork(bench, voices, Ear(problem)).learn_next()
        told = voices.told(PHONE)
        assert (told["state"], told["problem"]) == ("helps", str(problem))


def test_only_notes_accepted_as_they_were_heard_teach_a_voice(bench, voices):
    texts = [SAID, SAID.replace("two", "three"), SAID]
    kept = [note(bench, text, bytes([at])) for at, text in enumerate(texts)]
    for entry_id in kept[:2]:
        accepted(bench, entry_id)
    bench.log.amend(kept[1], "plies", 4)
    accepted(bench, kept[1])
    assert [each.text for each in voices.material(bench.log.device)] == [SAID]


def test_notes_that_were_heard_twice_alike_and_are_in_no_doubt_teach_a_voice(bench, voices):
    sure, doubted, otherwise, changed, gone = (note(bench, SAID, bytes([at])) for at in range(5))
    queue = SecondHearing(bench.log, bench, ear := Ear(None))
    for entry_id in (sure, doubted, otherwise, changed, gone):
        ear.words = {doubted: close_call(), otherwise: typed(SAID.replace("aft", "fore")).words}.get(entry_id)
        queue.hear_next()
    bench.log.amend(changed, "plies", 3)
    bench.log.withdraw(gone, "twice")
    assert [each.media for each in voices.material(bench.log.device)] == [sound_of(bench, sure)]


def test_enough_notes_have_a_voice_learnt_unasked_and_twice_as_many_anew(bench, voices):
    work = VoiceWork(bench, voices, Ear(learnt(heard_rightly("abcdefgh"))))
    device = bench.log.device
    teach(bench, FIRST_UNASKED - 1)
    assert not work.learn_next()
    assert voices.knows(device)
    assert [each["device"] for each in voices.all()] == [device]
    assert voices.told(device)["unasked"] == {"on": True, "notes": FIRST_UNASKED - 1, "of": FIRST_UNASKED}
    teach(bench, 1)
    assert work.learn_next()
    assert voices.told(device)["state"] == "helps"
    assert is_from_notes(voices.file_of(device))
    assert voices.told(device)["unasked"] == {"on": True, "notes": 0, "of": AGAIN_UNASKED}
    teach(bench, AGAIN_UNASKED - 1)
    assert not work.learn_next()
    teach(bench, 1)
    assert work.learn_next()


def test_a_voice_that_was_switched_off_or_forgotten_is_not_learnt_unasked(bench, voices):
    device, work = bench.log.device, VoiceWork(bench, voices, Ear(learnt(heard_rightly("abcdefgh"))))
    voices.switch(device, on=False)
    teach(bench, FIRST_UNASKED)
    assert not work.learn_next()
    voices.switch(device, on=True)
    voices.forget(device)
    teach(bench, 1)
    assert not work.learn_next()
    voices.want(device)
    assert work.learn_next()
    assert voices.told(device)["unasked"]["on"]


def test_what_could_not_be_learnt_is_tried_again_only_with_more_notes(bench, voices):
    work = VoiceWork(bench, voices, ear := Ear(TooLittleSpeech("there are 9 seconds")))
    teach(bench, FIRST_UNASKED)
    assert work.learn_next()
    teach(bench, FIRST_UNASKED)
    assert not work.learn_next()
    assert len(ear.given) == 1


def test_the_second_hearing_goes_by_the_voice_of_the_device_that_recorded(bench, voices):
    ear = Ear(None)
    queue = SecondHearing(bench.log, bench, ear, voices.file_of)
    note(bench, SAID, b"before")
    queue.hear_next()
    voices.keep(bench.log.device, learnt(heard_rightly("abcdefgh")))
    note(bench, SAID, b"after")
    queue.hear_next()
    assert ear.heard_by == [None, voices.file_of(bench.log.device)]


def note(bench, text, sound):
    entry = understand(typed(text), bench.vocabulary).entry
    return bench.log.record(entry, typed(text), recording=Recording(sound)).id


def accepted(bench, entry_id):
    bench.log.perform(accept(Asker("builder", bench.log._maker.new_id(), {}), bench.log.entry(entry_id)))


def teach(bench, count):
    for _ in range(count):
        accepted(bench, note(bench, SAID, bench.log._maker.new_id().encode()))


def sound_of(bench, entry_id):
    return bench.log.entry(entry_id).attachments[0].media


def close_call():
    """The same words, one of which might as well be another."""
    return tuple(replace(word, runner_up="three" if word.text == "two" else "") for word in typed(SAID).words)
