"""Runs the vectors of core wherever Python runs: CPython here, Pyodide on a phone. JSON in, JSON out."""

import json

from plytally.core.canonical import canonical
from plytally.core.grits_and_drills import read_drill, read_grit
from plytally.core.measures import read_quantity
from plytally.core.merge import State
from plytally.core.numbers import read_number, read_ratio
from plytally.core.operation import Operation
from plytally.core.pocket import Pocket
from plytally.core.quantities import Dimension
from plytally.core.spelled import read_digits

READERS = {
    "number": read_number,
    "ratio": read_ratio,
    "digits": read_digits,
    "quantity": read_quantity,
    "grit": read_grit,
    "drill": read_drill,
}
NOW = "2026-11-03T19:05:12.040+01:00"


def run(given: str) -> str:
    """`given` holds `print`, `numbers`, `phrases`, `cards` and `operations`; what core makes of each."""
    asked = json.loads(given)
    pocket = Pocket(asked["print"])
    refused = pocket.saw([(raw, None) for raw in asked["operations"]])
    operations = [Operation.from_json(raw) for raw in asked["operations"]]
    return json.dumps(
        {
            "numbers": [_number(row) for row in asked["numbers"]],
            "phrases": [pocket.take(row["say"], NOW) for row in asked["phrases"]],
            "rivals": [pocket.rivals(row["say"]) for row in asked["phrases"][:20]],
            "heard": [_heard(pocket, note) for note in asked["sounded"]],
            "ears": pocket.ears(lambda _word: None),
            "cards": pocket.cards(),
            "sums": [[pocket.sum(c["card"], c["given"]), _kept(pocket, c)] for c in asked["cards"]],
            "board": pocket.board(NOW),
            "choosing": [_chosen(pocket, kind["value"]) for kind in pocket.choose({})["ask"]["choices"]],
            "refused": refused,
            "bytes": [operation.to_bytes().decode() for operation in operations],
            "state": State().with_operations(operations).to_bytes().decode(),
            "canonical": canonical(asked["operations"]).decode(),
        },
        sort_keys=True,
    )


def _heard(pocket, note):
    """What a note is held against, and its hearing where every rival was found so far behind."""
    against = pocket.sounded(note, NOW)
    found = [
        {"of": of, "at": at, "words": each["others"][-1].split(), "margin": note["margin"] + 7 * at}
        for of in ("rivals", "likely")
        for at, each in enumerate(against[of])
    ]
    return [against, against["hearing"] or pocket.weighed({"found": found[1:], "left": [0] if found else []})]


def _chosen(pocket, kind):
    """A walk through the buttons for one kind: the first choice each time, 22 on each pad, 90 minutes."""
    picked, walk = {"kind": kind}, []
    while (answer := pocket.choose(picked))["ask"] is not None:
        walk.append(answer)
        ask = answer["ask"]
        number = f"22 {ask['units'][0]}" if ask["units"] else "90 min"
        picked[ask["field"]] = ask["choices"][0]["value"] if ask["choices"] else number
    return [*walk, answer]


def _kept(pocket, card):
    return pocket.keep_sum(card["card"], card["given"], {"part": "elevator spar", "side": "left"})


def _number(row):
    options = {"expecting": Dimension(row["expecting"])} if "expecting" in row else {}
    if "after_vacuum" in row:
        options["after_vacuum"] = row["after_vacuum"]
    found = READERS[row["read"]](tuple(row["words"].split()), 0, **options)
    return None if found is None else [str(found[0]), found[1]]
