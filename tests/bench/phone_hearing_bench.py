"""How well and how fast the phone's engine hears: its own code in node, the phrase vectors, shop noise.

    .venv/bin/python tests/bench/phone_hearing_bench.py --every 4 --snr 20

Times are CPU seconds of the node process as a share of the sound's length: hearing alone, and the weighing
of each number, side and name against its rivals. Judging and understanding are core's, under CPython here.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from sound import TUNING_VOICES, VOICES, in_noise, speak
from speech_bench import ROOT, judged_note, print_figures, rates
from support.phone_in_node import heard_in_node

from plytally.core.hearing import Hearing
from plytally.core.pocket import Pocket
from plytally.schedule_file import read_schedule_file


def main() -> None:
    """Run the conditions asked for and print a table for each."""
    asked = _arguments()
    phrases = json.loads((ROOT / "tests/vectors/phrases.json").read_text())[asked.skip :: asked.every]
    voices = TUNING_VOICES if asked.tune else VOICES
    pocket = Pocket(read_schedule_file(ROOT / "demo_entries/quillwing.yaml").as_json())
    for snr in asked.snr.split(","):
        said = [speak(phrase["say"], voices[at % len(voices)]) for at, phrase in enumerate(phrases)]
        noisy = said if snr == "clean" else [in_noise(s, float(snr), seed=at) for at, s in enumerate(said)]
        rows = list(_heard(pocket, phrases, noisy, show=asked.errors))
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
    pocket: Pocket, phrases: list[dict[str, Any]], sounds: list[Any], *, show: bool
) -> Iterator[dict[str, Any]]:
    with tempfile.TemporaryDirectory() as folder:
        told = heard_in_node(pocket, sounds, Path(folder))
        for phrase, each in zip(phrases, told, strict=True):
            row = judged_note(phrase, Hearing.from_json(each["heard"]), pocket.vocabulary)
            yield row | {"hearing": each["hearing"], "weighing": each["weighing"]}
            if show and not row["exact"]:
                print(f"  {'!!' if row['wrong'] else '  '} {row['say']} | {row['heard']} | {row['doubts']}")


if __name__ == "__main__":
    main()
