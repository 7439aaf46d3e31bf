"""Asks whether something that plytally stands on has a known fault.

    python tests/release/advisories.py              where nobody answers, says so loudly and ends with 0
    python tests/release/advisories.py --required   where nobody answers, ends with 4: for a release

pip-audit asks about what `tests/constraints.txt` pins, npm about what `pwa/package-lock.json` pins and the
app ships. A known fault ends with 1, unless it stands in ACCEPTED with the reason why it does no harm here.
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
LONGEST_S = 300
ACCEPTED = {}
"""The id of a fault that is known and does no harm here: why not."""

FOUND, NOT_ASKED = 1, 4


class NoAnswer(Exception):
    """Whoever knows of faults could not be asked; the message says who and why."""


def python_faults(told):
    """(package, version, id) of each fault in pip-audit's JSON; NoAnswer where any package went unasked."""
    rows = json.loads(told)["dependencies"]
    unasked = [row["name"] for row in rows if "skip_reason" in row]
    if unasked or not rows:
        raise NoAnswer(f"pip-audit got no answer about {', '.join(unasked[:3]) or 'anything'}")
    return [(row["name"], row["version"], fault["id"]) for row in rows for fault in row.get("vulns", [])]


def app_faults(told):
    """(package, range, id) of each fault in npm's JSON; NoAnswer where the registry told nothing."""
    answer = json.loads(told)
    if "vulnerabilities" not in answer:
        raise NoAnswer(f"npm audit: {answer.get('message') or answer.get('error') or 'no answer'}")
    return [
        (name, row["range"], via["url"].rpartition("/")[2])
        for name, row in answer["vulnerabilities"].items()
        for via in row["via"]
        if isinstance(via, dict)
    ]


def ask_pip_audit(requirements):
    """pip-audit's JSON about pinned requirements."""
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as file:
        file.write("\n".join(requirements))
        file.flush()
        words = ("-r", file.name, "--no-deps", "--disable-pip", "--progress-spinner", "off", "-f", "json")
        return said([sys.executable, "-m", "pip_audit", *words])


def ask_npm():
    """npm's JSON about what the app ships."""
    return said(["npm", "audit", "--json", "--omit=dev", "--package-lock-only"], cwd=ROOT / "pwa")


def said(command, **how):
    """What a command printed; NoAnswer if it did not end in time or printed no JSON."""
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=LONGEST_S, **how)
    except (subprocess.TimeoutExpired, OSError) as problem:
        raise NoAnswer(f"{command[0]}: {problem}") from problem
    if not done.stdout.lstrip().startswith("{"):
        raise NoAnswer(f"{' '.join(command[:3])}: {(done.stderr.splitlines() or ['printed nothing'])[-1]}")
    return done.stdout


def python_side():
    """One package first: where that one is not known, a hundred more would not be."""
    pinned = [line for line in (ROOT / "tests/constraints.txt").read_text().split() if line]
    python_faults(ask_pip_audit([next(line for line in pinned if line.lower().startswith("flask=="))]))
    return python_faults(ask_pip_audit(pinned))


def judge(faults, accepted):
    """The lines to show, and whether all is well."""
    told = {fault[2] for fault in faults}
    lines = [f"KNOWN FAULT {name} {version}: {id_}" for name, version, id_ in faults if id_ not in accepted]
    lines += [f"accepted {id_}: {accepted[id_]}" for id_ in sorted(told & accepted.keys())]
    return lines, not any(line.startswith("KNOWN") for line in lines)


def main(required):
    """Ask both, show what came of it, and give the exit code."""
    code = 0
    for side, ask in (("Python", python_side), ("the app", lambda: app_faults(ask_npm()))):
        try:
            faults = ask()
        except NoAnswer as problem:
            print(f"NOT CHECKED for known faults, {side}: {problem}")
            code = code or (NOT_ASKED if required else 0)
            continue
        lines, well = judge(faults, ACCEPTED)
        print("\n".join([f"checked for known faults, {side}: {len(faults)} told", *lines]))
        code = code if well else FOUND
    return code


if __name__ == "__main__":
    sys.exit(main("--required" in sys.argv[1:]))
