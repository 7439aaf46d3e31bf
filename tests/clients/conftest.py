"""Foreign clients under node: installed by `npm ci` from the lock file, once for each state of it."""

import hashlib
import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest
from support.server_process import ServerProcess

HERE = Path(__file__).parent
CACHE = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache")) / "plytally-tests"


@pytest.fixture(scope="session")
def node_folder():
    """A folder with the locked packages installed. Without node and npm the tests fail: they are needed."""
    for tool in ("node", "npm"):
        if shutil.which(tool) is None:
            pytest.fail(f"{tool} is missing; install Debian's nodejs and npm, or run tests/run as root")
    lock = (HERE / "package-lock.json").read_bytes()
    folder = CACHE / f"clients-{hashlib.sha256(lock).hexdigest()[:16]}"
    done = folder / "installed"
    if not done.exists():
        folder.mkdir(parents=True, exist_ok=True)
        for name in ("package.json", "package-lock.json"):
            shutil.copy(HERE / name, folder)
        ran = subprocess.run(
            ["npm", "ci", "--no-audit", "--no-fund"], cwd=folder, capture_output=True, text=True
        )
        if ran.returncode:
            pytest.fail(f"npm ci: {ran.stderr[-2000:]}")
        done.touch()
    return folder


@pytest.fixture
def upload(node_folder):
    """Runs tus-js-client once; what it told."""

    def run(endpoint, token, file, address=None, chunk_size=64 * 1024, environment=None, **told):
        shutil.copy(HERE / "tus.mjs", node_folder)
        address = address or hashlib.sha256(file.read_bytes()).hexdigest()
        asked = {
            "endpoint": endpoint,
            "token": token,
            "file": str(file),
            "sha256": address,
            "chunkSize": chunk_size,
        }
        ran = subprocess.run(
            ["node", str(node_folder / "tus.mjs"), json.dumps(asked | told)],
            capture_output=True,
            text=True,
            timeout=120,
            env=os.environ | (environment or {}),
        )
        assert ran.returncode == 0, ran.stderr[-2000:]
        return json.loads(ran.stdout)

    return run


@pytest.fixture
def server(tmp_path):
    with ServerProcess(tmp_path / "data", lan=True) as running:
        yield running
