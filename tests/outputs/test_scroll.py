"""The strip map on paper read back from its PDF: pieces in true size, every row once, the road up."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import pytest

from terrain_fuel.outputs.drawing.ribbon import Ribbon, ribbon_shapes
from terrain_fuel.outputs.drawing.shapes import Strokes
from terrain_fuel.outputs.printed.paper import MM
from terrain_fuel.outputs.printed.scroll import write_scroll
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import Box, box, pages_of
from tests.outputs.sample_plan import sample_plan

PIECE_MM = {"A4": (88.0, 254.0), "Letter": (88.0, 236.4)}
"""By hand: the paper's height less edge, head and tab, 10 + 24 + 9 mm; a piece with a tab is 9 mm higher."""


@cache
def scroll(paper: str = "A4") -> list[Any]:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "strip-map.pdf"
        write_scroll(demo_plan("loop-120"), path, paper=paper)
        return pages_of(path)


def pieces_on(page: Any, paper: str) -> list[Box]:
    width_mm, height_mm = PIECE_MM[paper]
    boxes = [box(rect) for rect in page.rects if abs(box(rect).size_mm[0] - width_mm) < 0.2]
    for piece in boxes:
        assert min(abs(piece.size_mm[1] - height_mm - tab_mm) for tab_mm in (0.0, 9.0)) < 0.2
    return boxes


def rows_up(page: Any, piece: Box) -> list[str]:
    """Return the texts right of the ribbon from the foot up; it is 15 mm wide, enlarged by 1.3."""
    room = (piece.x0 + 21.0 * MM, piece.top, piece.x1, piece.bottom)
    return list(reversed(page.crop(room).extract_text().splitlines()))


@pytest.mark.source("ISO216", "A4 is 210 by 297 mm; Letter is no size of it: 8.5 by 11 inches")
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_bite_and_halt_is_on_the_scroll_once_in_road_order(paper: str) -> None:
    plan = demo_plan("loop-120")
    pieces = [(page, piece) for page in scroll(paper) for piece in pieces_on(page, paper)]
    assert len(pieces) == 2
    lines = [line for page, piece in pieces for line in rows_up(page, piece)]
    for point in plan.fuel_points:
        if point.label:
            begin = f"{point.distance_m / 1000:.1f} {point.label} "
            assert sum(line.startswith(begin) for line in lines) == 1, begin
    places = [float(found[0]) for line in lines if (found := re.match(r"\d+\.\d", line))]
    assert places == sorted(places)
    assert places[-1] == 120.0


def test_all_pieces_but_the_last_have_a_tab_for_the_next() -> None:
    page, *_ = scroll()
    first, last = sorted(pieces_on(page, "A4"), key=lambda piece: piece.x0)
    assert first.size_mm[1] - last.size_mm[1] == pytest.approx(9.0, abs=0.1)
    assert (
        "glue strip 2 here" in page.crop((first.x0, first.top, first.x1, first.top + 9.0 * MM)).extract_text()
    )
    assert page.extract_text().count("glue strip") == 1


def test_rows_are_read_at_arms_length_and_stay_in_their_piece() -> None:
    for page in scroll():
        for piece in pieces_on(page, "A4"):
            inside = [
                char for char in page.chars if piece.x0 < char["x0"] < piece.x1 and char["top"] > piece.top
            ]
            assert all(piece.holds(box(char), 1.0) for char in inside)
            # 11 pt enlarged by 1.3; the least is a distance along the ribbon
            sizes = [round(float(char["size"]), 1) for char in inside]
            assert max(sizes) >= 13.0
            assert np.median(sizes) >= 13.0


def test_a_ride_that_needs_nothing_says_so(tmp_path: Path) -> None:
    plan = sample_plan()
    write_scroll(replace(plan, fuel_points=(), cautions=()), tmp_path / "strip-map.pdf")
    (page,) = pages_of(tmp_path / "strip-map.pdf")
    assert "Nothing to eat or drink is needed on this ride." in page.extract_text()
    assert not pieces_on(page, "A4")


def test_hills_leave_room_for_the_compasses_beside_them() -> None:
    plan = sample_plan()
    ends_m, down = np.array([0.0, plan.terrain.length_m]), np.array([600.0, 0.0])
    drawing = ribbon_shapes(Ribbon(plan, 40.0, 600.0, 8.0, ends_m, down))
    (ridge,) = (shape for shape in drawing.shapes if isinstance(shape, Strokes) and shape.role == "ridge")
    hills = min(x for line in ridge.lines for x, _ in line)
    compasses = [s for s in drawing.shapes if isinstance(s, Strokes) and s.role == "compass"]
    assert len(compasses) >= 2
    assert max(x for compass in compasses for line in compass.lines for x, _ in line) < hills
