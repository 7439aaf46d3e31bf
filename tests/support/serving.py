"""`plytally serve --lan` as a builder runs it, in a process of its own, and the command line beside it."""

import os
import re
import subprocess
import sys

from click.testing import CliRunner

from plytally.cli import main


def plytally(*words, folder, **kwargs):
    env = {**os.environ, "PLYTALLY_DATA": str(folder)}
    return subprocess.Popen(
        [sys.executable, "-m", "plytally", *words],
        env=env,
        text=True,
        stdin=subprocess.DEVNULL,
        **({"stdout": subprocess.PIPE, "stderr": subprocess.PIPE} | kwargs),
    )


def run(*words, folder):
    return CliRunner().invoke(main, list(words), env={"PLYTALLY_DATA": str(folder)})


class Server:
    """`plytally serve --lan` on this machine's loopback, and what it shows. Its events go to a file."""

    def __init__(self, folder, ports=(0, 0), more=()):
        self.folder, self.events = folder, folder.with_name(f"{folder.name}.events")
        desk, lan = map(str, ports)
        with self.events.open("a") as events:
            self.process = plytally(
                *("serve", "--lan", "--name", "localhost", "--lan-host", "127.0.0.1"),
                *("--lan-port", lan, "--port", desk, "--engine", "sphinx"),
                *more,
                folder=folder,
                stderr=events,
            )
        lines = []
        while not (lines and "is good for" in lines[-1]):
            line = self.process.stdout.readline()
            assert line, self.events.read_text()
            lines.append(line)
        self.shown = "".join(lines)
        self.invitation = re.search(r"https://\S+", self.shown)[0]
        self.desk = re.search(r"http://127\.0\.0\.1:\d+", self.shown)[0]

    @property
    def ports(self):
        """The desk's port and the phones', to come back on."""
        return tuple(int(url.split(":")[2].split("/")[0]) for url in (self.desk, self.invitation))

    @property
    def authority(self):
        """The certificate that a phone must trust."""
        return self.folder / "keys/authority.pem"

    def end(self, number):
        self.process.send_signal(number)
        self.process.communicate(timeout=60)
        return self.process.returncode
