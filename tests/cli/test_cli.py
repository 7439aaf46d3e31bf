"""The command line on real sound, and each way to fail with its own message and exit code."""

import json
import wave
from pathlib import Path

import numpy as np
import pytest
from bench.sound import VOICES, in_noise, speak
from click.testing import CliRunner

from plytally.cli import main

ROOT = Path(__file__).parents[2]
QUILLWING = ROOT / "demo_entries/quillwing.yaml"
SPAR = "laid two plies of bid on the right elevator spar aft face"


@pytest.fixture
def run(tmp_path):
    def invoke(*words):
        return CliRunner().invoke(main, [*map(str, words)], env={"PLYTALLY_DATA": str(tmp_path / "log")})

    invoke.folder = tmp_path / "log"
    return invoke


@pytest.fixture
def bench(run):
    assert run("schedule", QUILLWING).exit_code == 0
    return run


def write_wav(file, samples, rate=16_000, channels=1):
    with wave.open(str(file), "wb") as out:
        out.setnchannels(channels)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(samples.astype("<i2").tobytes())
    return file


@pytest.fixture(scope="module")
def spoken(tmp_path_factory):
    sound = in_noise(speak(SPAR, VOICES[0]), 25)
    return write_wav(tmp_path_factory.mktemp("sound") / "spar.wav", sound.samples)


def test_the_demo_turns_real_sound_into_entries_and_owed_plies():
    result = CliRunner().invoke(main, ["demo"])

    assert result.exit_code == 0
    assert "laid: 3 plies BID, right elevator spar, fore" in result.output
    assert "has its 3 BID since" in result.output
    assert "right elevator spar, aft face: 2 of 4 BID laid, 2 owed." in result.output
    assert "pot life about 20 min, until 19:24 (33 min at 59 °F is the print's; 72 °F" in result.output


def test_a_recording_becomes_an_entry_that_is_taken_off_what_is_owed(bench, spoken):
    heard = bench("hear", spoken)

    assert heard.exit_code == 0
    assert "laid: 2 plies BID, right elevator spar, aft" in heard.output
    assert (
        "right elevator spar, aft face: 2 of 4 BID laid, 2 owed."
        in bench("owed", "right elevator spar").output
    )


def test_hear_as_json_gives_words_entry_and_doubts(bench, spoken):
    told = json.loads(bench("hear", "--json", spoken).output)

    assert (told["makes"], told["name"]) == ("entry", "laid")
    assert told["fields"]["plies"] == 2
    assert {"text", "start", "end", "confidence", "runner_up"} <= set(told["hearing"]["words"][0])
    assert told["entry"]


def test_only_show_puts_nothing_into_the_log(bench, spoken):
    assert "laid: 2 plies BID" in bench("hear", "--only-show", spoken).output
    assert bench("log").stdout == ""


def test_a_typed_note_is_an_entry_too(bench):
    assert (
        "laid: 1 ply UNI, rudder post, fore"
        in bench("note", "laid one ply uni on the rudder post fore face").output
    )


def test_the_log_lists_entries_with_their_open_doubts(bench):
    bench("note", "laid two plies bid on the elevator spar aft face")

    assert "side? (left or right was not said)" in bench("log").output
    assert json.loads(bench("log", "--json").output)["entry"]["kind"] == "laid"


def test_left_off_tells_the_last_work_and_what_comes_next(bench):
    bench("note", "laid two plies bid on the rudder post fore face")

    lines = bench("left-off", "rudder post").output.splitlines()

    assert lines[0].startswith("last: 2 BID laid on rudder post, fore face")
    assert lines[1].startswith("next: rudder post, RP2")


def test_a_word_of_ones_own_is_heard_from_then_on(bench):
    assert bench("word", "materials", "basalt twill", "basalt").exit_code == 0
    assert bench("word", "materials", "carbon lace", "lace").exit_code == 0
    assert "taken back" in bench("word", "materials", "carbon lace", "--take-back").output
    fails(bench("word", "materials", "carbon lace", "--take-back"), 42, "no 'carbon lace' that was taught")

    assert "1 ply basalt twill" in bench("note", "laid one ply of basalt on the rudder post fore face").output


def test_verify_says_that_all_is_what_was_written(bench):
    bench("note", "bagged the rudder post")

    result = bench("verify")

    assert result.exit_code == 0
    assert "1 line of the log" in result.output


# ---- bad input -------------------------------------------------------------------------------------


def fails(result, code, *says):
    assert result.exit_code == code, result.output
    assert result.stderr.startswith("plytally: ")
    for word in says:
        assert word in result.stderr
    assert "Traceback" not in result.output


def test_a_recording_that_is_not_there(bench, tmp_path):
    fails(bench("hear", tmp_path / "none.wav"), 20, "none.wav")


def test_an_empty_file(bench, tmp_path):
    (tmp_path / "empty.wav").touch()

    fails(bench("hear", tmp_path / "empty.wav"), 21, "empty.wav")


def test_a_recording_of_no_seconds(bench, tmp_path):
    fails(bench("hear", write_wav(tmp_path / "zero.wav", np.zeros(0))), 21, "zero.wav")


def test_a_recording_of_over_ten_minutes(bench, tmp_path):
    fails(bench("hear", write_wav(tmp_path / "long.wav", np.zeros(16_000 * 630))), 22, "long.wav")


def test_a_file_that_is_no_recording(bench):
    fails(bench("hear", QUILLWING), 23, "quillwing.yaml")


def test_a_truncated_recording_is_heard_as_far_as_it_goes(bench, spoken, tmp_path):
    cut = tmp_path / "cut.wav"
    cut.write_bytes(spoken.read_bytes()[: spoken.stat().st_size // 2])

    result = bench("hear", cut)

    assert result.exit_code == 0
    assert "cut short" in result.output


@pytest.mark.parametrize(("rate", "channels"), [(8_000, 1), (48_000, 2)])
def test_other_rates_and_channels_are_heard(bench, spoken, tmp_path, rate, channels):
    with wave.open(str(spoken)) as source:
        samples = np.frombuffer(source.readframes(source.getnframes()), "<i2").astype(float)
    at = np.arange(0, len(samples), 16_000 / rate)
    resampled = np.repeat(np.interp(at, np.arange(len(samples)), samples), channels)

    told = json.loads(
        bench("hear", "--json", write_wav(tmp_path / "other.wav", resampled, rate, channels)).output
    )

    assert len(told["hearing"]["words"]) > 5


def test_noise_without_speech_makes_no_entry_but_a_plain_note(bench, tmp_path):
    noise = np.random.default_rng(7).normal(0, 3000, 16_000 * 3)

    told = json.loads(bench("hear", "--json", write_wav(tmp_path / "noise.wav", noise)).output)

    assert told["name"] == "note"


def test_a_model_folder_that_is_not_there(bench, spoken, tmp_path):
    fails(bench("hear", "--engine", "vosk", "--model", tmp_path / "nowhere", spoken), 30, "nowhere")


def test_a_half_copied_model(bench, spoken, tmp_path):
    (tmp_path / "half" / "am").mkdir(parents=True)

    fails(bench("hear", "--engine", "vosk", "--model", tmp_path / "half", spoken), 31, "half")


def test_a_broken_schedule_names_the_line_and_the_old_one_still_counts(bench, tmp_path):
    broken = tmp_path / "broken.yaml"
    broken.write_text(QUILLWING.read_text().replace("plies: 2", "plys: 2", 1))

    fails(bench("schedule", broken), 40, "line ", "did you mean 'plies'?")
    assert "Quillwing, revision C" in bench("schedule").output


def test_a_place_that_is_not_on_the_print(bench):
    fails(bench("owed", "left wing"), 41, "left wing", "parts are called")


def test_asking_without_a_schedule_says_how_to_give_one(run):
    fails(run("owed", "rudder post"), 41, "plytally schedule FILE.yaml")


def test_a_word_that_cannot_be_used(bench):
    fails(bench("word", "fabrics", "basalt"), 42, "'fabrics' is not a word list")


def journal(run):
    return next((run.folder / "journal").glob("*.jsonl"))


def test_a_journal_cut_in_its_last_line_loses_that_line_alone_and_says_so(bench):
    bench("note", "bagged the rudder post")
    bench("note", "bagged the trim tab")
    file = journal(bench)
    file.write_bytes(file.read_bytes()[:-40])

    result = bench("log")

    assert result.exit_code == 0
    assert "bagged: rudder post" in result.output
    assert "trim tab" not in result.stdout
    assert "cut" in result.stderr


def test_an_edited_journal_is_refused_with_file_and_line(bench):
    bench("note", "laid two plies bid on the rudder post fore face")
    bench("note", "bagged the trim tab")
    file = journal(bench)
    file.write_text(file.read_text().replace('"plies":2', '"plies":3'))

    fails(bench("log"), 51, file.name, "line 1")
    assert bench("verify").exit_code == 51


def test_a_folder_that_another_process_has_open(bench):
    from plytally.store.log import BuildLog

    with BuildLog(bench.folder):
        fails(bench("note", "bagged the rudder post"), 50)


def test_a_backup_can_be_verified_and_made_into_a_log_again(bench, tmp_path):
    bench("note", "bagged the rudder post")

    made = bench("backup", tmp_path / "copy")
    restored = CliRunner().invoke(
        main, ["restore", str(tmp_path / "copy"), "--data", str(tmp_path / "again")]
    )

    assert (made.exit_code, restored.exit_code) == (0, 0)
    told = CliRunner().invoke(main, ["log", "--data", str(tmp_path / "again")]).output
    assert "bagged: rudder post" in told


def test_a_backup_into_a_folder_with_other_things_is_refused(bench, tmp_path):
    fails(bench("backup", ROOT / "docs"), 54, "not empty")


def test_a_damaged_log_is_mended_without_deleting_anything(bench):
    bench("note", "bagged the rudder post")
    bench("note", "bagged the trim tab")
    file = journal(bench)
    file.write_text(file.read_text().replace("rudder post", "rudder spar", 1))

    mended = bench("verify", "--repair")

    assert mended.exit_code == 0
    assert "put aside" in mended.output
    assert "trim tab" in bench("log").output
    assert any((bench.folder / "quarantine").rglob("*.jsonl"))
