"""Phones and a real `plytally serve` for the figures; what they send is as long as what is said."""

from __future__ import annotations

import gzip
import http.client
import json
import random
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from support.devices import LAID, Device

from plytally.clock import MachineClock
from plytally.core.operation import Operation

BATCH, BEFORE_MS = 20, 86_400_000
SAID = LAID["said"].split()
Figures = dict[str, Any]


class Recorder:
    """A phone that records as phones do: heard notes, and a correction to every tenth."""

    def __init__(self, name: str) -> None:
        self.chance = random.Random(name)
        self.device = Device(name, MachineClock().now_millis() - BEFORE_MS, name)
        self.last: Operation | None = None

    def next(self) -> Operation:
        """The next operation."""
        if self.last is not None and self.chance.random() < 0.1:
            made = self.device.amends(self.last.id, "plies", self.chance.randrange(1, 9), after=1)
        else:
            entry = LAID | {"fields": LAID["fields"] | {"plies": self.chance.randrange(1, 9)}}
            body = {"entry": entry, "doubts": [], "hearing": self._hearing(), "author": "builder"}
            self.last = made = self.device.does("note", None, body, after=1)
        return made

    def batch(self, size: int = BATCH) -> list[Any]:
        """So many operations as JSON."""
        return [self.next().as_json() for _ in range(size)]

    def _hearing(self) -> Figures:
        words = [
            {
                "text": word,
                "start": f"{at * 0.31:.2f}",
                "end": f"{at * 0.31 + 0.3:.2f}",
                "confidence": f"{self.chance.uniform(0.5, 1):.2f}",
                "runner_up": self.chance.choice(("", "", "", "plied", "right")),
            }
            for at, word in enumerate(SAID)
        ]
        other = [{"text": " ".join(SAID), "margin": f"{self.chance.uniform(0, 9):.1f}"} for _ in range(2)]
        told = {"engine": "sphinx", "covered": True, "seconds": "4.10", "remarks": []}
        return told | {"words": words, "alternatives": other}


@dataclass
class Serving:
    """`plytally serve` over a folder, on a free port of 127.0.0.1, and one connection to it."""

    folder: Path
    tokens: dict[str, str]
    told: Figures = field(default_factory=dict)

    def start(self) -> None:
        """Start, and take the time until it listens."""
        command = [sys.executable, "-m", "plytally", "serve", "--port", "0", "--engine", "sphinx"]
        began = time.perf_counter()
        self._process = subprocess.Popen(
            [*command, "--data", str(self.folder)],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        assert self._process.stdout is not None
        assert "the desk is at" in self._process.stdout.readline()
        self.told["ready_s"] = time.perf_counter() - began
        self.told["ready_mb"] = self.resident()
        self.port = int(json.loads((self.folder / "serving.json").read_text())["desk"].rpartition(":")[2])
        self.line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)

    def resident(self) -> float:
        """Resident memory now, in MB."""
        status = Path(f"/proc/{self._process.pid}/status").read_text()
        return int(status.partition("VmRSS:")[2].split()[0]) / 1024

    def pull(self, device: str) -> None:
        """A new phone fetches everything; its cursor is kept."""
        cursor, more, wire = None, True, 0
        began = time.perf_counter()
        while more:
            body = sync_body(device, [], cursor) | {"limit": 1000}
            _, answer, size, _ = ask(self.line, "/api/sync", body, self.tokens[device])
            cursor, more, wire = answer["cursor"], answer["more"], wire + size
        self.told |= {"pull_s": time.perf_counter() - began, "pull_mb": wire / 1e6}
        self.cursor = cursor

    def stop(self) -> None:
        """SIGTERM, and wait."""
        self.line.close()
        self._process.terminate()
        self._process.communicate(timeout=120)


def sync_body(device: str, raws: list[Any], cursor: Any) -> Figures:
    """A request of sync."""
    return {"device": device, "operations": raws, "cursor": cursor, "now": MachineClock().now_millis()}


def ask(line: http.client.HTTPConnection, path: str, body: Figures, token: str = "") -> tuple[Any, ...]:
    """Status, JSON, bytes on the wire and seconds of one POST, made as phones do: gzip taken."""
    content = json.dumps(body).encode()
    headers = {"Content-Type": "application/json", "Accept-Encoding": "gzip"}
    headers |= {"Authorization": f"Bearer {token}"} if token else {}
    began = time.perf_counter()
    line.request("POST", path, content, headers)
    answer = line.getresponse()
    raw = answer.read()
    took = time.perf_counter() - began
    plain = gzip.decompress(raw) if answer.headers["Content-Encoding"] == "gzip" else raw
    return answer.status, json.loads(plain), len(raw), took
