"""A small print, and the same with another step."""

SPAR = {
    "sides": "left and right",
    "faces": ["fore", "aft"],
    "stations": ["hinge 1", "hinge 2"],
    "features": ["cap"],
    "steps": [
        {"step": "E1", "face": "fore", "plies": 3, "material": "BID", "orientation": "45"},
        {
            "step": "E2",
            "face": "fore",
            "plies": 7,
            "material": "BID",
            "at": "hinge 1, hinge 2",
            "after": "E1",
        },
        {"step": "E3", "do": "mount", "item": "hinge", "at": ["hinge 1", "hinge 2"], "after": ["E2"]},
    ],
}


def a_print(**changes):
    whole = {
        "aircraft": "Quillwing",
        "print revision": "C",
        "materials": ["BID", "UNI"],
        "parts": {"spar": SPAR},
    }
    return whole | changes


def with_step(**changes):
    step = {
        name: value for name, value in ({"step": "E9", "face": "aft"} | changes).items() if value is not None
    }
    return a_print(parts={"spar": SPAR | {"steps": [*SPAR["steps"], step]}})
