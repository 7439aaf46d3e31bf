"""A shop computer that serves in a process of its own, asked as this user's own programs may."""

import json
import subprocess
import urllib.request


def trusting(home, authority):
    """A home folder whose browser trusts the shop's authority, as the install page tells a builder to."""
    store = home / ".pki/nssdb"
    store.mkdir(parents=True)
    for words in (["-N", "--empty-password"], ["-A", "-n", "shop", "-t", "C,,", "-i", str(authority)]):
        subprocess.run(["certutil", "-d", f"sql:{store}", *words], check=True, timeout=60)
    return {"HOME": str(home)}


def told_by(server, path):
    """What the shop computer answers to this user's own programs."""
    key = json.loads((server.folder / "serving.json").read_text())["key"]
    asked = urllib.request.Request(f"{server.desk}{path}", headers={"Authorization": f"Bearer {key}"})
    with urllib.request.urlopen(asked, timeout=60) as answer:
        return json.loads(answer.read())


def waiting_to_be_heard(server):
    """How many recordings the shop computer has not heard yet."""
    queues = told_by(server, "/health")["checks"]["queues"]
    return queues["second_hearing"] + queues["uploads"]


def changes_of(server, entry):
    """Which fields of an entry were changed so far, with by which author."""
    return [(row["field"], row["author"]) for row in told_by(server, f"/api/desk/entries/{entry}")["history"]]
