"""What every request must pass before anything of the page sees it, and what every answer carries."""

import asyncio
from collections.abc import Mapping
from urllib.parse import parse_qs

from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from terrain_fuel.page.door import Door

MOST_BODY_BYTES = 64_000_000
"""The largest route file that the command line reads, too."""

MOST_CHANGE_BYTES = 200_000
BODY_S = 30.0
"""A whole body must have come within this time."""

MOST_BODIES = 4
"""Bodies that may be on their way at once."""

BODY_KINDS = ("application/json", "application/octet-stream")
"""Kinds that no form of another site can send without asking first."""

SAID_ONCE = frozenset((b"origin", b"sec-fetch-site", b"content-type", b"content-length"))
"""Headers of which no browser sends two: of two, one would be believed and the other not looked at."""

HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self';"
        " frame-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
    "X-Frame-Options": "SAMEORIGIN",
}


class Guard:
    """The page's application with its door in front."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self._app, self._door = app, door
        self._bodies = 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or answer it here."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                own = {name.lower() for name, _ in message["headers"]}
                message["headers"] = [
                    *message["headers"],
                    *(
                        (name.lower().encode(), value.encode())
                        for name, value in HEADERS.items()
                        if name.lower().encode() not in own
                    ),
                ]
            await send(message)

        headers = {name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]}
        answer = self._answer(scope, headers)
        if answer is not None:
            answer.headers["Connection"] = "close"
            await answer(scope, receive, dressed)
        elif scope["method"] == "POST":
            await self._with_body(scope, headers, receive, dressed)
        else:
            await self._app(scope, receive, dressed)

    def _answer(self, scope: Scope, headers: Mapping[str, str]) -> Response | None:
        """Return the answer to a request that goes no further, None for one that does."""
        hosts = [value for name, value in scope["headers"] if name == b"host"]
        if len(hosts) != 1 or headers["host"] != self._door.host:
            return PlainTextResponse("no page stands at this address\n", 421)
        names = [name for name, _ in scope["headers"] if name in SAID_ONCE]
        if len(names) > len(set(names)):
            return PlainTextResponse("say it once\n", 400)
        if scope["method"] not in ("GET", "POST"):
            return PlainTextResponse("nothing here is asked for in that way\n", 405)
        if scope["method"] == "GET" and scope["path"] == "/" and scope["query_string"]:
            return self._let_in(scope)
        site = headers.get("sec-fetch-site", "same-origin")
        if site != "same-origin" and not (site == "none" and scope["method"] == "GET"):
            return PlainTextResponse("another site asked\n", 403)
        if not self._door.opens(headers.get("cookie", "")):
            return PlainTextResponse("open the address that the terminal shows, with its key\n", 403)
        if scope["method"] == "POST":
            return self._of_a_change(headers)
        return None

    def _let_in(self, scope: Scope) -> Response:
        """Return the answer to the first address: the key becomes a cookie and leaves the address."""
        given = parse_qs(scope["query_string"].decode("latin-1")).get("key", [""])
        if not self._door.fits(given[0]):
            return PlainTextResponse("open the address that the terminal shows, with its key\n", 403)
        return RedirectResponse("/", 303, headers={"Set-Cookie": self._door.cookie})

    def _of_a_change(self, headers: Mapping[str, str]) -> Response | None:
        if headers.get("origin") != self._door.origin:
            return PlainTextResponse("another site asked\n", 403)
        if headers.get("content-type") not in BODY_KINDS:
            return PlainTextResponse("that is no kind of change\n", 415)
        length = headers.get("content-length", "")
        if "transfer-encoding" in headers or not (length.isascii() and length.isdigit() and len(length) < 12):
            return PlainTextResponse("say how long it is\n", 411)
        is_route = headers["content-type"] == "application/octet-stream"
        if int(length) > (MOST_BODY_BYTES if is_route else MOST_CHANGE_BYTES):
            return PlainTextResponse("that is too large\n", 413)
        if self._bodies >= MOST_BODIES:
            return PlainTextResponse("too much at once; try again in a moment\n", 429)
        return None

    async def _with_body(
        self, scope: Scope, headers: Mapping[str, str], receive: Receive, send: Send
    ) -> None:
        """Pass on a request once its whole body is here."""
        self._bodies += 1
        try:
            async with asyncio.timeout(BODY_S):
                body = await _whole_body(receive)
        except TimeoutError:
            answer = PlainTextResponse("that came too slowly\n", 408, headers={"Connection": "close"})
            await answer(scope, receive, send)
            return
        finally:
            self._bodies -= 1
        if body is None:
            return
        waiting: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

        async def given() -> Message:
            return waiting.pop() if waiting else await receive()

        await self._app(scope, given, send)


async def _whole_body(receive: Receive) -> bytes | None:
    """Return a request's body, None if its sender went away; the server holds it to its stated length."""
    pieces = []
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return None
        pieces.append(message.get("body", b""))
        if not message.get("more_body", False):
            return b"".join(pieces)
