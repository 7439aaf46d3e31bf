"""The HTTP server proper: waitress on loopback, with patience that ends and a stop that finishes its work.

waitress reads a request whole before a thread is given to it, so that a slow sender holds no thread. It
speaks no TLS: `door.py` does, in front of it. (Rejected: cheroot, which shakes hands with each TLS client
in its one accepting thread, so that a silent one stops all; hypercorn, which hands a request cut short to
the app and has no limit on connections; gunicorn, which is built on several processes where the log
allows one.)
"""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Callable
from typing import Any

from flask import Flask
from waitress import wasyncore
from waitress.adjustments import Adjustments
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser, ParsingError
from waitress.server import TcpWSGIServer
from waitress.task import WSGITask

from plytally.web.access import ROUTES

THREADS = 8
CONNECTIONS = 256
HEADER_SECONDS, REQUEST_SECONDS, IDLE_SECONDS = 15, 120, 60
LOOK_SECONDS = 1
DRAIN_SECONDS = 20
HEADER_BYTES = 16 * 1024


class _Task(WSGITask):  # type: ignore[misc] # waitress has no types
    """Keeps a connection open after an answer without a body, as each chunk of an upload gets."""

    def set_close_on_finish(self) -> None:
        """Called where the end of an answer could not be told otherwise; without a body it can."""
        wanted = self.request.headers.get("CONNECTION", "").lower() == "close"
        if self.has_body or wanted or self.version == "1.0":
            super().set_close_on_finish()


class _Parser(HTTPRequestParser):  # type: ignore[misc]
    """Refuses a request that tells the end of its body in two ways (RFC 9112, 6.1).

    A proxy before us might read the one and we the other, and take the rest of it for another request.
    """

    def parse_header(self, header_plus: bytes) -> None:
        """The first line and headers; ParsingError is answered by 400 and ends the connection."""
        super().parse_header(header_plus)
        if self.chunked and "CONTENT_LENGTH" in self.headers:
            raise ParsingError("Content-Length and Transfer-Encoding in one request")


class _Channel(HTTPChannel):  # type: ignore[misc]
    """Gives back the temporary file of a body that was not read to its end."""

    task_class, parser_class = _Task, _Parser

    def handle_close(self) -> None:
        """The connection is over."""
        if self.request is not None:
            self.request.close()
        super().handle_close()


class _Patient(TcpWSGIServer):  # type: ignore[misc]
    """Ends a connection whose request does not come to its end in time."""

    channel_class = _Channel

    def maintenance(self, now: float) -> None:
        """Called every LOOK_SECONDS or so: idle channels go as ever, and so do those that dawdle."""
        super().maintenance(now)
        begun: dict[HTTPChannel, tuple[Any, float]] = getattr(self, "begun", {})
        self.begun = {}
        for channel in list(self.active_channels.values()):
            request = channel.request
            if request is None:
                continue
            known, since = begun.get(channel, (None, now))
            since = since if known is request else now
            self.begun[channel] = (request, since)
            allowed = REQUEST_SECONDS if request.headers_finished else HEADER_SECONDS
            if now - since > allowed:
                channel.will_close = True


class Inner:
    """Serves an app on 127.0.0.1; `port` 0 takes a free one. OSError if the port is in use."""

    def __init__(self, app: Any, port: int) -> None:
        listener = socket.create_server(("127.0.0.1", port), backlog=128)
        adjustments = Adjustments(
            sockets=[listener],
            threads=THREADS,
            connection_limit=CONNECTIONS,
            channel_timeout=IDLE_SECONDS,
            cleanup_interval=LOOK_SECONDS,
            max_request_header_size=HEADER_BYTES,
            max_request_body_size=1 + max(row.body for row in ROUTES.values()),
            asyncore_use_poll=True,
            ident=None,
        )
        self._map: dict[int, Any] = {}
        info = (listener.family, listener.type, listener.proto, listener.getsockname())
        self._server = _Patient(
            app, self._map, _sock=listener, adj=adjustments, sockinfo=info, bind_socket=False
        )
        self.port = int(self._server.effective_port)
        self._stop = threading.Event()

    def run(self, begin_stop: Callable[[], None] | None = None) -> None:
        """Serve until `stop` is called; then take no more, finish what was asked, and return.

        `begin_stop` is called first, for whoever must also take no more.
        """
        while not self._stop.is_set():
            self._turn(1.0)
        if begin_stop:
            begin_stop()
        self._server.accepting = False
        deadline = time.monotonic() + DRAIN_SECONDS
        while self._at_work() and time.monotonic() < deadline:
            self._turn(0.05)
        self.close()

    def close(self) -> None:
        """End at once, and give threads and port back; a second call does nothing."""
        if self._map:
            self._server.task_dispatcher.shutdown()
            for channel in list(self._server.active_channels.values()):
                channel.handle_close()
            wasyncore.close_all(self._map, ignore_all=True)

    def stop(self) -> None:
        """Ask `run` to finish; may be called from a signal handler or another thread."""
        self._stop.set()
        if self._map:
            self._server.pull_trigger()

    def _turn(self, seconds: float) -> None:
        wasyncore.loop(seconds, use_poll=True, map=self._map, count=1)

    def _at_work(self) -> bool:
        """Whether a request is being answered or an answer still waits to be sent."""
        return any(c.requests or c.total_outbufs_len for c in list(self._server.active_channels.values()))


class Peers:
    """WSGI middleware: gives requests that came through the door their true address and scheme.

    `peers` holds, for each port from which the door speaks to the inner server now, who is behind it.
    """

    def __init__(self, app: Flask, peers: dict[int, str]) -> None:
        self._app, self._peers = app, peers

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Any:
        """One request."""
        behind = self._peers.get(int(environ.get("REMOTE_PORT", 0)))
        if behind is not None:
            environ["REMOTE_ADDR"], environ["wsgi.url_scheme"] = behind, "https"
        return self._app(environ, start_response)
