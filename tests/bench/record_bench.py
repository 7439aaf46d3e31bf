"""What the build record costs: 1,000 entries and 200 photos as a PDF, out and in again, and a visitor's page.

    PYTHONPATH=tests .venv/bin/python tests/bench/record_bench.py --json figures.json

Each measure runs in a process of its own, so that its peak of memory is its own. `--entries` and
`--photos` make it shorter; the photos are of twelve megapixels, as phones make them.
"""

import argparse
import io
import json
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

from plytally.core.entry import Entry
from plytally.core.quantities import parse_quantity
from plytally.core.wall import Wall
from plytally.record.book import write_pdf
from plytally.record.content import Scope
from plytally.record.export import export
from plytally.record.reading import read_folder
from plytally.store.log import BuildLog, Recording
from plytally.web.record_photos import small_photos
from plytally.workshop.carrying import take_export
from plytally.workshop.demo import DemoClock, demo_folder
from plytally.workshop.print_shelf import PrintShelf
from plytally.workshop.record_copy import content_of

NOW = Wall(1_793_690_400_000, 60)
DAYS = 300


def photo(seed):
    """A JPEG of twelve megapixels with some detail in it, about as large as a phone's."""
    grain = np.random.default_rng(seed).integers(0, 255, (300, 400, 3), dtype=np.uint8)
    out = io.BytesIO()
    Image.fromarray(grain).resize((4000, 3000), Image.Resampling.BICUBIC).save(out, "JPEG", quality=85)
    return out.getvalue()


def make(folder, entries, photos):
    """A log of so many entries on the Quillwing's parts, some corrected, some in doubt."""
    rng, clock = random.Random(4), DemoClock()
    with BuildLog(folder, clock) as log:
        shelf = PrintShelf(folder, log.documents)
        steps = shelf.take(demo_folder() / "quillwing.yaml", NOW).steps
        pictures = [photo(seed) for seed in range(min(photos, 20))]
        made = []
        for number in range(entries):
            clock.wall = Wall(clock.wall.millis + DAYS * 86_400_000 // entries, -300)
            made.append(log.record(entry(rng, steps)).id)
            if number % 10 == 0:
                log.amend(made[-1], "plies" if number % 20 == 0 else "grit", None, why="heard wrongly")
        for number in range(photos):
            content = pictures[number % len(pictures)] + str(number).encode()
            entry_id = made[number * len(made) // photos]
            log.attach(entry_id, Recording(content, "image/jpeg", "photo"))


def entry(rng, steps):
    """One entry of a kind that a shop notes often."""
    step = rng.choice([step for step in steps if step.is_layup])
    place = {"part": step.part, "face": step.face} | ({"side": step.side} if step.side else {})
    place |= {"station": rng.choice(step.stations)} if step.stations else {}
    kind = rng.choice(("laid", "laid", "sanded", "vacuum", "mixed", "note", "started", "stopped"))
    fields = {
        "laid": place | {"plies": step.plies, "material": step.material},
        "sanded": place | {"grit": 120},
        "vacuum": place | {"gauge": parse_quantity("22 inHg")},
        "mixed": {"mass": parse_quantity(f"{rng.randint(40, 400)} g"), "resin": "epoxy"},
        "note": {"text": "the heater tripped the breaker again, the wiring wants looking at on sunday"},
        "started": {"part": step.part, "category": "layup"},
        "stopped": {},
    }[kind]
    return Entry(kind, fields, "as it was said, in about a dozen words, on the shop floor")


def pdf(folder):
    """The whole record; its pages and size."""
    reading = read_folder(folder)
    out = io.BytesIO()
    pages = write_pdf(content_of(reading, Scope(), NOW), out, small_photos(reading.media))
    return {"pages": pages, "megabytes": round(len(out.getvalue()) / 1e6, 1)}


def pdf_of_a_part(folder):
    """The record of one part."""
    from plytally.core.entry import Place

    reading = read_folder(folder)
    out = io.BytesIO()
    scope = Scope((Place("elevator spar", "right"),))
    return {"pages": write_pdf(content_of(reading, scope, NOW), out, small_photos(reading.media))}


def out_and_in(folder):
    """Export and import."""
    with tempfile.TemporaryDirectory() as scratch:
        target, begun = Path(scratch) / "out", time.perf_counter()
        reading = read_folder(folder)
        export(reading, content_of(reading, Scope(), NOW), target)
        exported = time.perf_counter() - begun
        take_export(target, Path(scratch) / "log", lambda: "018f0000-0000-7000-8000-000000000000", NOW)
        return {"export_s": round(exported, 1), "import_s": round(time.perf_counter() - begun - exported, 1)}


MEASURES = {"pdf": pdf, "pdf of a part": pdf_of_a_part, "out and in": out_and_in}


def measured(name, folder):
    """One measure in a process of its own: seconds and peak memory with its own figures."""
    done = subprocess.run(
        [sys.executable, __file__, "--one", name, "--folder", str(folder)],
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    return json.loads(done.stdout)


def main():
    """Make the log, measure, and show."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--entries", type=int, default=1000)
    parser.add_argument("--photos", type=int, default=200)
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--json", type=Path)
    parser.add_argument("--one")
    asked = parser.parse_args()
    if asked.one:
        begun = time.perf_counter()
        told = MEASURES[asked.one](asked.folder)
        told |= {"seconds": round(time.perf_counter() - begun, 1), "cpu_s": round(time.process_time(), 1)}
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print(json.dumps(told | {"peak_mb": round(peak / 1024)}))
        return
    with tempfile.TemporaryDirectory() as scratch:
        folder = (asked.folder or Path(scratch)) / "log"
        make(folder, asked.entries, asked.photos)
        found = {name: measured(name, folder) for name in MEASURES}
    for name, told in found.items():
        print(name, told)
    if asked.json:
        asked.json.write_text(json.dumps(found, indent=1))


if __name__ == "__main__":
    main()
