"""The server: on the loopback address alone, patient with nobody, ended by Ctrl-C."""

import asyncio
import contextlib
import http.client
import json
import os
import socket
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from terrain_fuel.page.app import build_app
from terrain_fuel.page.door import HOST, Door
from terrain_fuel.page.guard import Guard
from terrain_fuel.page.table import Table
from terrain_fuel.rides.durable import write_durably

NEXT_REQUEST_S = 10.0
"""A connection that has brought no whole request by then is closed."""

GIVES_WAY_S = 0.001
"""So soon a thread that plans gives way to those that answer: an answer passes through several of them."""

MOST_CONNECTIONS = 100
SECOND_START_S = 3.0


class ImpatientProtocol(H11Protocol):
    """Connections that do not hold the page: bounded in number, and in time until their next request."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection; where there are too many, the one that has waited longest in silence goes."""
        super().connection_made(transport)
        self.since = self.loop.time()
        open_ones = [
            each
            for each in self.connections
            if isinstance(each, ImpatientProtocol) and not each.transport.is_closing()
        ]
        if len(open_ones) > MOST_CONNECTIONS:
            silent = [each for each in open_ones if each.cycle is None]
            min(silent, key=lambda each: each.since).transport.abort()  # itself, if there is no other
        self._hurry()

    def on_response_complete(self) -> None:
        """Give the connection's next request as much time again."""
        super().on_response_complete()
        self._hurry()

    def _hurry(self) -> None:
        served = self.cycle

        def close_if_silent() -> None:
            if self.cycle is served and not self.transport.is_closing():
                self.transport.abort()

        self.loop.call_later(NEXT_REQUEST_S, close_if_silent)


def listen() -> socket.socket:
    """Return a socket on a free port of the loopback address."""
    held = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    held.bind((HOST, 0))
    return held


def serve(table: Table, running: Path | None, on_ready: Callable[[str], None], fragment: str = "") -> None:
    """Serve the page until it is interrupted.

    Parameters
    ----------
    table : the rides
    running : the file that tells a second start where the first one stands; None for a page of its own
    on_ready : called with the first address once the page answers
    fragment : which ride the address opens
    """
    sys.setswitchinterval(GIVES_WAY_S)
    listener = listen()
    door = Door(listener.getsockname()[1])
    app = Guard(build_app(table), door)
    config = uvicorn.Config(
        app,
        http=ImpatientProtocol,
        ws="none",
        lifespan="off",
        log_config=None,
        access_log=False,
        server_header=False,
        date_header=False,
        proxy_headers=False,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=16_384,
    )
    server = uvicorn.Server(config)
    if running is not None:
        write_durably(running, json.dumps({"port": door.port, "key": door.key, "pid": os.getpid()}).encode())

    async def main() -> None:
        table.attach(asyncio.get_running_loop())
        serving = asyncio.create_task(server.serve(sockets=[listener]))
        while not server.started and not serving.done():
            await asyncio.sleep(0.01)
        if server.started:
            on_ready(door.first_address + fragment)
        await serving

    try:
        with contextlib.suppress(KeyboardInterrupt):
            asyncio.run(main())
    finally:
        table.close()
        listener.close()
        if running is not None:
            _forget(running)


def _forget(running: Path) -> None:
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError):
        if json.loads(running.read_bytes())["pid"] == os.getpid():
            running.unlink()


def found_running(running: Path) -> Door | None:
    """Return the door of a page that is open already, None where there is none that answers."""
    try:
        held: dict[str, Any] = json.loads(running.read_bytes())
        door = Door(int(held["port"]), str(held["key"]))
        status, _ = ask(door, "GET", "/alive")
    except (OSError, ValueError, TypeError, KeyError, http.client.HTTPException):
        return None
    return door if status == 200 else None


def ask(
    door: Door, method: str, path: str, body: bytes | None = None, accepted: str = ""
) -> tuple[int, bytes]:
    """Return status and body of what a running page answers its own user; ``accepted``: in which language."""
    connection = http.client.HTTPConnection(HOST, door.port, timeout=SECOND_START_S)
    headers = {
        "Cookie": f"{door.cookie_name}={door.key}",
        "Origin": door.origin,
        "Content-Type": "application/octet-stream",
        "Accept-Language": accepted,
    }
    try:
        connection.request(method, path, body=body, headers=headers)
        answer = connection.getresponse()
        return answer.status, answer.read(1_000_000)
    finally:
        connection.close()
