"""The second hearing: real sound heard again, differences marked, nothing heard twice, nothing forgotten."""

import os
import signal
from pathlib import Path

import pytest
from bench.sound import VOICES, in_noise, speak
from support.wavs import wav

from plytally.core.body import KIND
from plytally.core.entry import Entry
from plytally.core.hearing import typed
from plytally.core.understand import understand
from plytally.speech.port import SpeechError
from plytally.store.heard import MOST_TRIES, HeardAgain
from plytally.store.log import Recording
from plytally.workshop.bench import Bench
from plytally.workshop.ear import Ear, EarFailed
from plytally.workshop.second_hearing import SecondHearing, differences

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
SAID = "laid two plies of bid on the right elevator spar aft face"


@pytest.fixture(scope="module")
def sound():
    samples = in_noise(speak(SAID, VOICES[0]), 30).samples
    return wav(samples)


@pytest.fixture
def bench(tmp_path):
    with Bench.open(tmp_path / "log") as made:
        made.take_schedule(QUILLWING)
        yield made


@pytest.fixture
def queue(bench, ear):
    return SecondHearing(bench.log, bench, ear)


def note(bench, phone_understood, sound):
    entry = understand(typed(phone_understood), bench.vocabulary).entry
    return bench.log.record(entry, typed(phone_understood), recording=Recording(sound)).id


def test_a_recording_that_both_hear_alike_gets_no_doubt(bench, queue, sound):
    entry_id = note(bench, SAID, sound)

    assert queue.hear_next()

    assert bench.log.entry(entry_id).entry.doubts == ()


def test_a_number_that_the_phone_heard_otherwise_is_doubted_with_both(bench, queue, sound):
    entry_id = note(bench, SAID.replace("two", "three"), sound)

    queue.hear_next()

    logged = bench.log.entry(entry_id)
    assert [(d.field, d.heard, d.runner_up) for d in logged.entry.doubts] == [("plies", "3", "2")]
    assert logged.entry.fields["plies"] == 3


def test_what_the_phone_could_not_make_out_is_offered_as_an_entry(bench, queue, sound):
    entry_id = note(bench, "kept not understood", sound)

    queue.hear_next()

    (doubt,) = bench.log.entry(entry_id).entry.doubts
    assert doubt.field == KIND
    assert "2 plies BID" in doubt.runner_up


def test_a_field_that_the_builder_has_settled_is_left_alone(bench, queue, sound):
    entry_id = note(bench, SAID.replace("two", "three"), sound)
    bench.log.confirm(entry_id, "plies")

    queue.hear_next()

    assert bench.log.entry(entry_id).entry.doubts == ()


def test_each_recording_is_heard_once_also_after_a_restart(bench, queue, ear, sound):
    note(bench, SAID, sound)
    queue.hear_next()

    again = SecondHearing(bench.log, bench, ear)

    assert (queue.waiting(), again.waiting(), again.hear_next()) == (0, 0, False)


def test_a_recording_that_has_not_arrived_yet_waits(bench, queue, sound):
    entry_id = note(bench, SAID, sound)
    address = bench.log.entry(entry_id).attachments[0].media
    bench.log.media.path(address).unlink()

    assert queue.waiting() == 0


def test_a_correction_spoken_later_is_not_taken_for_the_entrys_own_sound(bench, queue, sound):
    bench.take(typed(SAID))
    bench.take(typed("make it three"), Recording(sound))

    assert queue.waiting() == 0


def test_a_recording_that_cannot_be_heard_is_tried_again_and_then_left(bench, queue):
    note(bench, SAID, b"this is no sound")

    tries = sum(queue.hear_next() for _ in range(MOST_TRIES + 2))

    assert tries == MOST_TRIES
    assert (queue.waiting(), queue.given_up()) == (0, 1)
    assert all(row["problem"] for row in HeardAgain(bench.log.folder))


def test_a_fault_that_nobody_foresaw_costs_one_recording_and_not_the_queue(bench, ear, sound):
    class Stumbling:
        def hear(self, recording, name, vocabulary, *_):
            return 1 / 0 if name == "first" else ear.hear(recording, name, vocabulary)

    bench.log.record(
        understand(typed(SAID), bench.vocabulary).entry, recording=Recording(sound, name="first")
    )
    note(bench, SAID, sound)
    queue = SecondHearing(bench.log, bench, Stumbling())

    queue.start()
    while queue.waiting():
        queue.nudge()
    queue.close()

    assert queue.given_up() == 1
    assert [row["problem"] for row in HeardAgain(bench.log.folder)] == ["division by zero"] * MOST_TRIES + [
        ""
    ]


def test_the_thread_works_the_queue_off(bench, queue, sound):
    for _ in range(3):
        note(bench, SAID, sound)

    queue.start()
    while queue.waiting():
        queue.nudge()
    queue.close()

    assert [row["differing"] for row in HeardAgain(bench.log.folder)] == [[], [], []]


def test_an_ear_whose_process_is_killed_hears_again_with_a_new_one(bench, tmp_path, sound):
    ear = Ear(tmp_path, "sphinx")
    first = ear.hear(sound, "note", bench.vocabulary)
    (process,) = ear._pool._processes.values()
    os.kill(process.pid, signal.SIGKILL)
    process.join()

    with pytest.raises(EarFailed):
        ear.hear(sound, "note", bench.vocabulary)

    assert ear.hear(sound, "note", bench.vocabulary).text == first.text
    ear.close()
    assert issubclass(EarFailed, SpeechError)


def test_two_free_guesses_at_open_speech_are_no_difference(bench):
    logged = bench.log.entry(bench.log.record(Entry("note", {"text": "the heater"}, "the heater")).id)

    assert list(differences(logged, Entry("note", {"text": "a cheetah"}, "a cheetah"))) == []


def test_what_is_asked_for_again_is_heard_before_what_waits_with_the_words_of_now(bench, sound):
    class Notes:
        def __init__(self):
            self.asked = []

        def hear(self, recording, name, vocabulary, *_):
            self.asked.append((name, "kevlar" in str(vocabulary.materials)))
            return typed(SAID)

    ear = Notes()
    queue = SecondHearing(bench.log, bench, ear)
    first = note(bench, SAID, Recording(sound, name="first").content)
    queue.hear_next()
    note(bench, SAID, sound)
    bench.add_words("materials", "kevlar cloth", ["kevlar"])

    queue.again(first)
    queue.hear_next()
    (attachment,) = bench.log.entry(first).attachments
    assert ear.asked[-1] == (attachment.media[:12], True)
    assert queue.waiting() == 1
