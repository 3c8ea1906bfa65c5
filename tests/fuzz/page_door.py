"""The local page as a door: requests that no browser sends, through the guard, to a table with one ride."""

import asyncio
import json
import shutil
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote

from hypothesis import strategies as st
from starlette.types import ASGIApp, Message

from terrain_fuel.inputs.settings_book import SETTINGS_TABLES
from terrain_fuel.page.app import build_app
from terrain_fuel.page.door import Door as PageDoor
from terrain_fuel.page.guard import HEADERS, Guard
from terrain_fuel.page.table import Starting, Table
from tests.fuzz.mutations import ODD_BYTES, ODD_TEXTS, ODD_VALUES, damaged_bytes
from tests.inputs.made_formats import gpx_bytes

PORT = 49_152
ROAD = [(46.0 + i / 1000, 7.001, 400.0 + i) for i in range(30)]
MOST_RIDES = 4

GETS = (
    "/", "/alive", "/start", "/files/road.js", "/rides/KEY", "/rides/KEY/plan", "/rides/KEY/told",
    "/rides/KEY/relief", "/rides/KEY/watch", "/rides/KEY/shopping", "/rides/KEY/shopping/week",
    "/rides/KEY/beside/KEY", "/rides/KEY/pages/sheet.pdf", "/rides/KEY/pages/sheet.pdf/1",
    "/rides/KEY/outputs/map.html", "/rides/KEY/print/sheet.pdf", "/rides/KEY/ride.zip", "/rides/KEY/after",
    "/rides/KEY/after/review.html", "/rides/KEY/learned",
)  # fmt: skip
POSTS = (
    "/language", "/rides", "/rides/track/0", "/rides/KEY/take-off", "/rides/KEY/change", "/rides/KEY/undo",
    "/rides/KEY/redo", "/rides/KEY/beside", "/rides/KEY/luck", "/rides/KEY/advice/0", "/rides/KEY/sentence",
    "/rides/KEY/after", "/rides/KEY/recording", "/rides/KEY/recording/more", "/rides/KEY/recording/remove",
    "/rides/KEY/learned", "/offered/0", "/gone/0",
)  # fmt: skip
"""All that can be asked for but heights, which asks the network, and drawings, which start a process."""

ODD_HEADERS = (
    (b"origin", b"null"), (b"origin", b"http://127.0.0.1"), (b"host", b"evil.example"),
    (b"cookie", b"a=\xff"),
    (b"sec-fetch-site", b"cross-site"), (b"content-type", b"text/plain"), (b"content-length", b"-1"),
    (b"transfer-encoding", b"chunked"), (b"accept-language", b"de;q=\xff," + b"x-" * 300),
    (b"accept-language", b"../../etc"), (b"if-none-match", b"*"), (b"range", b"bytes=5-"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Asked:
    """One request; KEY and NOW stand for the ride's key and its count of changes."""

    method: str
    path: str
    query: bytes = b""
    body: bytes = b""
    more: tuple[tuple[bytes, bytes], ...] = ()
    without: frozenset[bytes] = frozenset()


@st.composite
def edits(draw: st.DrawFn) -> dict[str, Any]:
    """Return an edit of a setting that there is, or nearly is, with whatever value."""
    file = draw(st.sampled_from(sorted(SETTINGS_TABLES)))
    table = draw(st.sampled_from(sorted(SETTINGS_TABLES[file])))
    keys = sorted(each.name for each in fields(SETTINGS_TABLES[file][table]))
    odd = st.sampled_from((*ODD_VALUES, 5, 0.5, True, ["water"], "2027-05-08T08:30:00"))
    edit = {
        "do": draw(st.sampled_from(("set", "add", "remove"))),
        "file": file,
        "table": table,
        "key": draw(st.sampled_from(keys)),
        "value": draw(odd),
        "at": draw(st.sampled_from((0, 0, 1, -1, 10**9, None, "0"))),
        "values": draw(st.dictionaries(st.sampled_from(keys), odd, max_size=6)),
    }
    for key in draw(st.sets(st.sampled_from(sorted(edit)), max_size=1)):
        edit[key] = draw(st.sampled_from(ODD_VALUES))
    return edit


_FORMS = st.one_of(
    st.fixed_dictionaries({"edits": st.lists(edits(), max_size=3), "change": st.just("NOW")}),
    st.fixed_dictionaries({"language": st.sampled_from(("de", *ODD_TEXTS))}),
    st.fixed_dictionaries(
        {
            "values": st.dictionaries(st.sampled_from(ODD_TEXTS), st.sampled_from(ODD_VALUES), max_size=3),
            "bites": st.sampled_from(ODD_VALUES),
        }
    ),
    st.dictionaries(
        st.sampled_from(("edits", "change", "hours", "sentence", "text", "km")), st.sampled_from(ODD_VALUES)
    ),
)
_ROUTE = gpx_bytes(ROAD)
_BODIES = st.one_of(
    _FORMS.map(lambda form: json.dumps(form).replace('"NOW"', "NOW").encode()),
    damaged_bytes((_ROUTE, b'{"change": NOW}', b'{"edits": []}'), most=3),
    st.sampled_from((b"", b"[" * 100_000, b"{}", b"null", b'{"change": 1e999}', _ROUTE)),
)


@st.composite
def requests(draw: st.DrawFn) -> Asked:
    """Return a request: a path that there is, now and then damaged, with headers and a body of any kind."""
    method, paths = draw(st.sampled_from((("GET", GETS), ("POST", POSTS), ("POST", POSTS), ("PUT", GETS))))
    path = draw(st.sampled_from(paths))
    if draw(st.integers(0, 2)) == 0:
        parts = path.split("/")
        parts[draw(st.integers(1, len(parts) - 1))] = draw(
            st.sampled_from((*ODD_TEXTS, "..", "%2e%2e", "KEY", "-1", "9" * 400, "rider.toml", ".steps"))
        )
        path = unquote(quote("/".join(parts), errors="replace"))
    return Asked(
        method,
        path,
        draw(st.sampled_from((b"", b"", b"key=x", b"\xff=%00", *ODD_BYTES))),
        draw(_BODIES) if method == "POST" else b"",
        tuple(draw(st.lists(st.sampled_from(ODD_HEADERS), max_size=draw(st.sampled_from((0, 0, 0, 2)))))),
        frozenset(
            draw(st.sets(st.sampled_from((b"host", b"cookie", b"origin", b"content-length")), max_size=1))
        )
        if draw(st.integers(0, 4)) == 0
        else frozenset(),
    )


@dataclass(slots=True)
class Standing:
    """A table behind its guard, in a folder of which one part is its own."""

    folder: Path
    table: Table = field(init=False)
    app: ASGIApp = field(init=False)
    door: PageDoor = field(init=False)

    def __post_init__(self) -> None:
        self.own.mkdir(parents=True)
        (self.folder / "beside.toml").write_text("[rider]\nftp_w = 100\n", encoding="utf-8")
        self.table = Table(self.own / "rides", Starting(), self.own / "log.sqlite")
        self.door = PageDoor(PORT)
        self.app = Guard(build_app(self.table), self.door)

    @property
    def own(self) -> Path:
        return self.folder / "own"

    def beside(self) -> dict[str, bytes]:
        """Return every file that is not the table's."""
        files = (path for path in self.folder.rglob("*") if path.is_file() and self.own not in path.parents)
        return {str(path): path.read_bytes() for path in files}

    def ask(self, asked: Asked) -> tuple[int, dict[bytes, bytes], bytes]:
        """Return status, headers and body, of a stream its first piece."""
        if not self.table.rides():
            self.table.new_ride(_ROUTE)
        ride = self.table.rides()[0]
        now = str(ride.head.change).encode()
        body = asked.body.replace(b"NOW", now)
        kind = (
            b"application/octet-stream"
            if asked.path.startswith("/rides/track") or asked.path == "/rides"
            else b""
        )
        headers = {
            b"host": self.door.host.encode(),
            b"cookie": f"{self.door.cookie_name}={self.door.key}".encode(),
            b"sec-fetch-site": b"same-origin",
        }
        if asked.method == "POST":
            headers |= {
                b"origin": self.door.origin.encode(),
                b"content-type": kind or b"application/json",
                b"content-length": str(len(body)).encode(),
            }
        sent = [(name, value) for name, value in headers.items() if name not in asked.without]
        path = asked.path.replace("KEY", ride.key)
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": asked.method,
            "scheme": "http",
            "path": path,
            "raw_path": quote(path, errors="replace").encode(),
            "root_path": "",
            "query_string": asked.query,
            "headers": [*sent, *asked.more],
            "client": ("127.0.0.1", 1),
            "server": ("127.0.0.1", PORT),
        }
        return asyncio.run(_answered(self.app, scope, body))


async def _answered(
    app: ASGIApp, scope: dict[str, Any], body: bytes
) -> tuple[int, dict[bytes, bytes], bytes]:
    coming: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]
    said: list[Message] = []
    enough = asyncio.Event()

    async def receive() -> Message:
        if not coming:
            await enough.wait()
            return {"type": "http.disconnect"}
        return coming.pop()

    async def send(message: Message) -> None:
        said.append(message)
        if message["type"] == "http.response.body" and message.get("body"):
            enough.set()

    await asyncio.wait_for(app(scope, receive, send), 60.0)
    start = next(each for each in said if each["type"] == "http.response.start")
    whole = b"".join(each.get("body", b"") for each in said if each["type"] == "http.response.body")
    return start["status"], dict(start["headers"]), whole


_HELD: list[Standing] = []


def _standing_in(folder: Path) -> Standing:
    """Return the table that stands in a folder, another where there is none or it has grown too full."""
    if _HELD and (_HELD[0].folder.parent != folder or len(_HELD[0].table.rides()) > MOST_RIDES):
        _HELD.pop().table.close()
    if not _HELD:
        shutil.rmtree(folder / "page", ignore_errors=True)
        _HELD.append(Standing(folder / "page"))
    return _HELD[0]


def hold_page(folder: Path, asked: Asked) -> None:
    """A request is answered or refused, in words, and leaves alone what is not the table's."""
    standing = _standing_in(folder)
    before = standing.beside()
    status, headers, body = standing.ask(asked)
    assert status < 500 or body == b'{"say":"too many pages look at this ride"}', (status, body[:300])
    assert {name.lower().encode() for name in HEADERS} <= set(headers)
    for told in (b"Traceback", str(folder).encode(), standing.door.key.encode()):
        assert told not in body
        assert all(told not in value for name, value in headers.items() if name != b"set-cookie")
    if headers.get(b"content-type") == b"application/json":
        json.loads(body)
    assert standing.beside() == before
    assert {path.name for path in standing.folder.iterdir()} == {"own", "beside.toml"}


PAGE_TRIES = requests()


def _set(key: str, value: bytes) -> Asked:
    """Return a change of one setting of the rider."""
    edit = b'{"do": "set", "file": "rider", "table": "rider", "key": "%b", "value": %b}' % (
        key.encode(),
        value,
    )
    return Asked("POST", "/rides/KEY/change", body=b'{"change": NOW, "edits": [%b]}' % edit)


PAGE_KEPT = (
    Asked("POST", "/rides/KEY/change", body=b"[" * 100_000),
    _set("ftp_w", b"1" + b"0" * 400),
    _set("name", b'"\\ud800"'),
    _set("ftp_w", b"230"),
    Asked("GET", "/rides/KEY/after/../rider.toml"),
    Asked("GET", "/rides/KEY/watch"),
    Asked("POST", "/rides", body=_ROUTE),
)
