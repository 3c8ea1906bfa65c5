"""What a tile's server can do to a run: nothing but waste one deadline and one tile's worth of bytes."""

import gzip
import io
import os
import re
import socket
import ssl
import struct
import threading
import zipfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest

from terrain_fuel.errors import ElevationError, TileFetchError
from terrain_fuel.inputs.download import fetch_tile
from terrain_fuel.inputs.tiles import TileFolders
from tests.inputs.made_files import sloping_heights

NAME = "N45E007.hgt"
SELF_SIGNED = Path(__file__).with_name("self_signed.pem")
TILE = sloping_heights().astype(">i2").tobytes()
GOOD = b"HTTP/1.1 200 OK\r\nContent-Length: %d\r\n\r\n" % len(TILE) + TILE
LONGEST_S = 60.0
Behaviour = Callable[[socket.socket], None]


class Server:
    """A server that says whatever bytes it likes, over plain sockets or TLS."""

    def __init__(self, behaviour: Behaviour, safe: bool = False) -> None:
        self._behaviour, self._safe = behaviour, safe
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = self._listener.getsockname()[1]
        self.asked: list[bytes] = []
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    def _serve(self) -> None:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(SELF_SIGNED)
        while True:
            try:
                connection, _ = self._listener.accept()
                connection.settimeout(LONGEST_S)
            except OSError:
                return
            with suppress(OSError), connection:
                if self._safe:
                    connection = context.wrap_socket(connection, server_side=True)
                with connection:
                    self.asked.append(connection.recv(65_536).split(b"\r\n")[0])
                    self._behaviour(connection)

    def close(self) -> None:
        """Answer no more."""
        with suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        self._thread.join(LONGEST_S)

    @property
    def address(self) -> str:
        """Where a tile is asked for."""
        return f"http{'s' if self._safe else ''}://127.0.0.1:{self.port}/tile"


@pytest.fixture
def serve() -> Iterator[Callable[..., Server]]:
    """Yield what starts a server; all of them are stopped afterwards."""
    running: list[Server] = []

    def start(behaviour: Behaviour | bytes, safe: bool = False) -> Server:
        said = behaviour
        running.append(Server((lambda to: to.sendall(said)) if isinstance(said, bytes) else said, safe))
        return running[-1]

    yield start
    for server in running:
        server.close()


def refused(address: str, folder: Path, whole_s: float = 20.0) -> str:
    """Return why a tile is not fetched; nothing is kept of it."""
    with pytest.raises(TileFetchError) as caught:
        fetch_tile(NAME, address, folder, silence_s=10.0, whole_s=whole_s)
    assert list(folder.iterdir()) == []
    message = str(caught.value)
    assert message.isprintable()
    assert "Invalid" not in message, "no name of a library's error"
    return message.removeprefix(f"{NAME}: cannot be fetched from {address}: ").partition("; one attempt")[0]


def drip(start: bytes, drop: bytes) -> Behaviour:
    """Return a behaviour that sends a little, for ever."""

    def behave(to: socket.socket) -> None:
        to.sendall(start)
        for _ in range(1000):
            to.sendall(drop)
            threading.Event().wait(0.02)

    return behave


def pour(start: bytes, piece: bytes) -> Behaviour:
    """Return a behaviour that sends as much as is taken."""

    def behave(to: socket.socket) -> None:
        to.sendall(start)
        while True:
            to.sendall(piece)

    return behave


@pytest.mark.parametrize(
    ("start", "drop"),
    [
        (b"", b"H"),
        (b"HTTP/1.1 200 OK\r\nX-Long: ", b"x"),
        (b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n", b"0"),
        (b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n", b"X: y\r\n"),
        (b"HTTP/1.1 302 Found\r\nLocation: /on\r\nX: ", b"x"),
        (b"HTTP/1.1 200 OK\r\n\r\n", b"x"),
    ],
)
def test_one_deadline_holds_for_all_that_drips(
    start: bytes, drop: bytes, serve: Callable[..., Server], tmp_path: Path
) -> None:
    assert refused(serve(drip(start, drop)).address, tmp_path, whole_s=0.3) == "it was not done in 0.3 s"


HEADERS_WITHOUT_END = drip(b"HTTP/1.1 200 OK\r\nX-Long: ", b"x")


def test_the_deadline_holds_for_safe_answers_too(
    serve: Callable[..., Server], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REQUESTS_CA_BUNDLE", str(SELF_SIGNED))
    address = serve(HEADERS_WITHOUT_END, safe=True).address
    assert refused(address, tmp_path, whole_s=0.5) == "it was not done in 0.5 s"


def test_the_deadline_holds_for_a_proxys_answers_too(
    serve: Callable[..., Server], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    proxy = serve(HEADERS_WITHOUT_END)
    for name in ("http_proxy", "HTTP_PROXY"):
        monkeypatch.setenv(name, proxy.address.removesuffix("/tile"))
    for name in ("no_proxy", "NO_PROXY"):
        monkeypatch.delenv(name, raising=False)
    assert refused("http://tiles.invalid/tile", tmp_path, whole_s=0.5) == "it was not done in 0.5 s"


@pytest.mark.parametrize(
    ("start", "piece", "said"),
    [
        (
            b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n",
            (b"X: " + b"y" * 60_000 + b"\r\n") * 9,
            "bytes came, more than a tile has|it broke off",  # Python 3.14.8 itself bears 100 lines
        ),
        (
            b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n",
            (b"1;" + b"y" * 60_000 + b"\r\nz\r\n") * 9,
            "bytes came, more than a tile has",
        ),
        (b"HTTP/1.1 200 OK\r\n\r\n", bytes(100_000), "bytes came, more than a tile has"),
    ],
)
def test_one_count_of_bytes_holds_for_all_that_pours(
    start: bytes, piece: bytes, said: str, serve: Callable[..., Server], tmp_path: Path
) -> None:
    assert re.search(said, refused(serve(pour(start, piece)).address, tmp_path))


@pytest.mark.parametrize(
    "answer",
    [
        b"HTTP/1.1 200 OK\r\n" + b"X: y\r\n" * 500,
        b"HTTP/1.1 200 OK\r\nX: " + b"y" * 100_000,
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n" + b"1" * 100_000,
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nnone\r\n",
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n-5\r\nabcde\r\n",
        b"HTTP/9.9 abc\r\n\r\n",
        b"\x00\xff" * 100,
        b"",
    ],
)
def test_answers_that_are_none(answer: bytes, serve: Callable[..., Server], tmp_path: Path) -> None:
    assert refused(serve(answer).address, tmp_path) in ("it broke off", "it cannot be reached")


def test_a_promise_of_too_much_is_not_waited_for(serve: Callable[..., Server], tmp_path: Path) -> None:
    answer = b"HTTP/1.1 200 OK\r\nContent-Length: 99999999999\r\n\r\nx"
    assert "more than a tile has" in refused(serve(answer).address, tmp_path)


@pytest.mark.parametrize("length", [b"9" * 5000, "²".encode("latin-1"), b"-1", b"1e3", b"many"])
def test_lengths_that_are_none_are_no_matter(
    length: bytes, serve: Callable[..., Server], tmp_path: Path
) -> None:
    answer = b"HTTP/1.1 200 OK\r\nContent-Length: " + length + b"\r\n\r\n" + TILE
    assert fetch_tile(NAME, serve(answer).address, tmp_path).name == NAME


def redirect(location: bytes, body: bytes = b"", more: bytes = b"") -> bytes:
    """Return an answer that sends on."""
    head = b"HTTP/1.1 302 Found\r\nContent-Length: %d\r\nLocation: %b\r\n%b\r\n"
    return head % (len(body), location, more) + body


def test_redirects_are_followed_and_their_bodies_never_read(
    serve: Callable[..., Server], tmp_path: Path
) -> None:
    goal = serve(GOOD)
    head = b"HTTP/1.1 302 Found\r\nContent-Encoding: gzip\r\nLocation: %b\r\n\r\n" % goal.address.encode()
    server = serve(pour(head, gzip.compress(bytes(1_000_000))))  # without end, each piece a thousandfold
    assert fetch_tile(NAME, server.address, tmp_path).read_bytes() == TILE
    assert goal.asked == [b"GET /tile HTTP/1.1"]


def test_redirects_come_to_an_end(serve: Callable[..., Server], tmp_path: Path) -> None:
    server = serve(redirect(b"/on"))
    assert refused(server.address, tmp_path) == "it sends on more than 5 times"
    assert len(server.asked) == 6


def test_redirects_share_one_deadline(serve: Callable[..., Server], tmp_path: Path) -> None:
    """Each comes in time; all that may be followed together do not."""

    def late(to: socket.socket) -> None:
        threading.Event().wait(0.2)
        to.sendall(redirect(b"/on"))

    assert refused(serve(late).address, tmp_path, whole_s=0.7) == "it was not done in 0.7 s"


def test_redirects_share_one_count_of_bytes(serve: Callable[..., Server], tmp_path: Path) -> None:
    """Five megabytes of headers may come, those of five answers and the sixth may not."""
    server = serve(redirect(b"/on", more=(b"X: " + b"y" * 60_000 + b"\r\n") * 90))
    assert "bytes came, more than a tile has" in refused(server.address, tmp_path)


def test_a_safe_connection_is_made_within_the_deadline(serve: Callable[..., Server], tmp_path: Path) -> None:
    def hold(to: socket.socket) -> None:
        to.settimeout(5.0)
        while to.recv(65_536):  # until nobody waits any more, or it hangs up itself
            pass

    address = serve(hold).address.replace("http://", "https://")
    assert refused(address, tmp_path, whole_s=0.3) == "it was not done in 0.3 s"


@pytest.mark.parametrize(
    "location",
    [b"http://[", b"ftp://example.invalid/", b"file:///etc/passwd", b"http://a:99999/"],
)
def test_redirects_to_nowhere(location: bytes, serve: Callable[..., Server], tmp_path: Path) -> None:
    assert refused(serve(redirect(location)).address, tmp_path) == "it sends on to what is no web address"


@pytest.mark.parametrize(
    "location", [b"http://.example/", b"http://" + b"x" * 70 + b".invalid/", b"\xff\xfe"]
)
def test_redirects_to_odd_names(location: bytes, serve: Callable[..., Server], tmp_path: Path) -> None:
    assert refused(serve(redirect(location)).address, tmp_path)


def test_a_bad_certificate_says_so(serve: Callable[..., Server], tmp_path: Path) -> None:
    assert refused(serve(GOOD, safe=True).address, tmp_path).startswith("a bad certificate (self")


def test_https_never_falls_back_to_http(
    serve: Callable[..., Server], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REQUESTS_CA_BUNDLE", str(SELF_SIGNED))
    goal = serve(GOOD)
    assert "from https:// to http://" in refused(
        serve(redirect(goal.address.encode()), safe=True).address, tmp_path
    )
    assert goal.asked == []
    assert fetch_tile(NAME, serve(GOOD, safe=True).address, tmp_path).read_bytes() == TILE


def test_a_servers_words_are_harmless(serve: Callable[..., Server], tmp_path: Path) -> None:
    answer = b"HTTP/1.1 404 \x1b[2J\x9b31mGone" + b"!" * 1000 + b"\r\n\r\n"
    assert refused(serve(answer).address, tmp_path) == "it answers 404 Gone" + "!" * 75 + "…"


@pytest.mark.parametrize("address", ["ftp://example.invalid", "no address", "http://", "https://"])
def test_an_address_that_is_none_says_what_one_is(address: str, tmp_path: Path) -> None:
    assert "it must begin with https:// or http://" in refused(address, tmp_path)


def test_what_a_killed_fetch_left_is_swept(serve: Callable[..., Server], tmp_path: Path) -> None:
    old, new = tmp_path / ".N01E001.hgt-x.part", tmp_path / ".N02E002.hgt-y.part"
    for path in (old, new):
        path.write_bytes(b"half")
    os.utime(old, (1e9, 1e9))
    fetch_tile(NAME, serve(GOOD).address, tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == {NAME, new.name}


def packed(method: int, data: bytes = TILE, name: str = NAME) -> bytes:
    """Return an archive with one member."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", method) as archive:
        archive.writestr(name, data)
    return file.getvalue()


def claiming(size: int, archive: bytes) -> bytes:
    """Return an archive whose member claims another size, in both places where it stands."""
    true = struct.pack("<I", len(TILE))
    return archive.replace(true, struct.pack("<I", size))


ARCHIVES = {
    "bzip2": packed(zipfile.ZIP_BZIP2),
    "lzma": packed(zipfile.ZIP_LZMA),
    "lzma torn": packed(zipfile.ZIP_LZMA)[:40] + bytes(30) + packed(zipfile.ZIP_LZMA)[70:],
    "too much": packed(zipfile.ZIP_DEFLATED, bytes(30_000_000)),
    "more than it says": claiming(2 * 1201 * 1201, packed(zipfile.ZIP_DEFLATED, bytes(len(TILE))))[:-1],
    "no member": packed(zipfile.ZIP_STORED)[-22:-12] + bytes(12),
    "torn": packed(zipfile.ZIP_DEFLATED)[:200] + bytes(50) + packed(zipfile.ZIP_DEFLATED)[250:],
    "locked": packed(zipfile.ZIP_STORED).replace(
        b"PK\x01\x02\x14\x03\x14\x00\x00", b"PK\x01\x02\x14\x03\x14\x00\x01"
    ),
}


@pytest.mark.parametrize("kind", ARCHIVES)
def test_archives_that_hold_no_tile(kind: str, serve: Callable[..., Server], tmp_path: Path) -> None:
    data = ARCHIVES[kind]
    head = b"HTTP/1.1 200 OK\r\nContent-Length: %d\r\n\r\n" % len(data)
    assert "no elevation tile" in refused(serve(head + data).address, tmp_path)
    (tmp_path / f"{NAME}.zip").write_bytes(data)  # the same in the rider's own folder
    with pytest.raises(ElevationError, match=r"the tile N45E007\.hgt is damaged"):
        TileFolders(tmp_path).read(45, 7)


def test_an_empty_member_name_is_no_matter(tmp_path: Path) -> None:
    archive = bytearray(packed(zipfile.ZIP_STORED, name="x"))
    central = archive.index(b"PK\x01\x02")
    for place, length in ((central + 46, central + 28), (30, 26)):  # the name, and where its length stands
        archive[length] = 0
        del archive[place]
    central -= 1
    archive[-6:-2] = struct.pack("<I", central)
    archive[-10:-6] = struct.pack("<I", len(archive) - 22 - central)
    (tmp_path / f"{NAME}.zip").write_bytes(archive)
    tile = TileFolders(tmp_path).read(45, 7)
    assert tile is not None
    np.testing.assert_array_equal(tile.heights_m, sloping_heights())


def test_a_bomb_is_not_unpacked(tmp_path: Path) -> None:
    # a megabyte of nothing is 45 bytes of bzip2, gigabytes are little more; such a stream cannot be
    # stopped half-way by zipfile, so it is not begun
    (tmp_path / f"{NAME}.zip").write_bytes(packed(zipfile.ZIP_BZIP2, bytes(len(TILE))))
    with pytest.raises(ElevationError, match="packed in another way than deflate"):
        TileFolders(tmp_path).read(45, 7)
