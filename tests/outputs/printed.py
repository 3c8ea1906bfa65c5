"""Reading printed pages back: fonts, words and marks as a viewer of the PDF sees them."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pdfplumber
from pypdf import PdfReader

from terrain_fuel.plan import Plan

MM = 72.0 / 25.4


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on a page [points], y down from its top."""

    x0: float
    top: float
    x1: float
    bottom: float

    @property
    def size_mm(self) -> tuple[float, float]:
        return (self.x1 - self.x0) / MM, (self.bottom - self.top) / MM

    def holds(self, other: "Box", slack: float = 0.0) -> bool:
        return (
            self.x0 - slack <= other.x0
            and self.top - slack <= other.top
            and other.x1 <= self.x1 + slack
            and other.bottom <= self.bottom + slack
        )

    def meets(self, other: "Box") -> bool:
        return (
            self.x0 < other.x1 and other.x0 < self.x1 and self.top < other.bottom and other.top < self.bottom
        )


def box(thing: dict[str, Any]) -> Box:
    return Box(thing["x0"], thing["top"], thing["x1"], thing["bottom"])


def inked(char: dict[str, Any]) -> Box:
    """Return about where a letter has ink: its line box is taller than it."""
    middle, half = 0.5 * (char["top"] + char["bottom"]), 0.5 * char["size"]
    return Box(char["x0"], middle - half, char["x1"], middle + half)


def pages_of(path: Path, *numbers: int) -> list[Any]:
    """Return the pages of a file, or those of some numbers from 0, read whole."""
    with pdfplumber.open(path, pages=[number + 1 for number in numbers] or None) as document:
        pages = list(document.pages)
        for page in pages:
            page.chars, page.rects, page.curves, page.lines  # noqa: B018 -- read before the file is closed
        return pages


@dataclass(frozen=True)
class Printout:
    """A printed file with its pages."""

    path: Path
    pages: list[Any]

    @classmethod
    def read(cls, path: Path) -> "Printout":
        return cls(path, pages_of(path))


def check_window(plan: Plan, numbers: tuple[int, ...], text: str) -> None:
    """A printed "09:31-09:46" holds its fuel points' windows and planned times, less than a minute more."""
    begin_s = 3600 * plan.day.start.hour + 60 * plan.day.start.minute + plan.day.start.second
    early_s, late_s = (
        3600 * int(clock[:2]) + 60 * int(clock[3:]) - begin_s for clock in text.split("-", maxsplit=1)
    )
    points = [plan.fuel_points[number - 1] for number in numbers]
    times_s = [time_s for p in points for time_s in (p.earliest_s, p.time_s, p.latest_s)]
    assert early_s <= min(times_s) < early_s + 60.0, text
    assert late_s - 60.0 < max(times_s) <= late_s, text


def fonts_of(path: Path) -> Iterator[tuple[str, bool]]:
    """Yield the name of every font that any page asks for, and whether its outlines are in the file."""
    for page in PdfReader(path).pages:
        resources: Any = page["/Resources"]
        for reference in resources.get("/Font", {}).values():
            font = reference.get_object()
            descriptor = font.get("/FontDescriptor", {})
            yield str(font["/BaseFont"]), "/FontFile2" in descriptor


def page_sizes_mm(path: Path) -> list[tuple[float, float]]:
    return [
        (float(page.mediabox.width) / MM, float(page.mediabox.height) / MM) for page in PdfReader(path).pages
    ]
