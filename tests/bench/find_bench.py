"""How long a question to the index takes in a log of years, and how much slower it is to look at every entry.

.venv/bin/python tests/bench/find_bench.py [ENTRIES]
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path.insert(0, str(TESTS))

from support.devices import MORNING, Device, note_body  # noqa: E402

from plytally.core.readback import shown  # noqa: E402
from plytally.workshop.bench import Bench  # noqa: E402
from plytally.workshop.finding import Finder  # noqa: E402

PRINT = TESTS.parent / "demo_entries/quillwing.yaml"
MINUTES = 25
NOTES = ("the pump was loud again", "the new roll is lighter", "heater tripped the breaker", "sanded too far")
DOUBT = {"field": "plies", "heard": "2", "runner_up": "3", "why": "the sound fits both"}
QUESTIONS = {
    "a rare word": {"words": "breaker"},
    "a word of every second entry": {"words": "bid"},
    "two words, the last begun": {"words": "elevator hing"},
    "touched the left elevator spar": {"at": "left elevator spar"},
    "the same, one face": {"at": "left elevator spar aft face"},
    "a batch": {"names": {"batch": "714"}},
    "a material and a kind": {"names": {"material": "UNI"}, "kind": "laid"},
    "a person, a month": {"author": "helper", "first_day": "2027-03-01", "last_day": "2027-03-31"},
    "in doubt": {"stands": ["open"]},
    "withdrawn, with a word": {"stands": ["withdrawn"], "words": "spar"},
    "everything": {},
}


def main() -> None:
    """Build the log, build the index, ask each question many times."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 50_000
    with tempfile.TemporaryDirectory() as scratch, Bench.open(Path(scratch) / "log") as bench:
        bench.take_schedule(PRINT)
        for batch in _batches(bench, count):
            bench.log.receive(batch, "phone-bench")
        print(f"{len(bench.log.state.order)} entries")
        finder = Finder(bench)
        print(f"index built in {_seconds(finder.make_ready):.1f} s")
        size = sum(file.stat().st_size for file in bench.log.folder.glob("find.sqlite*"))
        print(f"index: {size / 1e6:.0f} MB")
        bench.log.record(bench.log.state.order[0].entry)
        print(f"one more entry taken in: {1000 * _seconds(finder.make_ready):.1f} ms")
        slowest = 0.0
        for name, asked in QUESTIONS.items():
            times = sorted(1000 * _seconds(lambda asked=asked: finder.find(**asked)) for _ in range(40))
            slowest = max(slowest, times[37])
            count, median = finder.find(**asked).count, statistics.median(times)
            print(f"{name}: median {median:.1f} ms, 95 of 100 in {times[37]:.1f} ms, found {count}")
        scan = 1000 * _seconds(lambda: _look_at_all(bench))
        print(f"slowest at the 95th percentile: {slowest:.1f} ms; looking at every entry: {scan:.0f} ms")
        finder.close()


def _look_at_all(bench: Bench) -> list[str]:
    """What finding a word costs without an index."""
    return [e.id for e in bench.log.state.order if "breaker" in f"{shown(e.entry)} {e.entry.said}"]


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def _batches(bench: Bench, count: int) -> Iterator[list[dict[str, object]]]:
    """Notes of some years, a tenth of them corrected, one in fifty withdrawn, one in thirty in doubt."""
    chance, phone = random.Random(1), Device("phone-bench", MORNING)
    batch: list[dict[str, object]] = []
    for number in range(count):
        entry = _plain(bench, chance) if number % 11 == 0 else _laid(bench, chance, number)
        doubted = number % 30 == 7 and entry["kind"] == "laid"
        body = note_body(entry, [DOUBT] if doubted else []) | {"author": chance.choice(("builder", "helper"))}
        note = phone.does("note", None, body, after=MINUTES * 60_000)
        batch.append(note.as_json())
        if number % 10 == 0 and entry["kind"] == "laid":
            batch.append(phone.amends(note.id, "plies", 3, [note.id]).as_json())
        if number % 50 == 0:
            batch.append(phone.withdraws(note.id).as_json())
        if len(batch) > 400:
            yield batch
            batch = []
    yield batch


def _laid(bench: Bench, chance: random.Random, number: int) -> dict[str, object]:
    part = chance.choice(bench.schedule.parts)
    fields = {"part": part.name, "plies": chance.randint(1, 8), "material": chance.choice(("BID", "UNI"))}
    if part.sides:
        fields["side"] = chance.choice(("left", "right"))
    if part.faces:
        fields["face"] = chance.choice(part.faces).name
    if number % 7 == 0:
        fields["batch"] = str(chance.randint(700, 760))
    said = f"laid {fields['plies']} plies {fields['material']} on the {part.name}"
    return {"kind": "laid", "fields": fields, "said": said, "unused": []}


def _plain(bench: Bench, chance: random.Random) -> dict[str, object]:
    text = f"{chance.choice(NOTES)} at the {chance.choice(bench.schedule.parts).name}"
    return {"kind": "note", "fields": {"text": text}, "said": text, "unused": []}


if __name__ == "__main__":
    main()
