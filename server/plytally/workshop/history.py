"""Some months at the Quillwing, replayed: typed notes with their days, each taken as if it were then."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import yaml

from plytally.core.hearing import typed
from plytally.core.wall import Wall, read_wall
from plytally.workshop.bench import Bench, Reply
from plytally.workshop.demo import DemoClock, demo_folder

Shown = Callable[[Wall, str, str, Reply], None]
"""Called after each note with when, by whom, what was typed, and what came of it."""


def replay(folder: Path, show: Shown | None = None, log: Path | None = None) -> Bench:
    """Take every note of the demo's log, or of another file like it, into a new log in `folder`."""
    clock, demo = DemoClock(), demo_folder()
    bench = Bench.open(folder, clock)
    try:
        bench.take_schedule(demo / "quillwing.yaml")
        for note in yaml.safe_load((log or demo / "log.yaml").read_text())["notes"]:
            clock.wall = read_wall(note["when"])
            reply = bench.take(typed(note["say"]), author=note["by"])
            if show:
                show(clock.wall, note["by"], note["say"], reply)
    except BaseException:
        bench.close()
        raise
    return bench
