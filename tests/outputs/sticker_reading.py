"""The printed sticker read back as a rider reads it: strips found by their size, lines by their height."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from terrain_fuel.outputs.printed.sticker import write_sticker
from terrain_fuel.outputs.printed.sticker_size import strip_size
from terrain_fuel.plan import Plan
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import Box, Printout, box, pages_of

Stickers = Callable[..., Printout]
"""Prints the invented plan's sticker by size, units and paper and reads it back, once for each choice."""

TRUE_WITHIN_MM = 0.2
MARK_PT = (6.0, 21.0)
RIBBON_PT, WIDE_RIBBON_PT = 7.0, 17.0
"""What the ribbon takes at the left edge: 0.6 + 2.2 mm, on wide strips 1.2 + 5 mm, less a little."""


@dataclass(frozen=True)
class Printed:
    """One line as it stands on the paper: distance, what stands in the mark, the words, the mark."""

    distance: str
    label: str
    text: str
    mark: str

    @property
    def words(self) -> str:
        """The words without the times of a wide strip."""
        return re.sub(r"\s*\d\d:\d\d(-\d\d:\d\d)?$", "", self.text)


def written(plan: Plan, folder: Path, **choices: Any) -> Path:
    path = folder / "sticker.pdf"
    write_sticker(plan, path, **choices)
    return path


@cache
def demo_sticker(route: str, size: str = "stem", language: str = "en", paper: str = "A4") -> list[Any]:
    """Return the pages of a demo route's sticker, printed and read once for all tests."""
    with TemporaryDirectory() as folder:
        return pages_of(written(demo_plan(route, "km", language), Path(folder), size=size, paper=paper))


def strips_on(page: Any, size: str) -> list[Box]:
    """Return the outlines of the strips, found by their size alone."""
    wanted = strip_size(size)
    return [
        box(rect)
        for rect in page.rects
        if np.allclose(box(rect).size_mm, (wanted.width_mm, wanted.height_mm), atol=TRUE_WITHIN_MM)
    ]


def lines_on(page: Any, strip: Box) -> list[Printed]:
    """Return the lines of a strip from the bottom up."""
    letters = [char for char in page.chars if strip.holds(ink(char), 1.0)]
    beside = strip.x0 + (WIDE_RIBBON_PT if strip.size_mm[0] >= 60.0 else RIBBON_PT)
    marks = [
        shape
        for shape in (*page.curves, *page.rects)
        if strip.holds(box(shape)) and is_mark(shape) and shape["x0"] > beside
    ]
    rows: list[list[dict[str, Any]]] = []
    for char in sorted(letters, key=middle):
        if rows and middle(char) - np.mean([middle(other) for other in rows[-1]]) < 5.0:
            rows[-1].append(char)
        else:
            rows.append([char])
    return [line_of(row, marks) for row in reversed(rows)]


def line_of(row: list[dict[str, Any]], marks: list[dict[str, Any]]) -> Printed:
    at = float(np.mean([middle(char) for char in row]))
    near = sorted((m for m in marks if abs(middle(m) - at) < 4.5), key=lambda m: float(m["x0"]))
    if not near:
        # a finish has two strokes for a mark: its distance ends where its word begins
        finish = re.fullmatch(r"(\d+)([^\d×]+)(?:\d\d:\d\d)?", joined(row))
        return Printed(finish[1], "", finish[2], "lines") if finish else Printed("", "", joined(row), "")
    left = [c for c in row if c["x1"] <= near[0]["x0"] + 0.5]
    if "×" in joined(left):
        return Printed("", "", joined(row), "rhythm")
    inside = [c for c in row if c not in left and 0.5 * (c["x0"] + c["x1"]) < near[0]["x1"]]
    right = [c for c in row if c not in left and c not in inside]
    return Printed(joined(left), joined(inside), joined(right), name_of(near))


def ink(char: dict[str, Any]) -> Box:
    """Return where a letter has ink, from its baseline: capitals above it, tails below."""
    base = float(char["top"] + char["y1"] - char["matrix"][5])
    return Box(char["x0"], base - 0.72 * char["size"], char["x1"], base + 0.24 * char["size"])


def middle(thing: dict[str, Any]) -> float:
    """Return the middle of a drawn path, or of a letter's capital height, y down."""
    if "size" in thing:
        return ink(thing).bottom - 0.6 * float(thing["size"])
    return 0.5 * float(thing["top"] + thing["bottom"])


def joined(letters: list[dict[str, Any]]) -> str:
    return "".join(char["text"] for char in sorted(letters, key=lambda char: float(char["x0"]))).strip()


def is_mark(shape: dict[str, Any]) -> bool:
    width, height = shape["x1"] - shape["x0"], shape["bottom"] - shape["top"]
    low, high = MARK_PT
    return bool(low < width < high and 0.3 * low < height < high and (shape["stroke"] or shape["fill"]))


def name_of(marks: list[dict[str, Any]]) -> str:
    """Return which mark it is, from its drawn paths alone."""
    if any("path" not in mark or mark.get("object_type") == "rect" for mark in marks):
        return "square"
    filled = [mark for mark in marks if mark["fill"]]
    if filled:
        return "disc" if is_round(filled[0]) else "triangle"
    return "ring" if is_round(marks[0]) else "landmark"


def is_round(curve: dict[str, Any]) -> bool:
    return any(step[0] == "c" for step in curve["path"])


def first_set(pages: list[Any], size: str) -> list[list[Printed]]:
    """Return the printed lines of the first set, by strip."""
    count = re.search(r"(?:a set is|ein Satz hat) (\d+) ", pages[0].extract_text())
    strips = [(page, strip) for page in pages for strip in strips_on(page, size)]
    return [lines_on(page, strip) for page, strip in strips[: int(count[1]) if count else 1]]


def one_set(plan: Plan, folder: Path, size: str, **choices: Any) -> list[Printed]:
    """Return all printed lines of the first set of strips, in road order."""
    strips = first_set(pages_of(written(plan, folder, size=size, **choices)), size)
    return [line for strip in strips for line in strip]


def check_lines(plan: Plan, strips: list[list[Printed]]) -> None:
    """Every bite and halt is there once with its label at its distance, in order, no distance twice."""
    lines = [line for strip in strips for line in strip]
    road_m = 1000.0 if plan.rider.habits.units == "km" else 1609.344
    for action, mark in (("eat", "disc"), ("refill", "square")):
        places: dict[str, float] = {}
        for point in plan.fuel_points:
            if point.action == action:
                places.setdefault(point.label, point.distance_m / road_m)
        printed = [(line.label, line.distance) for line in lines if line.mark == mark]
        assert [label for label, _ in printed] == list(places)
        assert all(abs(float(at or places[label]) - places[label]) <= 1.0 for label, at in printed)
    for strip in strips:
        distances = [int(line.distance) for line in strip if line.distance]
        assert distances == sorted(set(distances))
    assert lines[-1].text in ("finish", "Ziel")
