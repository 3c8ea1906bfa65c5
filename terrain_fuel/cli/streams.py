"""The streams of the process, so that nothing printed can fail: odd encodings, closed or broken pipes."""

import codecs
import io
import os
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO

PLAIN_SIGNS = {
    "●": "*", "○": "o", "□": "#", "▲": "!", "△": "!", "…": "...", "–": "-", "—": "-", "−": "-", "×": "x",
    "·": ".", "°": " deg", "≤": "<=", "≥": ">=", "→": "->", "•": "*", "“": '"', "”": '"', "’": "'",
}  # fmt: skip
"""What our own signs become on a screen that has only plain letters."""

ERRORS = "terrain-fuel-plain"


@contextmanager
def safe_streams() -> Iterator["Outlet"]:
    """Put streams in place that take every text, and yield standard output; as they were afterwards."""
    codecs.register_error(ERRORS, plainer)
    before = sys.stdout, sys.stderr
    out, err = Outlet(sys.stdout), Outlet(sys.stderr)
    sys.stdout, sys.stderr = out, err
    try:
        yield out
    finally:
        sys.stdout, sys.stderr = before
        out.let_go()
        err.let_go()


class Outlet(io.TextIOBase):
    """A text stream over another one, which may be closed, or close while it is written to.

    A reader that has seen enough (``| head``) ends the printing, not the command. What else
    keeps text from being written, such as a full disk, is kept in `fault`.
    """

    def __init__(self, stream: TextIO | None) -> None:
        self._stream = stream
        self.fault: OSError | None = None
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=ERRORS)

    @property
    def encoding(self) -> str:  # type: ignore[override]
        """Name of the encoding on the way out."""
        return getattr(self._stream, "encoding", None) or "utf-8"

    def isatty(self) -> bool:
        """Return True on a screen."""
        return self._stream is not None and self._stream.isatty()

    def fileno(self) -> int:
        """Return the descriptor."""
        if self._stream is None:
            raise io.UnsupportedOperation("standard output is closed")
        return self._stream.fileno()

    def writable(self) -> bool:
        """Return True: everything may be written."""
        return True

    def write(self, text: str) -> int:
        """Write text if anyone reads it; return its length."""
        if self._stream is not None:
            try:
                self._stream.write(text)
            except OSError as fault:
                self._give_up(fault)
        return len(text)

    def flush(self) -> None:
        """Send what is held back."""
        if self._stream is not None:
            try:
                self._stream.flush()
            except OSError as fault:
                self._give_up(fault)

    def let_go(self) -> None:
        """Leave the stream to whom it belongs: it may be closed before this one is."""
        self._stream = None

    def _give_up(self, fault: OSError) -> None:
        """Write nothing more; what the stream still holds goes nowhere, so that it closes in peace."""
        if not isinstance(fault, BrokenPipeError):
            self.fault = fault
        stream, self._stream = self._stream, None
        if stream is not None:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, stream.fileno())
            os.close(nowhere)


def plainer(fault: UnicodeError) -> tuple[str, int]:
    """Return the nearest plain letters for a letter that the encoding lacks."""
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    letter = fault.object[fault.start]
    plain = PLAIN_SIGNS.get(letter) or unicodedata.normalize("NFKD", letter)
    return "".join(sign for sign in plain if sign.isascii()) or "?", fault.start + 1
