"""Paper and canvas for every printed output: true sizes, our own faces, equal bytes for equal plans."""

import io
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.outputs.names import clip_text
from terrain_fuel.outputs.printed.faces import STRONG, TEXT
from terrain_fuel.outputs.printed.fonts import drawable, register_face, runs_of
from terrain_fuel.outputs.words import Words
from terrain_fuel.outputs.writing import write_bytes

MM = 72.0 / 25.4
"""Points in a millimetre: a point is 1/72 inch, an inch 25.4 mm by definition."""

PAPERS_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height of the papers: A4 as in [ISO216]_, Letter is 8.5 by 11 inches."""


CREDIT_MM, CREDIT_PT = 4.5, 5.5

OVER_MM = 1.0
"""What is drawn once may reach so far over its edges, as the half of a line that runs along one does."""

LEAST_SHRUNK = 0.7
"""A heading that is too wide is written so much smaller before any of it is cut."""


def paper_mm(paper: str) -> tuple[float, float]:
    """Return the width and height of a paper [mm].

    Raises
    ------
    SettingsError
        If it is not one of ours.
    """
    for name, size in PAPERS_MM.items():
        if name.casefold() == paper.casefold():
            return size
    raise SettingsError(f"paper is {paper!r}; allowed is {', '.join(PAPERS_MM)}")


class Page:
    """A PDF being drawn: a canvas in points, its paper in millimetres.

    Every text goes through `text`, so that it is embedded and shows no letter it cannot draw.
    ``credit`` stands small at the foot of every side.
    """

    def __init__(self, title: str, paper: str | tuple[float, float], words: Words, credit: str = "") -> None:
        from reportlab.pdfgen.canvas import Canvas

        register_face(TEXT)
        self.width_mm, self.height_mm = paper_mm(paper) if isinstance(paper, str) else paper
        self._held = io.BytesIO()
        self._begun, self._credit = False, credit
        self.canvas: Any = Canvas(
            self._held,
            pagesize=(self.width_mm * MM, self.height_mm * MM),
            invariant=1,
            pageCompression=1,
            initialFontName=TEXT,
            initialFontSize=10,
        )
        self.canvas.setTitle(drawable(title))
        self.canvas.setAuthor("")
        self.canvas.setCreator("terrain-fuel")
        self.canvas.setSubject(words.label("print.subject"))
        self.canvas.setViewerPreference("PrintScaling", "None")

    @contextmanager
    def drawn_once(self, name: str, width: float, height: float) -> Iterator[None]:
        """Keep what is drawn within, its lower left corner at 0, 0, for `set_down` to show in many places."""
        over = OVER_MM * MM
        self.canvas.beginForm(name, -over, -over, width + over, height + over)
        yield
        self.canvas.endForm()

    def set_down(self, name: str, x: float, y: float) -> None:
        """Show what was `drawn_once` with its lower left corner at a place of this side [points]."""
        self.canvas.saveState()
        self.canvas.translate(x, y)
        self.canvas.doForm(name)
        self.canvas.restoreState()

    def text(
        self, x: float, y: float, text: str, size: float, face: str = TEXT, anchor: str = "start"
    ) -> float:
        """Draw a text on its baseline [points] and return its width [points]."""
        shown = drawable(text)
        width = text_width(shown, size, face)
        right = x + {"start": 0.0, "middle": -0.5 * width, "end": -width}[anchor]
        for run, run_face in runs_of(shown, face):
            self.canvas.setFont(run_face, size)
            self.canvas.drawString(right, y, run)
            right += _run_width(run, size, run_face)
        return width

    def narrowed(self, x: float, y: float, text: str, size: float, face: str, share: float) -> None:
        """Draw a text around a middle, its letters made narrower by a share of their width."""
        shown = drawable(text)
        self.canvas.saveState()
        self.canvas.translate(x - 0.5 * share * text_width(shown, size, face), y)
        self.canvas.scale(share, 1.0)
        self.canvas.setFont(face, size)
        self.canvas.drawString(0.0, 0.0, shown)
        self.canvas.restoreState()

    def strong(self, x: float, y: float, text: str, size: float, anchor: str = "start") -> float:
        """Draw a text in the strong face."""
        return self.text(x, y, text, size, STRONG, anchor)

    def within(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        width: float,
        anchor: str = "start",
        face: str = STRONG,
    ) -> float:
        """Draw a text within a width: smaller if it is too wide, cut only then."""
        shown = drawable(text)
        size *= min(1.0, max(LEAST_SHRUNK, width / max(1.0, text_width(shown, size, face))))
        fits = clip_text(shown, width + 0.01, lambda part: text_width(part, size, face))
        return self.text(x, y, fits, size, face, anchor)

    def line(self, x0: float, y0: float, x1: float, y1: float, width: float = 0.5) -> None:
        """Draw a black line [points]."""
        self.canvas.setLineWidth(width)
        self.canvas.line(x0, y0, x1, y1)

    def begin(self) -> None:
        """Begin a side of paper: the first, or the next once the one before is drawn."""
        if self._begun:
            self.canvas.showPage()
        self._begun = True
        if self._credit:
            right = (self.width_mm - CREDIT_MM) * MM
            self.text(right, CREDIT_MM * MM, self._credit, CREDIT_PT, anchor="end")

    def write(self, path: Path) -> None:
        """Finish the last sheet and write the file.

        Raises
        ------
        OutputError
            If the file cannot be written.
        """
        write_bytes(path, self.finished())

    def finished(self) -> bytes:
        """Finish the last sheet and return the file."""
        self.canvas.showPage()
        self.canvas.save()
        return self._held.getvalue()


@lru_cache(maxsize=16384)
def text_width(text: str, size: float, face: str = TEXT) -> float:
    """Return the width of a drawable text [points]."""
    register_face(face)
    return sum(_run_width(run, size, run_face) for run, run_face in runs_of(text, face))


def _run_width(run: str, size: float, face: str) -> float:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(run, face, size))
