"""Small prints whose order of work is looked at, and a log of entries at given times."""

from support.quillwing import QUILLWING

from plytally.core.crediting import Dated
from plytally.core.ledger import Ledger
from plytally.core.schedule_reading import schedule_from_json


def a_print(*steps, materials=("BID",), **part):
    rows = [{"plies": 1, "material": "BID"} | step if "do" not in step else step for step in steps]
    return schedule_from_json(
        {
            "aircraft": "Quillwing",
            "print revision": "C",
            "materials": dict.fromkeys(materials) if isinstance(materials, tuple) else materials,
            "parts": {"spar": {**part, "steps": rows}},
        }
    )


HINGED = {"faces": ["fore", "aft"], "stations": ["hinge 1", "hinge 2"], "features": ["cap"]}


def log_of(*rows, schedule=QUILLWING):
    return Ledger(schedule, [Dated(f"n{at}", when, each) for at, (when, each) in enumerate(rows)])
