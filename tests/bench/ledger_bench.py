"""How long the ledger takes: 300 parts, 5,000 steps, 50,000 entries, and how it grows.

    .venv/bin/python tests/bench/ledger_bench.py            all of it, a table
    .venv/bin/python tests/bench/ledger_bench.py --profile  where the time goes

Best of several rounds, in milliseconds of this process's own time, so that others on the machine count
less; beside it the wall clock. Nothing here is asserted: what must hold on any machine (that one more
entry costs the same however long the log) is a test of its own, in tests/core/test_ledger_questions.py.
"""

import argparse
import cProfile
import gc
import os
import platform
import pstats
import random
from time import perf_counter, process_time

from plytally.core.checking import check_new
from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.order_of_work import OrderOfWork
from plytally.core.schedule_reading import schedule_from_json
from plytally.resting import collector_resting

HINGES = ["hinge 1", "hinge 2", "hinge 3"]
NOW = "2026-06-01T10:00:00+02:00"


def a_print(parts=300, steps=5000):
    """A print of so many parts, mirrored left and right, and so many steps with both sides counted."""
    out, at = {}, 0
    for part in range(parts):
        rows = []
        for _ in range(steps * (part + 1) // parts // 2 - steps * part // parts // 2):
            row = {"step": f"S{at}", "face": ["fore", "aft"][len(rows) % 2], "plies": 1 + at % 7}
            row |= {"material": ["BID", "UNI"][at % 3 == 0], "orientation": ["0", "45", "90"][at % 3]}
            row |= {"at": HINGES} if len(rows) % 3 == 2 else {}
            row |= {"after": [f"S{at - 1}"]} if rows else {}
            rows.append(row)
            at += 1
        names = {"sides": "left and right", "faces": ["fore", "aft"], "stations": HINGES}
        out[f"part {part}"] = names | {"steps": rows}
    top = {"aircraft": "Quillwing", "print revision": "C", "materials": ["BID", "UNI"]}
    return schedule_from_json(top | {"orientations": ["0", "45", "90"], "parts": out})


def a_log(schedule, entries, seed=7):
    """So many entries over two years, in the order of the print, as a builder works: most of them layups."""
    chance, steps, log = random.Random(seed), schedule.steps, []
    for at in range(entries):
        step, day = steps[at * len(steps) // entries], at * 600 // entries
        place = {"part": step.part, "side": step.side}
        fields = place | {"face": step.face, "plies": 1, "material": step.material}
        fields |= {"orientation": step.orientation}
        fields |= {"station": chance.choice(step.stations)} if step.stations else {}
        entry = Entry("bagged", place) if at % 10 == 9 else Entry("laid", fields)
        date = f"{2024 + day // 336}-{1 + day % 336 // 28:02}-{1 + day % 28:02}"
        when = f"{date}T{at % 24:02}:{at % 60:02}:00+01:00"
        log.append(Dated(f"n{at:06}", when, entry))
    return sorted(log, key=lambda dated: dated.when)


def best(act, rounds=5):
    """The least process time and wall time of several rounds, in milliseconds."""
    own, wall = [], []
    for _ in range(rounds):
        gc.collect()
        cpu, clock = process_time(), perf_counter()
        kept = act()  # what is built stays, as it does in use; throwing it away is not measured
        own.append((process_time() - cpu) * 1000)
        wall.append((perf_counter() - clock) * 1000)
        del kept
    return min(own), min(wall)


def shown(what, figures, beside=""):
    """One row of the table."""
    print(f"{what:<46} {figures[0]:>9.2f} {figures[1]:>9.2f}  {beside}")


def whole(schedule, log):
    """The whole ledger: built, and every place counted."""
    ledger = Ledger(schedule, log)
    ledger.tallies()
    return ledger


def one_more(ledger, log):
    """Entries that come in one by one: each held against the print, taken in, and its place counted."""
    last = log[-1].entry
    number = iter(range(1_000_000))

    def act():
        for _ in range(100):
            check_new(ledger, last, NOW)
            ledger.add(Dated(f"z{next(number):06}", NOW, last))
            ledger.tallies(Place(last.fields["part"], last.fields["side"]))

    own, wall = best(act)
    return own / 100, wall / 100


def main():
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--profile", action="store_true")
    asked.add_argument("--entries", type=int, default=50_000)
    given = asked.parse_args()
    schedule = a_print()
    log = a_log(schedule, given.entries)
    if given.profile:
        profile = cProfile.Profile()
        profile.runcall(whole, schedule, log)
        pstats.Stats(profile).sort_stats("tottime").print_stats(20)
        return
    print(f"Python {platform.python_version()}, {platform.machine()}, {os.cpu_count()} cores")
    print(f"{len(schedule.parts)} parts, {len(schedule.steps)} steps, {len(log)} entries\n")
    print(f"{'':<46} {'own ms':>9} {'wall ms':>9}")
    shown("the print laid out, no entries", best(lambda: Ledger(schedule)))
    shown("whole ledger, every place counted", best(lambda: whole(schedule, log)))
    with collector_resting():
        shown(
            "the same, collector at rest, as the bench does", best(lambda: whole(schedule, log)), "aim: 500"
        )
    ledger = whole(schedule, log)
    shown("one more entry: checked, added, counted", one_more(ledger, log), "aim: 1")
    shown("where did I leave off, whole print", best(ledger.left_off), "aim: 5")
    with collector_resting():
        shown("the same, collector at rest", best(ledger.left_off), "aim: 5")
    part = Place("part 299", "right")
    shown("where did I leave off, one part", best(lambda: ledger.left_off(part)))
    shown("findings, whole print", best(lambda: findings(ledger), 2))
    shown("order of work, whole print", best(lambda: list(OrderOfWork(schedule).moments()), 2))
    print("\ngrowth, whole ledger, collector at rest:")
    for entries in (3125, 6250, 12_500, 25_000, 50_000, 100_000):
        some = a_log(schedule, entries)
        with collector_resting():
            figures = best(lambda some=some: whole(schedule, some), 3)
        shown(f"  {entries} entries", figures, f"{figures[0] / entries * 1000:.1f} µs an entry")


if __name__ == "__main__":
    main()
