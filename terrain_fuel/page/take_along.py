"""The outputs of a ride, drawn by the very command the terminal has, and handed over one by one or all."""

import asyncio
import io
import sys
import threading
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from terrain_fuel.errors import TerrainFuelError

OUTPUTS: Mapping[str, str] = {
    "plan.json": "application/json",
    "map.html": "text/html; charset=utf-8",
    "sticker.pdf": "application/pdf",
    "sheet.pdf": "application/pdf",
    "fuel-points.gpx": "application/gpx+xml",
    "plan.geojson": "application/geo+json",
}
"""Outputs by name, with their kinds."""

PRINTED = ("sticker.pdf", "sheet.pdf")
"""Outputs that are shown as they print, page by page."""

PICTURE_PX = 900
"""Width of a page's picture."""

WRITTEN = (0, 3)
"""Exit codes with which all outputs are written."""


_ONE_AT_A_TIME = threading.Lock()


class Outputs:
    """The drawing of one ride's outputs; a newer change ends the drawing of an older one."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._process: asyncio.subprocess.Process | None = None
        self.drawing = False
        self.drawn = 0

    async def draw(self, change: int) -> None:
        """Draw the outputs of the ride as its folder has it, and remember for which change.

        Raises
        ------
        TerrainFuelError
            If they cannot be drawn, as the command says it.
        """
        self.drop()
        words = [sys.executable, "-m", "terrain_fuel", "plan", str(self._folder), "--quiet"]
        process = self._process = await asyncio.create_subprocess_exec(
            *words, stdout=asyncio.subprocess.DEVNULL, stderr=asyncio.subprocess.PIPE
        )
        self.drawing = True
        try:
            _, said = await process.communicate()
        except asyncio.CancelledError:
            self.drop()
            raise
        finally:
            if self._process is process:
                self.drawing = False
        if process.returncode in WRITTEN:
            self.drawn = change
        elif self._process is process:
            raise TerrainFuelError(said.decode("utf-8", "replace").strip() or "the outputs were not drawn")

    def drop(self) -> None:
        """End a drawing that is under way."""
        if self._process is not None and self._process.returncode is None:
            self._process.kill()
        self._process = None
        self.drawing = False

    def pages(self, name: str) -> int:
        """Return how many pages a printed output has."""
        with _opened(self._folder / name) as document:
            return len(document)

    def picture(self, name: str, number: int) -> bytes | None:
        """Return one page of a printed output as a PNG, counted from 0; None where there is none."""
        with _opened(self._folder / name) as document:
            if not 0 <= number < len(document):
                return None
            page = document[number]
            held = io.BytesIO()
            page.render(scale=PICTURE_PX / page.get_width()).to_pil().convert("L").save(held, "PNG")
            page.close()
            return held.getvalue()

    def all_of_them(self) -> bytes:
        """Return every output in one zip archive, equal outputs in equal bytes."""
        held = io.BytesIO()
        with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
            for name in OUTPUTS:
                archive.writestr(
                    zipfile.ZipInfo(name), (self._folder / name).read_bytes(), zipfile.ZIP_DEFLATED
                )
        return held.getvalue()


@contextmanager
def _opened(path: Path) -> Iterator[Any]:
    """Yield a PDF; its library serves one caller at a time."""
    import pypdfium2

    with _ONE_AT_A_TIME:
        document = pypdfium2.PdfDocument(path.read_bytes())
        try:
            yield document
        finally:
            document.close()
