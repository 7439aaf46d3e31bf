"""The demo's print, and a log of one entry a day that is held against it."""

from pathlib import Path

from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.ledger import Ledger
from plytally.schedule_file import read_schedule_file, schedule_from_yaml

QUILLWING = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
FORE, AFT = Place("elevator spar", "right", "fore"), Place("elevator spar", "right", "aft")
NOW = "2026-03-22T10:00:00+01:00"


def entry(kind="laid", part="elevator spar", side="right", **fields):
    given = {"part": part, "side": side, **fields}
    return Entry(kind, {name: value for name, value in given.items() if value != ""})


def laid(plies, face="fore", material="BID", **fields):
    return entry(face=face, plies=plies, material=material, **fields)


def ledger_of(*entries, doubts=()):
    """A log of one entry a day from 20 January 2025 on."""
    rows = enumerate(entries, 20)
    return Ledger(
        QUILLWING, [Dated(f"n{day}", f"2025-01-{day}T10:00:00+01:00", each, doubts) for day, each in rows]
    )


TWO_STEPS = schedule_from_yaml("""\
aircraft: Quillwing
print revision: C
materials: BID
parts:
  rib:
    faces: fore, aft
    steps:
      - {step: R1, face: fore, plies: 2, material: BID, orientation: "0"}
      - {step: R2, face: fore, plies: 2, material: BID, orientation: "45", after: R4}
      - {step: R3, face: aft, plies: 2, material: BID}
      - {step: R4, face: aft, plies: 2, material: BID, after: R2b}
      - {step: R2b, do: cure}
""")
