"""A mirror of elevation tiles on this machine that answers well, slowly, wrongly, or not at all."""

import io
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from tests.inputs.made_files import sloping_heights, write_tile

NAME = "N45E007.hgt"


class Mirror(ThreadingHTTPServer):
    """A mirror whose behaviour is a word in the address; it counts what it is asked."""

    daemon_threads = True

    def __init__(self, tile: bytes) -> None:
        super().__init__(("127.0.0.1", 0), Answer)
        self.tile, self.asked, self.stop = tile, [], threading.Event()  # type: ignore[var-annotated]

    def address(self, behaviour: str) -> str:
        """Return the mirror's address with a behaviour."""
        return f"http://127.0.0.1:{self.server_address[1]}/{behaviour}"

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing of clients that hang up: some checks make them."""


class Answer(BaseHTTPRequestHandler):
    """One answer, good or bad as the address asks."""

    server: Mirror

    def do_GET(self) -> None:
        self.server.asked.append(self.path)
        behaviour = self.path.split("/")[1]
        getattr(self, f"answer_{behaviour}")()

    def answer_good(self) -> None:
        self.send_whole(self.server.tile)

    def answer_raw(self) -> None:
        self.send_whole(sloping_heights().astype(">i2").tobytes())

    def answer_chunked(self) -> None:
        self.protocol_version = "HTTP/1.1"
        self.send_response(200)
        self.send_header("Transfer-Encoding", "chunked")
        self.end_headers()
        for i in range(0, len(self.server.tile), 50_000):
            piece = self.server.tile[i : i + 50_000]
            self.wfile.write(f"{len(piece):x}\r\n".encode() + piece + b"\r\n")
        self.wfile.write(b"0\r\n\r\n")

    def answer_missing(self) -> None:
        self.send_error(404)

    def answer_broken(self) -> None:
        self.send_error(500)

    def answer_web(self) -> None:
        self.send_whole(b"<html><body>Please sign in</body></html>", "text/html")

    def answer_size(self) -> None:
        file = io.BytesIO()
        with zipfile.ZipFile(file, "w") as archive:
            archive.writestr(NAME, b"\0" * 1000)
        self.send_whole(file.getvalue())

    def answer_torn(self) -> None:
        data = bytearray(self.server.tile)
        data[300:400] = bytes(100)
        self.send_whole(bytes(data))

    def answer_cut(self) -> None:
        self.send_whole(self.server.tile[: len(self.server.tile) // 2], length=len(self.server.tile))

    def answer_silent(self) -> None:
        self.server.stop.wait(5.0)

    def answer_stalls(self) -> None:
        self.send_whole(self.server.tile[:1000], length=len(self.server.tile))
        self.wfile.flush()
        self.server.stop.wait(5.0)

    def answer_drips(self) -> None:
        self.send_response(200)
        self.send_header("Content-Length", str(len(self.server.tile)))
        self.end_headers()
        for i in range(100):
            if self.server.stop.wait(0.05):
                return
            self.wfile.write(self.server.tile[i : i + 1])
            self.wfile.flush()

    def answer_endless(self) -> None:
        self.send_response(200)
        self.end_headers()
        while not self.server.stop.is_set():
            self.wfile.write(bytes(1_000_000))

    def send_whole(self, data: bytes, kind: str = "application/zip", length: int | None = None) -> None:
        """Send an answer with a length that may not be true."""
        self.send_response(200)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(data) if length is None else length))
        self.end_headers()
        self.wfile.write(data)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing."""


@contextmanager
def running_mirror(folder: Path) -> Iterator[Mirror]:
    """Yield a mirror with one tile, which is written into a folder."""
    tile = write_tile(folder / "mirror", "N45E007", sloping_heights(), zipped=True).read_bytes()
    with Mirror(tile) as server:
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            yield server
        finally:
            server.stop.set()
            server.shutdown()
            thread.join(10.0)
