"""The page started as a user starts it, and asked as a browser asks, or as somebody who should not."""

import http.client
import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

from tests.demo import ROUTES

LONGEST_S = 120.0
DEMO = ("--elevation", str(ROUTES / "tiles"), "--routes", str(ROUTES))


@dataclass
class Opened:
    """A running page and the first address it printed."""

    process: "subprocess.Popen[str]"
    address: str

    @property
    def port(self) -> int:
        return int(urlsplit(self.address).port or 0)

    @property
    def key(self) -> str:
        return parse_qs(urlsplit(self.address).query)["key"][0]

    @property
    def origin(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def cookie(self) -> str:
        return f"terrain-fuel-{self.port}={self.key}"

    def ask(
        self,
        path: str,
        method: str = "GET",
        body: bytes | None = None,
        without: tuple[str, ...] = (),
        **headers: str,
    ) -> tuple[int, Mapping[str, str], bytes]:
        """Return status, headers and body; ``headers`` replace those of the page's own browser."""
        usual = {"Cookie": self.cookie, "Sec-Fetch-Site": "same-origin"}
        if method == "POST":
            usual |= {"Origin": self.origin, "Content-Type": "application/json"}
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        sent = {name: value for name, value in {**usual, **named}.items() if name not in without}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.putrequest(method, path, skip_host="Host" in sent)
            if method == "POST" and "Content-Length" not in sent and "Content-Length" not in without:
                sent["Content-Length"] = str(len(body or b""))
            for name, value in sent.items():
                connection.putheader(name, value)
            connection.endheaders(body)
            answer = connection.getresponse()
            return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
        finally:
            connection.close()

    def json(self, path: str, method: str = "GET", told: Any = None) -> Any:
        body = None if told is None else json.dumps(told).encode()
        return json.loads(self.ask(path, method, body)[2])

    def end(self) -> str:
        """Interrupt it as Ctrl-C does and return what it said on standard error."""
        self.process.send_signal(signal.SIGINT)
        try:
            return self.process.communicate(timeout=LONGEST_S)[1]
        except subprocess.TimeoutExpired:
            self.process.kill()
            raise


def open_page(home: Path, *words: str, **variables: str) -> Opened:
    """Start `terrain-fuel open` with a data folder of its own and no display, in nobody's language."""
    process = subprocess.Popen(
        [sys.executable, "-m", "terrain_fuel", "open", *words],
        env={**without_display(), "XDG_DATA_HOME": str(home), **variables},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    silent = threading.Timer(LONGEST_S, process.kill)  # what never says its address is ended
    silent.start()
    address = process.stdout.readline().strip()
    silent.cancel()
    if not address:
        process.kill()
        raise AssertionError(process.communicate()[1])
    return Opened(process, address)


def without_display() -> dict[str, str]:
    taken_out = ("DISPLAY", "WAYLAND_DISPLAY", "LC_ALL", "LC_MESSAGES", "LANG")
    return {name: value for name, value in os.environ.items() if name not in taken_out}
