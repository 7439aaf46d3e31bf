"""The door to the shop's network: speaks TLS with phones and passes the bytes to the inner server.

Each connection costs a little memory and no thread. A phone that never finishes its handshake, or opens
too many connections, is turned away without the others noticing.
"""

from __future__ import annotations

import asyncio
import socket
import ssl
import threading
from collections import Counter
from collections.abc import Callable
from contextlib import suppress

import structlog

MOST, MOST_EACH = 192, 32
HANDSHAKE_SECONDS = 10.0
LINGER_SECONDS, GOODBYE_SECONDS = 60.0, 5.0
RENEW_SECONDS = 6 * 60 * 60
_CHUNK = 64 * 1024
log = structlog.get_logger(__name__)


class Door:
    """Listens for TLS on `host` and `port` (0: a free one) and passes on to a server on 127.0.0.1.

    `peers` is filled with the ports it speaks from, and whose bytes they carry. `renewed` is asked every
    few hours whether the certificate in `context` was made anew; it loads it. Runs in a thread of its
    own from `open` to `close`. OSError if the port is in use.
    """

    def __init__(
        self,
        context: ssl.SSLContext,
        peers: dict[int, str],
        renewed: Callable[[], bool] = lambda: False,
        host: str = "0.0.0.0",  # noqa: S104 - phones come from the network; this is what --lan asks for
        port: int = 0,
    ) -> None:
        self._context, self._inner, self._peers, self._renewed = context, 0, peers, renewed
        self._listener = socket.create_server((host, port), backlog=128)
        self._listener.setblocking(False)
        self.port = int(self._listener.getsockname()[1])
        self._open: Counter[str] = Counter()
        self._tasks: set[asyncio.Task[None]] = set()
        self._loop = asyncio.new_event_loop()
        self._stopped = asyncio.Event()
        self._thread = threading.Thread(target=self._run, name="door", daemon=True)

    def open(self, inner_port: int) -> None:
        """Begin to let phones in, and pass on what they say to this port of this machine."""
        self._inner = inner_port
        self._thread.start()

    def shut(self) -> None:
        """Let nobody else in; who is inside stays."""
        self._loop.call_soon_threadsafe(self._stopped.set)

    def close(self) -> None:
        """Shut, end every connection, and give the port back."""
        if self._thread.ident is None:
            self._listener.close()
            self._loop.close()
        elif self._thread.is_alive():
            self._loop.call_soon_threadsafe(self._end)
            self._thread.join()

    def _end(self) -> None:
        self._stopped.set()
        for task in self._tasks:
            task.cancel()

    def _run(self) -> None:
        with asyncio.Runner(loop_factory=lambda: self._loop) as runner:
            runner.run(self._serve())

    async def _serve(self) -> None:
        helpers = [asyncio.create_task(self._accept()), asyncio.create_task(self._keep_renewed())]
        await self._stopped.wait()
        for helper in helpers:
            helper.cancel()
        self._listener.close()
        while self._tasks:
            await asyncio.wait(self._tasks)

    async def _accept(self) -> None:
        while True:
            try:
                client, address = await self._loop.sock_accept(self._listener)
            except OSError:  # too many open files: wait until some close
                await asyncio.sleep(0.2)
                continue
            if self._open.total() >= MOST or self._open[address[0]] >= MOST_EACH:
                client.close()
                continue
            client.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self._open[address[0]] += 1
            task = asyncio.create_task(self._receive(client, address[0]))
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)

    async def _receive(self, client: socket.socket, address: str) -> None:
        """Serve one client. Its transport alone closes the socket, lest a descriptor be reused under it."""
        try:
            with suppress(OSError, asyncio.TimeoutError):
                await self._pass_on(*await self._greet(client), address)
        finally:
            self._open[address] -= 1

    async def _greet(self, client: socket.socket) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
        """The TLS handshake, within HANDSHAKE_SECONDS."""
        reader = asyncio.StreamReader(limit=_CHUNK)
        protocol = asyncio.StreamReaderProtocol(reader)
        transport, _ = await self._loop.connect_accepted_socket(
            lambda: protocol,
            client,
            ssl=self._context,
            ssl_handshake_timeout=HANDSHAKE_SECONDS,
            ssl_shutdown_timeout=GOODBYE_SECONDS,
        )
        return reader, asyncio.StreamWriter(transport, protocol, reader, self._loop)

    async def _pass_on(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, address: str
    ) -> None:
        """Carry bytes both ways until the inner server has said its last, or both fall silent."""
        port = 0
        try:
            inner_reader, inner_writer = await asyncio.open_connection("127.0.0.1", self._inner)
            port = inner_writer.get_extra_info("sockname")[1]
            self._peers[port] = address
            inward = asyncio.create_task(_carry(reader, inner_writer))
            outward = asyncio.create_task(_carry(inner_reader, writer))
            try:
                await asyncio.wait({inward, outward}, return_when=asyncio.FIRST_COMPLETED)
                await asyncio.wait({outward}, timeout=LINGER_SECONDS)
            finally:
                inward.cancel()
                outward.cancel()
                inner_writer.close()
        finally:
            self._peers.pop(port, None)
            writer.close()
            await asyncio.wait_for(writer.wait_closed(), GOODBYE_SECONDS)

    async def _keep_renewed(self) -> None:
        while True:
            await asyncio.sleep(RENEW_SECONDS)
            try:
                if await asyncio.to_thread(self._renewed):
                    log.info("certificate_renewed")
            except Exception as problem:  # keep serving with the old certificate, and say so
                log.error("certificate_not_renewed", error=type(problem).__name__)


async def _carry(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    """Every byte from one to the other, then the end of the stream where it can be told."""
    with suppress(OSError):
        while chunk := await reader.read(_CHUNK):
            writer.write(chunk)
            await writer.drain()
        if writer.can_write_eof():
            writer.write_eof()
