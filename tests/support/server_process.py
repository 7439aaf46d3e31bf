"""A real server in a process of its own, to be stopped, killed and started again."""

import json
import os
import signal
import subprocess
import sys
import urllib.request

SERVE = """
import json, sys
from pathlib import Path
from plytally.web.pairing import invite
from plytally.web.serve import Plan, serve

def ready(running):
    told = {"desk": running.desk_url, "phones": running.shop.url, "remarks": running.remarks}
    print(json.dumps(told | invite(running.shop, running.inside.codes)), flush=True)

asked = json.loads(sys.argv[1])
serve(Plan(Path(asked.pop("folder")), **asked), ready)
"""


class ServerProcess:
    """`plytally serve` over a folder, on free ports of 127.0.0.1; its events go to `events`."""

    script = SERVE

    def __init__(self, folder, **plan):
        self.folder, self.process = folder, None
        self.plan = {"desk_port": 0, "lan_port": 0, "lan_host": "127.0.0.1", "name": "localhost"} | plan
        self.events = folder.with_name(folder.name + ".events.jsonl")

    def start(self):
        """Start, and wait until it listens; the same ports as before, if it ran before."""
        asked = json.dumps({"folder": str(self.folder)} | self.plan)
        with self.events.open("a") as events:
            self.process = subprocess.Popen(
                [sys.executable, "-W", "error", "-c", self.script, asked],
                stdout=subprocess.PIPE,
                stderr=events,
                text=True,
            )
        line = self.process.stdout.readline()
        if not line:
            self.process.communicate()
            raise RuntimeError(f"the server did not start: {self.events.read_text()[-2000:]}")
        self.told = json.loads(line)
        self.desk, self.phones = self.told["desk"], self.told["phones"]
        self.plan["desk_port"] = int(self.desk.rpartition(":")[2])
        if self.plan.get("lan"):
            self.plan["lan_port"] = int(self.phones.rpartition(":")[2])
        return self

    def kill(self):
        """kill -9."""
        self.process.send_signal(signal.SIGKILL)
        return self._gone()

    def stop(self):
        """SIGTERM; its exit status."""
        self.process.send_signal(signal.SIGTERM)
        return self._gone()

    def freeze(self):
        """SIGSTOP: connections are taken, and nothing is answered."""
        self.process.send_signal(signal.SIGSTOP)

    def thaw(self):
        """SIGCONT: it answers again, also what was asked meanwhile."""
        self.process.send_signal(signal.SIGCONT)

    def _gone(self):
        self.process.communicate(timeout=60)
        return self.process.returncode

    @property
    def key(self):
        """The key for this user's own programs."""
        return json.loads((self.folder / "serving.json").read_text())["key"]

    def ask(self, method, path, body=None, token=None):
        """One request by the standard library's own client; status and JSON (None for no body)."""
        headers = {"Authorization": f"Bearer {token}"} if token else {}
        content = None if body is None else json.dumps(body).encode()
        if content is not None:
            headers["Content-Type"] = "application/json"
        request = urllib.request.Request(self.desk + path, content, headers, method=method)
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                text = answer.read()
                return answer.status, json.loads(text) if text else None
        except urllib.error.HTTPError as refusal:
            with refusal:
                return refusal.code, json.loads(refusal.read() or b"null")

    def pair(self, device):
        """A token for a new phone."""
        _, opened = self.ask("POST", "/api/pairings", token=self.key)
        asked = {"code": opened["code"], "device": device, "name": device}
        status, told = self.ask("POST", "/api/pair", asked)
        assert status == 201, told
        return told["token"]

    def __enter__(self):
        return self.start()

    def __exit__(self, *problem):
        if self.process and self.process.poll() is None:
            os.kill(self.process.pid, signal.SIGKILL)
            self._gone()
