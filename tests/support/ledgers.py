"""A print with all that a print can ask for, and the log that is held against it."""

from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.schedule_reading import schedule_from_json

HINGES = ["hinge 1", "hinge 2"]
PRINT = schedule_from_json(
    {
        "aircraft": "Quillwing",
        "print revision": "C",
        "materials": ["BID", "UNI", "carbon BID"],
        "parts": {
            "spar": {
                "sides": "left and right",
                "faces": ["fore", "aft"],
                "features": ["cap"],
                "stations": ["root", *HINGES],
                "steps": [
                    {"step": "E1", "face": "fore", "plies": 3, "material": "BID", "orientation": "45"},
                    {
                        "step": "E2",
                        "face": "fore",
                        "at": HINGES,
                        "plies": 7,
                        "material": "BID",
                        "after": "E1",
                        "disturbs": "E5",
                    },
                    {
                        "step": "E3",
                        "face": "aft",
                        "plies": 4,
                        "material": "BID",
                        "after": "E1",
                        "instead": {"material": "carbon BID", "because": "on hand"},
                    },
                    {"step": "E4", "face": "fore", "feature": "cap", "plies": 2, "material": "UNI"},
                    {"step": "E5", "at": HINGES, "do": "mount", "item": "hinge", "after": "E3"},
                ],
            },
            "post": {
                "faces": ["fore"],
                "steps": [
                    {"step": "P1", "face": "fore", "plies": 2, "material": "BID", "orientation": "0"},
                    {"step": "P2", "face": "fore", "plies": 1, "material": "BID", "orientation": "45"},
                    {"step": "P3", "face": "fore", "plies": 1, "material": "UNI", "after": "P2"},
                ],
            },
            "fin": {"steps": [{"step": "F1", "do": "bond", "after": ["P3"]}]},
        },
    }
)
FITTINGS = schedule_from_json(
    {
        "aircraft": "Quillwing",
        "print revision": "C",
        "materials": ["BID"],
        "parts": {
            "box": {
                "faces": ["fore", "aft", "end"],
                "features": ["cap", "web"],
                "stations": HINGES,
                "steps": [
                    {"step": "B1", "face": "fore", "feature": "cap", "plies": 1, "material": "BID"},
                    {
                        "step": "B2",
                        "face": "aft",
                        "at": HINGES,
                        "plies": 1,
                        "material": "BID",
                        "disturbs": "B4",
                    },
                    {"step": "B3", "at": "hinge 1", "do": "mount", "item": "bracket"},
                    {"step": "B4", "at": "hinge 1", "do": "mount", "item": "hinge", "after": "B2"},
                    {"step": "B5", "do": "bond", "after": "B2"},
                ],
            }
        },
    }
)


def entry(kind="laid", part="spar", side="right", **fields):
    given_ = {"part": part, "side": side if part == "spar" else "", **fields}
    return Entry(kind, {name: value for name, value in given_.items() if value != ""})


def laid(plies, material="BID", face="fore", **fields):
    return entry(face=face, plies=plies, material=material, **fields)


def mounted(station="hinge 1", **fields):
    return entry("mounted", station=station, **{"item": "hinge", **fields})


def noted(*entries, doubts=()):
    """Entries one a day, from 1 January on."""
    return [
        Dated(f"n{day}", f"2025-01-{day:02}T10:00:00+01:00", each, doubts)
        for day, each in enumerate(entries, 1)
    ]


def tally(ledger, step, side="right", station=""):
    (only,) = (t for t in ledger.tallies(Place(side=side)) if step in t.steps and t.place.station == station)
    return only


def kinds(ledger, where=None):
    return [(finding.kind, finding.entry.id) for finding in findings(ledger, where)]


def box(kind="laid", **fields):
    return Entry(
        kind, {"part": "box", **({"plies": 1, "material": "BID"} if kind == "laid" else {}), **fields}
    )


def found(*entries):
    return [(finding.kind, finding.field) for finding in findings(Ledger(FITTINGS, noted(*entries)))]
