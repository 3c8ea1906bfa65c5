"""Who is let in: each guard at the page's door, asked by somebody it is there against."""

import asyncio
import json
import socket
from pathlib import Path

import pytest
from starlette.types import Message, Receive, Scope, Send

from terrain_fuel.cli.main import main
from terrain_fuel.page.door import Door
from terrain_fuel.page.guard import Guard
from tests.page.opened import Opened


def raw(opened: Opened, text: str) -> bytes:
    """Return what the page answers to bytes as they are."""
    with socket.create_connection(("127.0.0.1", opened.port), timeout=20) as wire:
        wire.sendall(text.replace("\n", "\r\n").encode("latin-1"))
        wire.shutdown(socket.SHUT_WR)
        return wire.makefile("rb").read()


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
    for length, status in ((b"0", 200), (b"9" * 5000, 411), ("٣".encode(), 411), (b"\xb2", 411)):
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


def test_who_is_refused_finds_the_connection_closed(opened: Opened, ride: str) -> None:
    """What comes behind a request that was refused, such as its body, is no other request."""
    path = f"/rides/{ride}/undo"
    refused = [
        opened.ask("/start", without=("Cookie",)),
        opened.ask("/start", Host="evil.example"),
        opened.ask(path, "POST", b"{}", without=("Origin",)),
        opened.ask(path, "POST", b"{}", Content_Type="text/plain"),
    ]
    assert [status for status, _, _ in refused] == [403, 421, 403, 415]
    assert {headers["connection"] for _, headers, _ in refused} == {"close"}
    assert "connection" not in opened.ask("/start")[1]


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


def test_the_key_that_is_kept_for_a_second_start_is_ones_own(opened: Opened, home: Path) -> None:
    kept = home / "terrain-fuel/open.json"
    assert opened.key in kept.read_text()
    assert kept.stat().st_mode & 0o077 == 0
