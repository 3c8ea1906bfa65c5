"""Who is let in and what is refused: each guard of the page, asked by somebody it is there against."""

import asyncio
import json
import os
import socket
import time
import tomllib
from pathlib import Path

import pytest
from starlette.types import Message, Receive, Scope, Send

from terrain_fuel.cli.main import main
from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.words import words_in
from terrain_fuel.page.door import Door
from terrain_fuel.page.guard import Guard
from terrain_fuel.page.told import told_of
from tests.page.opened import Opened


def raw(opened: Opened, text: str) -> bytes:
    """Return what the page answers to bytes as they are."""
    with socket.create_connection(("127.0.0.1", opened.port), timeout=20) as wire:
        wire.sendall(text.replace("\n", "\r\n").encode("latin-1"))
        wire.shutdown(socket.SHUT_WR)
        return wire.makefile("rb").read()


def upload_head(opened: Opened, length: int) -> bytes:
    """Return the head of a route's upload, its body still to come."""
    lines = (
        "POST /rides HTTP/1.1",
        f"Host: 127.0.0.1:{opened.port}",
        f"Cookie: {opened.cookie}",
        f"Origin: {opened.origin}",
        "Content-Type: application/octet-stream",
        f"Content-Length: {length}",
    )
    return "\r\n".join((*lines, "", "")).encode()


def test_it_listens_on_the_loopback_address_alone(opened: Opened) -> None:
    with open(f"/proc/{opened.process.pid}/net/tcp") as table:
        rows = [line.split() for line in table if line.split()[3] == "0A"]
    at = {row[1].partition(":")[0] for row in rows if int(row[1].rpartition(":")[2], 16) == opened.port}
    assert at == {"0100007F"}  # 127.0.0.1, as the kernel writes it
    with open(f"/proc/{opened.process.pid}/net/tcp6") as table:
        assert not [line for line in table if f":{opened.port:04X} " in line]


@pytest.mark.parametrize("option", ["--host", "--bind", "--listen", "--public"])
def test_there_is_no_option_to_listen_elsewhere(option: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["open", option, "0.0.0.0"])
    assert "unrecognized" in capsys.readouterr().err


def test_the_first_address_becomes_a_cookie_that_no_script_reads_and_no_site_sends(opened: Opened) -> None:
    status, headers, _ = opened.ask(f"/?key={opened.key}", without=("Cookie",))
    assert (status, headers["location"]) == (303, "/")
    name, *attributes = headers["set-cookie"].split("; ")
    assert name == opened.cookie
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} == set(attributes)
    assert len(opened.key) >= 43  # 256 bits


@pytest.mark.parametrize("key", ["", "x", "x" * 43, "%00", "ключ"])
def test_another_key_opens_nothing(opened: Opened, key: str) -> None:
    answer = raw(opened, f"GET /?key={key.encode('utf-8').hex()} HTTP/1.1\nHost: 127.0.0.1:{opened.port}\n\n")
    assert b" 403 " in answer.splitlines()[0]
    assert b"set-cookie" not in answer.lower()


@pytest.mark.parametrize(
    "path", ["/", "/start", "/files/road.js", "/alive", "/rides/0/plan", "/rides/0/after", "/rides/0/learned"]
)
def test_without_the_cookie_nothing_is_shown(opened: Opened, path: str) -> None:
    for cookie in (
        "",
        f"terrain-fuel-{opened.port}=wrong",
        f"terrain-fuel-1={opened.key}",
        'a="',
        "a(b=c",  # a name that no cookie may have: the parser raises on it
        "\xff=\xff",
    ):
        assert opened.ask(path, Cookie=cookie)[0] == 403, cookie
    assert opened.ask(path, without=("Cookie",))[0] == 403


def test_two_starts_have_two_keys(opened: Opened) -> None:
    from terrain_fuel.page.door import Door

    assert Door(1).key != Door(1).key
    assert opened.key not in repr(Door(opened.port, opened.key))


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:{port}",
        "localhost:{port}",
        "127.0.0.1",
        "127.0.0.1:1",
        "[::1]:{port}",
        "",
    ],
)
def test_a_name_that_was_rebound_to_this_machine_finds_nothing(opened: Opened, host: str) -> None:
    """DNS rebinding: the browser sends the name that it believes in."""
    assert opened.ask("/start", Host=host.format(port=opened.port))[0] == 421
    assert opened.ask(f"/?key={opened.key}", Host=host.format(port=opened.port))[0] == 421


def test_two_hosts_or_none_are_no_host(opened: Opened) -> None:
    own = f"Host: 127.0.0.1:{opened.port}\n"
    cookie = f"Cookie: {opened.cookie}\n"
    for hosts in ("", own + own, f"{own}Host: evil.example\n"):
        answer = raw(opened, f"GET /start HTTP/1.1\n{hosts}{cookie}\n")
        assert b" 200 " not in answer.splitlines()[0], hosts


def behind_another_server(door: Door, method: str, headers: list[tuple[bytes, bytes]]) -> int:
    """Return what the guard answers to headers that this server refuses itself; 200 where it lets pass."""
    told: list[int] = []

    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        told.append(200)

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        told.extend([message["status"]] if message["type"] == "http.response.start" else [])

    cookie = (b"cookie", f"{door.cookie_name}={door.key}".encode())
    scope = {"type": "http", "method": method, "path": "/start", "query_string": b""}
    asyncio.run(Guard(app, door)({**scope, "headers": [*headers, cookie]}, receive, send))
    (status,) = told
    return status


def test_of_two_hosts_the_last_is_not_believed() -> None:
    door = Door(8000)
    good, evil = (b"host", door.host.encode()), (b"host", b"evil.example")
    answers = [
        behind_another_server(door, "GET", hosts)
        for hosts in ([good], [evil, good], [good, evil], [good, good], [])
    ]
    assert answers == [200, 421, 421, 421, 421]


def test_a_length_that_no_machine_counts_is_no_length() -> None:
    """More digits than a whole number may be read from would be an error of ours."""
    door = Door(8000)
    usual = [
        (b"host", door.host.encode()),
        (b"origin", door.origin.encode()),
        (b"content-type", b"application/json"),
    ]
    for length, status in ((b"0", 200), (b"9" * 5000, 411), ("٣".encode(), 411)):
        assert behind_another_server(door, "POST", [*usual, (b"content-length", length)]) == status


@pytest.mark.parametrize(
    "origin", ["null", "http://evil.example", "http://localhost:{port}", "https://127.0.0.1:{port}", ""]
)
def test_a_change_from_another_origin_is_refused(opened: Opened, ride: str, origin: str) -> None:
    before = opened.json(f"/rides/{ride}")["change"]
    told = json.dumps(
        {
            "change": before,
            "edits": [{"do": "set", "file": "rider", "table": "rider", "key": "ftp_w", "value": 99}],
        }
    )
    path = f"/rides/{ride}/change"
    status, _, _ = opened.ask(path, "POST", told.encode(), Origin=origin.format(port=opened.port))
    assert status == 403
    assert opened.ask(path, "POST", told.encode(), without=("Origin",))[0] == 403
    assert opened.json(f"/rides/{ride}")["change"] == before


@pytest.mark.parametrize("name", ["Origin", "Sec-Fetch-Site", "Content-Type"])
def test_of_two_that_say_where_a_change_comes_from_none_is_believed(
    name: str, opened: Opened, ride: str
) -> None:
    usual = {"Origin": opened.origin, "Sec-Fetch-Site": "same-origin", "Content-Type": "application/json"}
    lines = "".join(f"{each}: {value}\n" for each, value in usual.items())
    head = f"Host: 127.0.0.1:{opened.port}\nCookie: {opened.cookie}\nContent-Length: 2\n"
    for before, after in ((f"{name}: other\n", ""), ("", f"{name}: other\n")):
        answer = raw(opened, f"POST /rides/{ride}/undo HTTP/1.1\n{head}{before}{lines}{after}\n{{}}")
        assert b" 400 " in answer.splitlines()[0], (before, after)


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none", "", "anything"])
def test_a_change_that_the_browser_calls_anothers_is_refused(opened: Opened, ride: str, site: str) -> None:
    status, _, _ = opened.ask(f"/rides/{ride}/undo", "POST", b"{}", Sec_Fetch_Site=site)
    assert status == 403


def test_another_site_cannot_even_look(opened: Opened) -> None:
    for path in ("/start", "/files/road.js"):
        assert opened.ask(path, Sec_Fetch_Site="cross-site")[0] == 403
        assert opened.ask(path, Sec_Fetch_Site="same-site")[0] == 403
        assert opened.ask(path, Sec_Fetch_Site="none")[0] == 200  # typed, or from a bookmark


@pytest.mark.parametrize("method", ["OPTIONS", "PUT", "DELETE", "PATCH", "HEAD", "TRACE", "CONNECT"])
def test_nothing_is_granted_to_other_sites_and_other_methods(opened: Opened, method: str) -> None:
    status, headers, _ = opened.ask(
        "/start", method, Origin="http://evil.example", Access_Control_Request_Method="POST"
    )
    assert status in (400, 405)
    assert not [name for name in headers if name.startswith("access-control")]


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_what_a_form_can_send_is_no_change(opened: Opened, ride: str, kind: str) -> None:
    assert opened.ask(f"/rides/{ride}/undo", "POST", b"{}", Content_Type=kind)[0] == 415


@pytest.mark.parametrize("path", ["/", "/start", "/files/road.js", "/nowhere", "/rides/x"])
def test_every_answer_carries_the_same_walls(opened: Opened, path: str) -> None:
    for cookie in (opened.cookie, "none"):
        _, headers, _ = opened.ask(path, Cookie=cookie)
        policy = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
        assert policy == {
            "default-src": "'none'",
            **dict.fromkeys(("script-src", "style-src", "connect-src", "frame-src"), "'self'"),
            "img-src": "'self' data:",  # the relief, which comes with the plan
            **dict.fromkeys(("base-uri", "form-action"), "'none'"),
            "frame-ancestors": "'self'",
        }
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert headers["cache-control"] == "no-store"
        assert headers["x-frame-options"] == "SAMEORIGIN"
        assert headers["cross-origin-opener-policy"] == "same-origin"
        assert "server" not in headers
        assert not [name for name in headers if name.startswith("access-control")]


def test_the_page_itself_holds_no_script_and_no_style(opened: Opened) -> None:
    page = opened.ask("/")[2].decode()
    assert "<script src=" in page
    assert "<style" not in page
    assert " style=" not in page
    assert not [tag for tag in page.split("<script")[1:] if not tag.split("</script>")[0].endswith(">")]
    assert not [word for word in page.split() if word.startswith("on") and "=" in word]


@pytest.mark.parametrize(
    "path",
    [
        "/files/../door.py", "/files/..%2fdoor.py", "/files/%2e%2e/door.py", "/files//etc/passwd",
        "/files/table.html.j2", "/rides/..%2f..%2fetc", "/rides/../../etc/passwd", "/rides/%00",
        "/rides/{ride}/outputs/..%2frider.toml", "/rides/{ride}/outputs/rider.toml",
        "/rides/{ride}/print/..%2f.steps",
        "/rides/ride-1", "/offered/99999999999999999999", "/offered/-1", "/gone/7", "/gone/-1",
        "/rides/{ride}/after/..%2frider.toml", "/rides/{ride}/pages/..%2fx.pdf",
        "/rides/{ride}/pages/sheet.pdf/0",
    ],
)  # fmt: skip
def test_no_address_is_a_path_on_the_disk(opened: Opened, ride: str, path: str) -> None:
    method = "POST" if path.startswith(("/offered", "/gone")) else "GET"
    status, _, said = opened.ask(path.format(ride=ride), method, b"{}" if method == "POST" else None)
    assert status in (400, 404), said
    assert b"root:" not in said
    assert b"/tmp" not in said


def test_a_body_is_bounded_before_it_is_read(opened: Opened) -> None:
    kind, length = "application/octet-stream", str(64_000_001)
    assert opened.ask("/rides", "POST", b"", Content_Type=kind, Content_Length=length)[0] == 413
    assert opened.ask("/rides/x/change", "POST", b"", Content_Length="200001")[0] == 413
    for length in ("", "-1", "1e3", "9" * 40, "0x10"):
        assert opened.ask("/rides", "POST", b"", Content_Length=length)[0] in (400, 411), length
    assert opened.ask("/rides", "POST", b"", without=("Content-Length",))[0] == 411
    assert (
        opened.ask("/rides", "POST", b"", without=("Content-Length",), Transfer_Encoding="chunked")[0] == 411
    )
    # a length that is said and not meant: the pieces could go on for ever
    assert opened.ask("/rides", "POST", b"", Content_Length="2", Transfer_Encoding="chunked")[0] == 411


def test_bodies_on_their_way_are_bounded_in_number(opened: Opened) -> None:
    head = upload_head(opened, 1000)
    wires = [socket.create_connection(("127.0.0.1", opened.port), timeout=20) for _ in range(4)]
    try:
        for wire in wires:
            wire.sendall(head + b"half of it")
        deadline = time.monotonic() + 20
        while (
            status := opened.ask("/rides", "POST", b"<gpx/>", Content_Type="application/octet-stream")[0]
        ) != 429:
            assert time.monotonic() < deadline, status
        assert opened.ask("/alive")[0] == 200  # and everything else goes on
    finally:
        for wire in wires:
            wire.close()
    while opened.ask("/rides", "POST", b"<gpx/>", Content_Type="application/octet-stream")[0] == 429:
        assert time.monotonic() < deadline


def is_let_go(wire: socket.socket) -> bool:
    try:
        return wire.recv(100) == b""
    except ConnectionResetError:
        return True


def is_socket(process: int, descriptor: str) -> bool:
    try:
        return os.readlink(f"/proc/{process}/fd/{descriptor}").startswith("socket:")
    except OSError:
        return False


def watching(opened: Opened, ride: str) -> tuple[socket.socket, bytes]:
    """Return a connection that listens to a ride's news, and the first line of what it is told."""
    wire = socket.create_connection(("127.0.0.1", opened.port), timeout=20)
    own = f"Host: 127.0.0.1:{opened.port}\r\nCookie: {opened.cookie}\r\n"
    wire.sendall(f"GET /rides/{ride}/watch HTTP/1.1\r\n{own}\r\n".encode())
    return wire, wire.recv(1000).splitlines()[0]


def test_pages_that_listen_are_bounded_in_number(opened: Opened, ride: str) -> None:
    wires = []
    try:
        for _ in range(16):
            wire, said = watching(opened, ride)
            wires.append(wire)
            assert b" 200 " in said
        wire, said = watching(opened, ride)
        wires.append(wire)
        assert b" 503 " in said
        assert opened.ask(f"/rides/{ride}")[0] == 200
    finally:
        for wire in wires:
            wire.close()
    deadline = time.monotonic() + 20
    while b" 503 " in (again := watching(opened, ride))[1]:  # until it is noticed that they went
        again[0].close()
        assert time.monotonic() < deadline
        time.sleep(0.1)
    again[0].close()


def test_the_key_that_is_kept_for_a_second_start_is_ones_own(opened: Opened, home: Path) -> None:
    kept = home / "terrain-fuel/open.json"
    assert opened.key in kept.read_text()
    assert kept.stat().st_mode & 0o077 == 0


def test_half_open_connections_do_not_hold_the_page(opened: Opened) -> None:
    wires = []
    try:
        for _ in range(150):
            wire = socket.create_connection(("127.0.0.1", opened.port), timeout=20)
            wire.sendall(b"GET /start HTTP/1.1\r\nHost: 127.0")
            wires.append(wire)
        assert opened.ask("/alive")[0] == 200
        descriptors = os.listdir(f"/proc/{opened.process.pid}/fd")
        assert sum(is_socket(opened.process.pid, each) for each in descriptors) < 110
        assert is_let_go(wires[0])  # the one that waited longest
    finally:
        for wire in wires:
            wire.close()


@pytest.mark.slow
def test_a_connection_that_brings_no_request_is_closed(opened: Opened) -> None:
    with socket.create_connection(("127.0.0.1", opened.port), timeout=60) as wire:
        wire.sendall(b"GET /start HTTP/1.1\r\nX: ")
        assert is_let_go(wire)


@pytest.mark.slow
def test_a_body_that_drips_is_refused(opened: Opened) -> None:
    with socket.create_connection(("127.0.0.1", opened.port), timeout=90) as wire:
        wire.sendall(upload_head(opened, 9) + b"<")
        assert b" 408 " in wire.recv(1000)


def test_a_request_without_end_is_cut_off(opened: Opened) -> None:
    own = f"Host: 127.0.0.1:{opened.port}\r\nCookie: {opened.cookie}\r\n"
    for longer, end, answered in ((100, "\r\n\r\n", b"HTTP/1.1 200 "), (40_000, "", b"HTTP/1.1 400 ")):
        with socket.create_connection(("127.0.0.1", opened.port), timeout=20) as wire:
            wire.sendall(f"GET /alive HTTP/1.1\r\n{own}X: {'x' * longer}{end}".encode())
            assert wire.recv(100).startswith(answered)


def setting(value: str = "1", file: str = "rider", key: str = "ftp_w") -> str:
    """Return a change of one value, as it goes over the wire."""
    told = f'"do": "set", "file": "{file}", "table": "rider", "key": "{key}", "value": {value}'
    return f'{{"change": 1, "edits": [{{{told}}}]}}'


@pytest.mark.parametrize(
    "told",
    [
        "", "[]", "null", "{", "\xff", "[" * 100_000, '{"change": 1}', '{"change": true, "edits": []}',
        setting(file="../rider"), setting(key="__class__"), setting(key="../ftp_w"), setting(value="1e400"),
        setting(value="9" * 400), setting(value="-" + "9" * 400), setting(value="1e308"),
        setting(value='{"a": 1}'), setting(value='"' + "9" * 5000 + '"'), setting(value="NaN"),
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item", "at": -1}]}',
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item", "at": "0"}]}',
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item", "at": true}]}',
        '{"change": 1, "edits": [{"do": "remove", "file": "pantry", "table": "item"}]}',
        '{"change": 1, "edits": [{"do": "eval"}]}',
        '{"change": 1, "edits": [' + ", ".join(["{}"] * 501) + "]}",
    ],
)  # fmt: skip
def test_what_is_no_change_is_one_sentence_and_changes_nothing(opened: Opened, ride: str, told: str) -> None:
    before = opened.json(f"/rides/{ride}")["change"]
    status, _, said = opened.ask(f"/rides/{ride}/change", "POST", told.encode("latin-1"))
    assert status == 400
    sentence = json.loads(said)["say"]
    assert "\n" not in sentence
    assert "Traceback" not in sentence
    assert "/" not in sentence.replace("g/h", "").replace("m/s", "")
    assert opened.json(f"/rides/{ride}")["change"] == before


def test_lists_of_names_are_text_and_no_longer_than_hands_could_make(
    opened: Opened, ride: str, home: Path
) -> None:
    before = opened.json(f"/rides/{ride}")
    names = ["\u202efig\x1b[31m slice\n", "bar"]
    for offers, kept in ((names, ["fig slice", "bar"]), (["x"] * 51, None), ([1], None), ("bar", None)):
        edit = {"do": "add", "file": "day", "table": "feed", "values": {"at_km": 5, "offers": offers}}
        told = {"change": opened.json(f"/rides/{ride}")["change"], "edits": [edit]}
        status, _, said = opened.ask(f"/rides/{ride}/change", "POST", json.dumps(told).encode())
        if kept is None:
            assert status == 400, said
            continue
        assert json.loads(said)["settings"]["day"]["feed"][-1]["offers"] == kept
        written = tomllib.loads((home / "terrain-fuel/rides/ride-1/day.toml").read_text(encoding="utf-8"))
        assert written["feed"][-1]["offers"] == kept
        opened.json(f"/rides/{ride}/undo", "POST", {})
    assert opened.json(f"/rides/{ride}")["settings"] == before["settings"]


def test_a_change_has_no_more_edits_than_hands_could_make(opened: Opened, ride: str) -> None:
    before = opened.json(f"/rides/{ride}")["change"]
    edit = {"do": "set", "file": "rider", "table": "rider", "key": "ftp_w", "value": 231}
    said = opened.json(f"/rides/{ride}/change", "POST", {"change": before, "edits": [edit] * 501})
    assert said["say"] == "a change is a list of 1 to 500 edits"
    assert opened.json(f"/rides/{ride}")["change"] == before


@pytest.mark.parametrize(
    "fault", [OutputError("/home/somebody/rides: disk full"), RuntimeError("/home/somebody/x.py, line 3")]
)
def test_a_fault_is_told_without_where_and_how(fault: Exception) -> None:
    told = told_of(fault, words_in({}))
    assert "somebody" not in told
    assert "line 3" not in told
    assert "rides:" not in told
    assert "\n" not in told


def test_no_file_of_this_machine_is_named_by_the_page(opened: Opened, ride: str) -> None:
    before = opened.json(f"/rides/{ride}")
    edit = {"do": "set", "file": "day", "table": "day", "key": "map_extract", "value": "/etc/passwd"}
    said = opened.json(f"/rides/{ride}/change", "POST", {"change": before["change"], "edits": [edit]})
    assert (
        said["say"]
        == "day.toml: [day] map_extract names a file on this machine; write it in the settings file"
    )
    after = opened.json(f"/rides/{ride}")
    assert (after["change"], after["settings"]) == (before["change"], before["settings"])
    assert "map_extract" not in [field["key"] for field in opened.json("/start")["fields"]]


@pytest.mark.parametrize(
    "route",
    [
        b"",
        b"no route",
        b"<gpx/>",
        b"\x00" * 1000,
        b'<!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/passwd">]><gpx>&a;</gpx>',
    ],
)
def test_a_file_that_is_no_route_leaves_no_ride(opened: Opened, ride: str, route: bytes) -> None:
    rides = len(opened.json("/start")["rides"])
    status, _, said = opened.ask("/rides", "POST", route, Content_Type="application/octet-stream")
    assert status == 400
    assert b"/tmp" not in said
    assert b"Traceback" not in said
    assert len(opened.json("/start")["rides"]) == rides


def test_names_are_text(opened: Opened, ride: str, home: Path) -> None:
    change = opened.json(f"/rides/{ride}")["change"]
    name = "<img src=x onerror=alert(1)>\u202e\x1b[31m\n[[item]]"
    told = {
        "change": change,
        "edits": [{"do": "add", "file": "pantry", "table": "item", "values": {"name": name}}],
    }
    state = opened.json(f"/rides/{ride}/change", "POST", told)
    assert state["settings"]["pantry"]["item"][-1]["name"] == "<img src=x onerror=alert(1)> [[item]]"
    written = tomllib.loads((home / "terrain-fuel/rides/ride-1/pantry.toml").read_text(encoding="utf-8"))
    assert written["item"][-1]["name"] == "<img src=x onerror=alert(1)> [[item]]"
    opened.json(f"/rides/{ride}/undo", "POST", {})


@pytest.mark.parametrize(("file", "in_its_place"), [(".steps", "a file"), ("rider.toml", "a folder")])
def test_a_folder_in_disorder_is_told_without_its_path(
    opened: Opened, ride: str, home: Path, file: str, in_its_place: str
) -> None:
    path = home / "terrain-fuel/rides/ride-1" / file
    aside = path.with_name("aside")
    path.rename(aside)
    if in_its_place == "a file":
        path.write_text("where a folder should be")
    else:
        path.mkdir()
    try:
        status, _, said = opened.ask(f"/rides/{ride}/undo", "POST", b"{}")
        assert status == 400
        assert b"/" not in said
        assert b"Traceback" not in said
    finally:
        path.unlink() if in_its_place == "a file" else path.rmdir()
        aside.rename(path)
    assert opened.ask(f"/rides/{ride}")[0] == 200
