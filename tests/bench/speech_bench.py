"""How well the embedded engine hears: phrases spoken by several voices, clean, in noise, in a mask.

    .venv/bin/python tests/bench/speech_bench.py --voices-each 1            each phrase by one voice in turn
    .venv/bin/python tests/bench/speech_bench.py --phrases natural-test     the hand-written phrases
    .venv/bin/python tests/bench/speech_bench.py --conditions 20,10:sander,20:shop:mask --out figures.json
    .venv/bin/python tests/bench/speech_bench.py --conditions 20 --voices six --voices-each 1 --adapted

With --adapted each voice first reads the reading list (what `plytally` asks a builder to read, none of it a
phrase of the bench) under the same condition; then the notes are heard without and with its voice learnt.

A condition is "clean" or SNR[:NOISE[:EFFECT]], with the noises and effects of shop_noise.py. Phrases:
"vectors" (tests/vectors/phrases.json), "natural-tune" and "natural-test" (natural.yaml), "confusable"
(thirteen and thirty), "days-test" (a builder's days by the print) and "against-test" (days in which every
layup and cup contradicts it). With --context the last two are heard with what the log and the print make
likely, without it by sound alone. For each condition:
word error rate (jiwer), whole entries exact (kind and every field), fields exact, wrong numbers, sides and
faces taken without a doubt, notes with a doubt, talk taken for an entry, calibration of the confidences, and
the CPU time taken as a share of the sound's. Intervals are Wilson's, 95 %. One process; see --jobs.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import random
import time
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from itertools import repeat
from pathlib import Path
from typing import Any

import numpy as np
from confusable import confusable
from days import days
from figures import judged_note, print_figures, rates, share
from foreign import FOREIGN
from natural import natural
from shop_noise import EFFECTS
from sound import CACHE, SIX, TUNING_VOICES, VOICES, Voice, in_noise, speak

from plytally.core.expecting import NOTHING, Expected
from plytally.core.hearing import Hearing
from plytally.core.leaning import by_context
from plytally.core.listening import Grammar, grammar
from plytally.core.reading_list import reading_list
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary, from_schedule
from plytally.schedule_file import read_schedule_file
from plytally.speech.port import Pcm16k
from plytally.speech.sphinx import SphinxRecogniser
from plytally.speech.sphinx_model import means_file
from plytally.speech.voice_fit import Fitted
from plytally.speech.voice_learning import Said, fit_voice

ROOT = Path(__file__).parents[2]
VOICE_SETS = {"all": VOICES, "six": SIX, "tuning": TUNING_VOICES}
Job = tuple[dict[str, Any], Voice, str, int]
READING = 1000  # seeds of the noise behind the reading list, which is never that behind the notes


def main() -> None:
    """Run the conditions asked for and print one table."""
    asked = _arguments()
    phrases = _phrases(asked.phrases, asked.count)[:: asked.every]
    if not asked.context:
        phrases = [{**phrase, "expected": NOTHING} for phrase in phrases]
    voices = VOICE_SETS[asked.voices]
    report: dict[str, Any] = {"machine": _machine(), "phrases": asked.phrases, "conditions": {}}
    with ProcessPoolExecutor(asked.jobs) as pool:
        for condition in asked.conditions.split(","):
            jobs = list(_jobs(phrases, voices, asked.voices_each or len(voices), condition, asked.share))
            learnt = [dict[str, Fitted]()]
            if asked.adapted:
                learnt.append(_learnt(pool, voices, condition))
            for fitted in learnt:
                files = [learnt_file(job[1], condition) if fitted else None for job in jobs]
                rows = list(_progress(pool.map(_hear_phrase, *zip(*jobs, strict=True), files), len(jobs)))
                figures = rates(rows) | {"real_time_factor": _time_factor(rows)}
                if asked.talk and not fitted:
                    talk = list(pool.map(_hear_talk, *zip(*_talk(condition), strict=True)))
                    figures["talk_taken_without_doubt"] = share(sum(talk), len(talk))
                named = condition + (", voice learnt" if fitted else "")
                report["conditions"][named] = figures
                print_figures(f"{asked.phrases}, {named}", figures)
                _show_voices(rows)
                if asked.errors:
                    _show_errors(rows)
                if asked.out:
                    Path(asked.out).write_text(json.dumps(report, indent=1) + "\n")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--conditions", default="clean,20,10", help="clean, or SNR[:NOISE[:EFFECT]]")
    parser.add_argument(
        "--phrases",
        default="vectors",
        choices=(
            *("vectors", "natural-tune", "natural-test", "confusable"),
            *("days-tune", "days-test", "against-tune", "against-test"),
        ),
    )
    parser.add_argument("--context", action="store_true", help="hear days by what is to be expected, too")
    parser.add_argument("--count", type=int, default=120, help="how many notes of the days")
    parser.add_argument("--voices", default="all", choices=tuple(VOICE_SETS))
    parser.add_argument("--voices-each", type=int, default=0, help="voices for each phrase; all of them if 0")
    parser.add_argument("--every", type=int, default=1, help="take every n-th phrase only")
    parser.add_argument(
        "--share", type=float, default=1.0, help="take this share of the notes, chosen by seed 1"
    )
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    parser.add_argument(
        "--talk", action="store_true", help="also hear ordinary talk, which must make no entry"
    )
    parser.add_argument(
        "--adapted", action="store_true", help="also with each voice learnt from the reading list"
    )
    parser.add_argument("--errors", action="store_true", help="list what was not exact")
    parser.add_argument("--out", help="write the figures as JSON")
    return parser.parse_args()


def _phrases(which: str, count: int) -> list[dict[str, Any]]:
    if which == "vectors":
        read: list[dict[str, Any]] = json.loads((ROOT / "tests/vectors/phrases.json").read_text())
        return read
    kind, _, half = which.partition("-")
    if kind in {"days", "against"}:
        return days(half, count, against=kind == "against")
    return natural(half) if kind == "natural" else confusable()


def _jobs(
    phrases: list[dict[str, Any]], voices: tuple[Voice, ...], each: int, condition: str, part: float
) -> Iterator[Job]:
    chooser = random.Random(1)
    for at, phrase in enumerate(phrases):
        for turn in range(each):
            if chooser.random() < part:
                yield phrase, voices[(at + turn) % len(voices)], condition, at


def _progress(rows: Iterable[dict[str, Any]], count: int) -> Iterator[dict[str, Any]]:
    for at, row in enumerate(rows, 1):
        print(f"\r{at} of {count}", end="", flush=True)
        yield row
    print("\r", end="")


@cache
def _bench() -> tuple[SphinxRecogniser, Vocabulary, Grammar]:
    vocabulary = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))
    return SphinxRecogniser(), vocabulary, grammar(vocabulary)


def sound_of(text: str, voice: Voice, condition: str, seed: int) -> Pcm16k:
    """The text by the voice under the condition, the same at every call."""
    said = speak(text, voice)
    if condition == "clean":
        return said
    snr, noise, effect = (*condition.split(":"), "", "")[:3]
    if effect:
        changed = EFFECTS[effect](said.samples.astype(float), np.random.default_rng(seed))
        said = Pcm16k(changed.clip(-32768, 32767).astype(np.int16))
    return in_noise(said, float(snr), noise or "shop", seed=seed)


def _hear(
    sound: Pcm16k, engine: SphinxRecogniser | None = None, by: Expected = NOTHING
) -> tuple[Hearing, float]:
    anybodys, vocabulary, listened = _bench()
    begun = time.process_time()
    hearing = (engine or anybodys).hear(sound, by_context(listened, vocabulary, by))
    return hearing, time.process_time() - begun


@cache
def _engine_of(learnt: Path) -> SphinxRecogniser:
    """The engine that knows this voice; warmed, so that hearing is timed."""
    engine = SphinxRecogniser(learnt)
    _hear(sound_of("checked the rudder post", SIX[0], "clean", 0), engine)
    return engine


def _learnt(pool: ProcessPoolExecutor, voices: Sequence[Voice], condition: str) -> dict[str, Fitted]:
    """Each voice, learnt from its reading; prints what that gained."""
    fitted = dict(zip(map(str, voices), pool.map(learn, voices, repeat(condition)), strict=True))
    for voice in voices:
        each = fitted[str(voice)]
        learnt_file(voice, condition).write_bytes(means_file(each.means))
        print(f"{voice}: {each.notes} sentences, {each.seconds:.0f} s, gain {each.gain:.2f}")
    return fitted


def learnt_file(voice: Voice, condition: str) -> Path:
    """Where a voice's means are kept while the bench runs."""
    return CACHE / f"{voice}-{condition}.means".replace(" ", "-").replace(":", "-")


def learn(voice: Voice, condition: str) -> Fitted:
    """The voice as its reading of the reading list teaches it."""
    _, vocabulary, listened = _bench()
    said = [
        Said(each.text, sound_of(each.text, voice, condition, READING + at))
        for at, each in enumerate(reading_list(vocabulary))
    ]
    return fit_voice(said, listened)


def _hear_phrase(
    phrase: dict[str, Any], voice: Voice, condition: str, seed: int, learnt: Path | None
) -> dict[str, Any]:
    engine = _engine_of(learnt) if learnt else None
    by = phrase.get("expected", NOTHING)
    hearing, taken = _hear(sound_of(phrase["say"], voice, condition, seed), engine, by)
    return judged_note(phrase, hearing, _bench()[1]) | {"voice": str(voice), "taken": taken}


def _talk(condition: str) -> list[tuple[str, Voice, str, int]]:
    return [(text, Voice(language, 150), condition, at) for at, (language, text) in enumerate(FOREIGN)]


def _hear_talk(text: str, voice: Voice, condition: str, seed: int) -> bool:
    """Whether ordinary talk was taken for an entry that would count: no plain note, and no doubt."""
    meant = understand(_hear(sound_of(text, voice, condition, seed))[0], _bench()[1])
    return meant.name != "note" and not meant.doubts


def _time_factor(rows: list[dict[str, Any]]) -> float:
    return round(sum(row["taken"] for row in rows) / sum(row["seconds"] for row in rows), 3)


def _show_voices(rows: list[dict[str, Any]]) -> None:
    """How many notes of each voice were exact."""
    counts = {row["voice"]: [0, 0] for row in rows}
    for row in rows:
        counts[row["voice"]][0] += row["exact"]
        counts[row["voice"]][1] += 1
    print("  " + "; ".join(f"{voice} {exact} of {count}" for voice, (exact, count) in counts.items()))


def _show_errors(rows: list[dict[str, Any]]) -> None:
    for row in rows:
        if not row["exact"]:
            mark = "!!" if row["wrong"] else "  "
            print(f"  {mark} {row['say']} | {row['heard']} | {row['voice']} | {' '.join(row['doubts'])}")


def _machine() -> str:
    python = f"Python {platform.python_version()}, numpy {np.__version__}"
    return f"{os.cpu_count()} cores, {platform.machine()}, {python}"


if __name__ == "__main__":
    main()
