"""What holds the page: bodies, heads and connections, each bounded in size, number and time."""

import os
import socket
import time

import pytest

from tests.page.opened import Opened


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
