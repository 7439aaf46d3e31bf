"""The bills of materials of what is here, in the open CycloneDX form, put into a folder.

    python tests/release/bills.py build/bills

`plytally-python.cdx.json` lists what pip installs for a user, without what only the tests need;
`plytally.cdx.json` lists what the wheel itself carries of others, and lies in every wheel as well (PEP 770).
"""

import json
import re
import shutil
import subprocess
import sys
import tomllib
from importlib.metadata import requires
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parents[2]
CARRIED = ROOT / "pwa/.made/plytally.cdx.json"


def plain(name):
    """A package's name as registries compare it (PEP 503)."""
    return re.sub(r"[-_.]+", "-", name).lower()


def named(requirement):
    """The package that a requirement is about."""
    return plain(re.match(r"[\w.-]+", requirement)[0])


def installed():
    """The bill of everything in this environment, tests included."""
    command = [sys.executable, "-m", "cyclonedx_py", "environment", sys.executable]
    told = (
        "--pyproject",
        str(ROOT / "pyproject.toml"),
        "--output-reproducible",
        "--no-validate",
        "--of",
        "JSON",
        "-o",
        "-",
    )
    done = subprocess.run([*command, *told], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def brought_along(first):
    """The packages that these need to run, themselves included; extras only where one asks for them."""
    found, open_ = set(), [Requirement(each) for each in first]
    while open_:
        asked = open_.pop()
        if (key := (plain(asked.name), frozenset(asked.extras))) in found:
            continue
        found.add(key)
        needs = [Requirement(each) for each in requires(asked.name) or ()]
        wanted = ("", *asked.extras)
        open_ += [
            need
            for need in needs
            if need.marker is None or any(need.marker.evaluate({"extra": extra}) for extra in wanted)
        ]
    return {name for name, _ in found}


def of_a_user(bill):
    """Only what plytally needs to run: the bill's own graph has every extra of every package as well."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    names = brought_along(project["dependencies"])
    kept = [each for each in bill["components"] if plain(each["name"]) in names]
    refs = {each["bom-ref"] for each in kept} | {bill["metadata"]["component"]["bom-ref"]}
    graph = [
        {"ref": each["ref"], "dependsOn": [ref for ref in each.get("dependsOn", ()) if ref in refs]}
        for each in bill["dependencies"]
        if each["ref"] in refs
    ]
    return bill | {"components": kept, "dependencies": graph}


def write_bills(folder):
    """Both bills into a folder, which is made where it is missing."""
    folder.mkdir(parents=True, exist_ok=True)
    python = json.dumps(of_a_user(installed()), indent=1, ensure_ascii=False)
    (folder / "plytally-python.cdx.json").write_text(python + "\n", encoding="utf-8")
    shutil.copy(CARRIED, folder / CARRIED.name)
    return sorted(file.name for file in folder.glob("*.cdx.json"))


if __name__ == "__main__":
    print("bills of materials:", ", ".join(write_bills(Path(sys.argv[1]))))
