"""How well the embedded engine hears: the phrase vectors, spoken by several voices, clean and in noise.

    .venv/bin/python tests/bench/speech_bench.py                      all phrases, six voices: hours
    .venv/bin/python tests/bench/speech_bench.py --voices-each 1      each phrase by one voice in turn
    .venv/bin/python tests/bench/speech_bench.py --snr 20,10 --out figures.json

For each condition: word error rate (jiwer), whole entries exact (kind and every field), fields exact, wrong
numbers taken without a doubt, notes with a doubt, foreign speech taken for an entry, and the time taken as
a share of the sound's (one process a core). Intervals are Wilson's, 95 %.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import platform
import time
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any

import jiwer
import numpy as np
from foreign import FOREIGN
from sound import VOICES, Voice, in_noise, speak

from plytally.core.entry import value_to_json
from plytally.core.listening import Grammar, grammar
from plytally.core.understand import Understanding, understand
from plytally.core.vocabulary import Vocabulary, from_schedule
from plytally.schedule_file import read_schedule_file
from plytally.speech.port import Pcm16k
from plytally.speech.sphinx import SphinxRecogniser

ROOT = Path(__file__).parents[2]
NUMBERS = {
    "plies",
    "mass",
    "ratio",
    "gauge",
    "measure",
    "temperature",
    "humidity",
    "duration",
    "grit",
    "holes",
}
NUMBERS |= {"drill", "batch", "number"}


def main() -> None:
    """Run the conditions asked for and print one table."""
    asked = _arguments()
    phrases = json.loads((ROOT / "tests/vectors/phrases.json").read_text())[:: asked.every]
    report: dict[str, Any] = {"machine": _machine(), "phrases": len(phrases), "conditions": {}}
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for snr in asked.snr.split(","):
            jobs = [
                (phrase, VOICES[(at + turn * 2) % len(VOICES)], snr, at)
                for at, phrase in enumerate(phrases)
                for turn in range(asked.voices_each)
            ]
            rows = list(pool.map(_hear_phrase, *zip(*jobs, strict=True), chunksize=4))
            foreign = list(pool.map(_hear_foreign, *zip(*_foreign_jobs(snr), strict=True), chunksize=2))
            report["conditions"][snr] = _figures(rows, foreign)
            _show(snr, report["conditions"][snr])
            if asked.errors:
                _show_errors(rows)
    if asked.out:
        Path(asked.out).write_text(json.dumps(report, indent=1) + "\n")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--snr", default="clean,20,10", help="conditions, in dB or 'clean'")
    parser.add_argument("--voices-each", type=int, default=len(VOICES), help="voices for each phrase")
    parser.add_argument("--every", type=int, default=1, help="take every n-th phrase only")
    parser.add_argument("--errors", action="store_true", help="list what was not exact")
    parser.add_argument("--out", help="write the figures as JSON")
    return parser.parse_args()


@cache
def _bench() -> tuple[SphinxRecogniser, Vocabulary, Grammar]:
    vocabulary = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))
    return SphinxRecogniser(), vocabulary, grammar(vocabulary)


def _sound(text: str, voice: Voice, snr: str, seed: int) -> Pcm16k:
    said = speak(text, voice)
    return said if snr == "clean" else in_noise(said, float(snr), seed=seed)


def _hear(sound: Pcm16k) -> tuple[str, Understanding, float]:
    engine, vocabulary, listened = _bench()
    begun = time.process_time()
    hearing = engine.hear(sound, listened)
    taken = time.process_time() - begun
    return hearing.text, understand(hearing, vocabulary), taken


def _hear_phrase(phrase: dict[str, Any], voice: Voice, snr: str, seed: int) -> dict[str, Any]:
    sound = _sound(phrase["say"], voice, snr, seed)
    text, meant, taken = _hear(sound)
    fields = {name: value_to_json(value) for name, value in meant.fields.items()}
    wanted = phrase["fields"]
    doubted = {doubt.field for doubt in meant.doubts}
    same_kind = (meant.makes, meant.name) == (phrase["makes"], phrase["name"])
    wrong = {name for name in fields if name in NUMBERS and fields[name] != wanted.get(name)}
    return {
        "say": phrase["say"],
        "heard": text,
        "voice": str(voice),
        "exact": same_kind and fields == wanted,
        "fields": len(wanted),
        "fields_right": sum(fields.get(name) == value for name, value in wanted.items()) if same_kind else 0,
        "wrong_number": bool(wrong - doubted) and meant.name != "note",
        "doubted": bool(doubted),
        "doubts": sorted(doubted),
        "seconds": sound.seconds,
        "taken": taken,
    }


def _foreign_jobs(snr: str) -> list[tuple[str, Voice, str, int]]:
    return [(text, Voice(language, 150), snr, at) for at, (language, text) in enumerate(FOREIGN)]


def _hear_foreign(text: str, voice: Voice, snr: str, seed: int) -> bool:
    """Whether ordinary talk was taken for an entry that would count: no plain note, and no doubt."""
    _, meant, _ = _hear(_sound(text, voice, snr, seed))
    return meant.name != "note" and not meant.doubts


def _figures(rows: list[dict[str, Any]], foreign: list[bool]) -> dict[str, Any]:
    count, asked = len(rows), sum(row["fields"] for row in rows)
    return {
        "notes": count,
        "word_error_rate": round(jiwer.wer([r["say"] for r in rows], [r["heard"] or "-" for r in rows]), 4),
        "exact": _share(sum(row["exact"] for row in rows), count),
        "fields_right": _share(sum(row["fields_right"] for row in rows), asked),
        "wrong_number_without_doubt": _share(sum(row["wrong_number"] for row in rows), count),
        "with_a_doubt": _share(sum(row["doubted"] for row in rows), count),
        "foreign_taken_without_doubt": _share(sum(foreign), len(foreign)),
        "real_time_factor": round(sum(r["taken"] for r in rows) / sum(r["seconds"] for r in rows), 3),
    }


def _share(hits: int, count: int) -> dict[str, float]:
    """A share with Wilson's 95 % interval."""
    z, p = 1.96, hits / count
    middle = (p + z * z / (2 * count)) / (1 + z * z / count)
    half = z * math.sqrt(p * (1 - p) / count + z * z / (4 * count * count)) / (1 + z * z / count)
    low, high = max(0.0, middle - half), middle + half
    return {"share": round(p, 4), "low": round(low, 4), "high": round(high, 4), "n": count}


def _show(snr: str, figures: dict[str, Any]) -> None:
    print(f"\n{snr if snr == 'clean' else snr + ' dB'}: {figures['notes']} notes")
    for name, value in figures.items():
        if isinstance(value, dict):
            between = f"{value['low']:.1%} to {value['high']:.1%}, n {value['n']}"
            print(f"  {name:28} {value['share']:.1%}  ({between})")
        elif name != "notes":
            print(f"  {name:28} {value}")


def _show_errors(rows: list[dict[str, Any]]) -> None:
    for row in rows:
        if not row["exact"]:
            mark = "!!" if row["wrong_number"] else "  "
            print(f"  {mark} {row['say']} | {row['heard']} | {row['voice']} | {' '.join(row['doubts'])}")


def _machine() -> str:
    python = f"Python {platform.python_version()}, numpy {np.__version__}"
    return f"{os.cpu_count()} cores, {platform.machine()}, {python}"


if __name__ == "__main__":
    main()
