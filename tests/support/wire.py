"""An unruly wire between a client and a server: it cuts, loses and changes what passes, as scripted."""

import socket
import threading
from contextlib import suppress
from dataclasses import dataclass, field


@dataclass
class Seen:
    """One request that came by: its number among those of its method, from 0, and its size."""

    method: str
    number: int
    size: int


@dataclass
class Wire:
    """Passes HTTP requests to `port` of 127.0.0.1, one connection for each.

    `script(seen)` says what happens to a request: "pass"; ("cut", n): the connection ends after n bytes
    of the body; "lose reply": the server has it, the client never hears; ("flip", n): byte n of the body
    is changed.
    """

    port: int
    script: object
    seen: list = field(default_factory=list)

    def __enter__(self):
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.here = self._listener.getsockname()[1]
        self._counts, self._threads = {}, []
        self._threads.append(threading.Thread(target=self._accept))
        self._threads[0].start()
        return self

    def __exit__(self, *problem):
        with suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        for thread in self._threads:
            thread.join()

    def _accept(self):
        while True:
            try:
                client, _ = self._listener.accept()
            except OSError:
                return
            thread = threading.Thread(target=self._carry, args=(client,))
            self._threads.append(thread)
            thread.start()

    def _carry(self, client):
        with client, suppress(OSError):
            client.settimeout(30)
            head, body = _request(client)
            if head is None:
                return
            method = head.split(b" ", 1)[0].decode()
            number = self._counts.get(method, 0)
            self._counts[method] = number + 1
            seen = Seen(method, number, len(body))
            self.seen.append(seen)
            self._act(self.script(seen), client, head, body)

    def _act(self, what, client, head, body):
        if what[0] == "flip":
            body = body[: what[1]] + bytes((body[what[1]] ^ 1,)) + body[what[1] + 1 :]
        with socket.create_connection(("127.0.0.1", self.port), timeout=30) as server:
            if what[0] == "cut":
                server.sendall(head + body[: what[1]])
                return
            server.sendall(_closing(head) + body)
            while piece := server.recv(65536):
                if what != "lose reply":
                    client.sendall(piece)


def _closing(head):
    """The same head, asking the server to close behind its answer."""
    lines = [line for line in head.split(b"\r\n") if not line.lower().startswith(b"connection:")]
    return lines[0] + b"\r\nConnection: close\r\n" + b"\r\n".join(lines[1:])


def _request(client):
    """A whole request from a socket: its head with the empty line, and its body by Content-Length."""
    content = b""
    while b"\r\n\r\n" not in content:
        piece = client.recv(65536)
        if not piece:
            return None, b""
        content += piece
    head, _, body = content.partition(b"\r\n\r\n")
    length = 0
    for line in head.split(b"\r\n"):
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            length = int(value)
    while len(body) < length:
        piece = client.recv(65536)
        if not piece:
            return None, b""
        body += piece
    return head + b"\r\n\r\n", body
