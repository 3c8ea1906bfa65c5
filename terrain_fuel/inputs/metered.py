"""One fetch, metered as a whole: one clock and one count of bytes, over every redirect and header."""

import http.client
import io
import socket
import time
from collections.abc import Iterator
from typing import Any
from urllib.parse import urljoin, urlsplit

import requests
import urllib3
from requests.adapters import HTTPAdapter
from urllib3.connectionpool import HTTPConnectionPool, HTTPSConnectionPool

MOST_REDIRECTS = 5
HEADERS = {"Accept-Encoding": "identity", "User-Agent": "terrain-fuel"}


class FetchRefusedError(OSError):
    """The fetch is ended from this side; the text says why."""


class Budget:
    """What one fetch may take.

    Parameters
    ----------
    silence_s : longest wait for more [s]
    whole_s : longest time from the first question to the last byte [s]
    most_bytes : bytes that may come over the wire: bodies, headers, chunk lines, all of them
    """

    def __init__(self, silence_s: float, whole_s: float, most_bytes: int) -> None:
        self._silence_s, self._whole_s = silence_s, whole_s
        self._latest = time.monotonic() + whole_s
        self._most = self._left = most_bytes
        self.refusal = ""

    def patience_s(self) -> float:
        """Return how long the next piece may take [s].

        Raises
        ------
        FetchRefusedError
            If the time is up.
        """
        left_s = self._latest - time.monotonic()
        if left_s <= 0:
            self.refuse(f"it was not done in {self._whole_s:g} s")
        return min(self._silence_s, left_s)

    def count(self, received: int) -> None:
        """Take bytes off the budget.

        Raises
        ------
        FetchRefusedError
            If there are more than it has.
        """
        self._left -= received
        if self._left < 0:
            self.refuse(f"more than {self._most} bytes came, more than a tile has")

    def refuse(self, reason: str) -> None:
        """End the fetch; the reason outlives whatever the libraries make of the error."""
        self.refusal = reason
        raise FetchRefusedError(reason)


class _MeteredBytes(io.RawIOBase):
    """What comes through a socket, each piece within the budget."""

    def __init__(self, sock: socket.socket, budget: Budget) -> None:
        self._sock, self._budget = sock, budget
        self._raw: Any = sock.makefile("rb", buffering=0)

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int | None:
        self._sock.settimeout(self._budget.patience_s())
        try:
            received: int | None = self._raw.readinto(buffer)
        except TimeoutError:
            self._budget.patience_s()  # was it the whole, or only the silence?
            raise
        self._budget.count(received or 0)
        return received

    def close(self) -> None:
        self._raw.close()
        super().close()


class _MeteredAdapter(HTTPAdapter):
    """Connections whose every answer, a proxy's too, is read within a budget."""

    def __init__(self, budget: Budget) -> None:
        class Answer(http.client.HTTPResponse):
            def __init__(self, sock: socket.socket, *args: Any, **more: Any) -> None:
                super().__init__(sock, *args, **more)
                self.fp.close()
                self.fp = io.BufferedReader(_MeteredBytes(sock, budget))

        def metered(pool: type[HTTPConnectionPool]) -> type[HTTPConnectionPool]:
            connection = type("Connection", (pool.ConnectionCls,), {"response_class": Answer})
            return type("Pool", (pool,), {"ConnectionCls": connection})

        self._pools = {"http": metered(HTTPConnectionPool), "https": metered(HTTPSConnectionPool)}
        super().__init__(max_retries=0)

    def init_poolmanager(self, *args: Any, **more: Any) -> None:
        super().init_poolmanager(*args, **more)
        self.poolmanager.pool_classes_by_scheme = self._pools

    def proxy_manager_for(self, *args: Any, **more: Any) -> Any:
        manager = super().proxy_manager_for(*args, **more)
        manager.pool_classes_by_scheme = self._pools
        return manager


class _MeteredSession(requests.Session):
    """A session that leaves answers which send on alone: it would unpack their whole bodies."""

    def resolve_redirects(self, *args: Any, **more: Any) -> Iterator[requests.Response]:
        return iter(())


def metered_session(budget: Budget) -> requests.Session:
    """Return a session for one fetch; whoever opens it closes it."""
    session = _MeteredSession()
    for scheme in ("https://", "http://"):
        session.mount(scheme, _MeteredAdapter(budget))
    return session


def final_answer(session: requests.Session, address: str, budget: Budget) -> requests.Response:
    """Return the answer at the end of all redirects; bodies of the others are never read.

    Raises
    ------
    FetchRefusedError
        If an address leads nowhere, to plain http from https, or on and on.
    requests.RequestException, urllib3.exceptions.HTTPError, ValueError
        If there is no answer, or an address in it is none.
    """
    for _ in range(MOST_REDIRECTS + 1):
        try:
            answer = session.get(
                address, stream=True, timeout=budget.patience_s(), headers=HEADERS, allow_redirects=False
            )
        except requests.Timeout:
            budget.patience_s()  # was it the whole, or only the silence?
            raise
        if not answer.is_redirect:
            return answer
        answer.close()  # unread
        address = next_address(address, answer.headers["Location"], budget)
    budget.refuse(f"it sends on more than {MOST_REDIRECTS} times")
    raise AssertionError


def next_address(address: str, location: str, budget: Budget) -> str:
    """Return where a redirect leads.

    Raises
    ------
    FetchRefusedError
        If that is no web address, or open to readers where the one before was not.
    """
    try:
        onward = urljoin(address, location)
        parts = urlsplit(onward)
        is_address = parts.scheme in ("http", "https") and bool(parts.hostname) and parts.port != 0
    except ValueError:
        is_address = False
    if not is_address:
        budget.refuse("it sends on to what is no web address")
    if urlsplit(address).scheme == "https" and parts.scheme == "http":
        budget.refuse("it sends on from https:// to http://, which anyone on the way may change")
    return onward


def failure_text(error: Exception) -> str:
    """Return in plain words why a fetch failed."""
    said = str(error)
    if isinstance(error, requests.exceptions.SSLError):
        detail = said.partition("certificate verify failed: ")[2].partition(" (_ssl")[0]
        return f"a bad certificate ({detail})" if detail else "no safe connection can be made"
    if isinstance(error, (requests.Timeout, urllib3.exceptions.TimeoutError)):
        return "it does not answer in time"
    if isinstance(error, urllib3.exceptions.ProtocolError):
        return "it broke off"
    if isinstance(error, requests.ConnectionError):
        return "it cannot be reached"
    return "that is no web address; it must begin with https:// or http:// and name a host"
