"""The main job in a minute, on real sound: an evening at the Quillwing's right elevator spar.

The recordings are speech that a program made, over the noise of a pump and a fan; see
demo_entries/README.md. They are heard here and now, none of what is shown is stored.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

import yaml

from plytally.clock import MachineClock
from plytally.core.wall import Wall, read_wall
from plytally.speech.port import Recogniser
from plytally.workshop.bench import Bench
from plytally.workshop.hearing_files import Heard, hear_file

EVENING = "2026-03-14T19:00:00.000-05:00"
MINUTE_MS = 60_000


class DemoClock(MachineClock):
    """The evening of the demo; random bits are real."""

    def __init__(self) -> None:
        self.wall = read_wall(EVENING)

    def now_millis(self) -> int:
        """The demo's time."""
        return self.wall.millis

    def offset_min(self) -> int:
        """The demo's local offset."""
        return self.wall.offset_min

    def at(self, minutes: int) -> None:
        """Go to so many minutes after seven."""
        start = read_wall(EVENING)
        self.wall = Wall(start.millis + minutes * MINUTE_MS, start.offset_min)


def demo_folder() -> Path:
    """Where the demo's schedule and recordings are: in the installed package, or beside the source."""
    installed = Path(str(files("plytally"))) / "demo_entries"
    return installed if installed.is_dir() else Path(__file__).parents[3] / "demo_entries"


def run_demo(folder: Path, engine: Recogniser, show: Callable[[Wall, Heard], None]) -> Bench:
    """Hear every recording of the demo into a log in `folder`; `show` is called after each."""
    clock, demo = DemoClock(), demo_folder()
    bench = Bench.open(folder, clock)
    try:
        bench.take_schedule(demo / "quillwing.yaml")
        for note in yaml.safe_load((demo / "notes.yaml").read_text())["notes"]:
            clock.at(note["at"])
            show(bench.now(), hear_file(demo / "recordings" / note["file"], engine, bench))
    except BaseException:
        bench.close()
        raise
    return bench
