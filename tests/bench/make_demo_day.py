"""Makes the recordings of demo_entries/day/ from day.yaml, and writes down what is heard in them.

.venv/bin/python tests/bench/make_demo_day.py
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import yaml
from make_demo_recordings import SNR_DB, write_opus
from sound import Voice, in_noise, speak

from plytally.core.listening import grammar
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file
from plytally.speech.audio import decode
from plytally.speech.sphinx import SphinxRecogniser

DEMO = Path(__file__).parents[2] / "demo_entries"
VOICES = {"bench": Voice("en-us+m5", 150), "floor": Voice("en-us", 150)}


def main() -> None:
    """One Ogg Opus file a note with a sound, and one file of hearings."""
    words = grammar(from_schedule(read_schedule_file(DEMO / "quillwing.yaml")))
    engine, file = SphinxRecogniser(), DEMO / "day/heard.json"
    heard = json.loads(file.read_text()) if file.exists() else {}
    for number, note in enumerate(yaml.safe_load((DEMO / "day.yaml").read_text())["notes"]):
        if (name := note.get("sound")) and name in (sys.argv[1:] or [name]):
            sound = in_noise(speak(note["say"], VOICES[note["phone"]]), SNR_DB, seed=100 + number)
            write_opus(DEMO / "day" / name, sound.samples)
            hearing = engine.hear(decode(DEMO / "day" / name), words)
            heard[name] = hearing.as_json()
            print(f"{name}: {note['say']}\n     {hearing.text}")
    lines = ",\n".join(f"{json.dumps(name)}: {json.dumps(row)}" for name, row in heard.items())
    file.write_text(f"{{\n{lines}\n}}\n")


if __name__ == "__main__":
    main()
