"""The printed sheets, each kind written once for all tests and read back."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.plan import Plan
from terrain_fuel.rider import RoadUnit
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import MM, Box, Printout, inked

EVENING, MORNING, RIDE, AFTER = range(4)

LEAST_PT = 6.0
"""The least that is printed: numbers inside the marks, which the cues repeat by distance."""


def written(plan: Plan, folder: Path, paper: str = "A4") -> Path:
    path = folder / "sheet.pdf"
    write_sheet(plan, path, paper=paper)
    return path


@cache
def demo_sheets(route: str, units: RoadUnit = "km", language: str = "en", paper: str = "A4") -> Printout:
    """Return a demo route's sheets, printed and read once for all tests; the file itself is gone."""
    with TemporaryDirectory() as folder:
        return Printout.read(written(demo_plan(route, units, language), Path(folder), paper))


def text_of(page: Any) -> str:
    return " ".join(page.extract_text().split())


def check_words(pages: list[Any]) -> None:
    """No letter is tiny or outside the margins, no two words overlap."""
    for page in pages:
        sheet = Box(10.0 * MM, 10.0 * MM, page.width - 10.0 * MM, page.height - 10.0 * MM)
        for char in page.chars:
            assert char["size"] >= LEAST_PT - 0.01
            assert sheet.holds(inked(char), 0.5), char["text"]
        # a line box of Arabic is taller than its letters, a gap has no ink
        words = [
            word
            for word in page.extract_words(x_tolerance=1.5, keep_blank_chars=True)
            if word["text"].strip() and not any(letter >= "\ufb50" for letter in word["text"])
        ]
        left, top, right, bottom = np.array(
            [(w["x0"], w["top"] + 3.0, w["x1"], w["bottom"] - 3.0) for w in words]
        ).T[:, :, None]
        meets = (left < right.T) & (right > left.T) & (top < bottom.T) & (bottom > top.T)
        pairs = np.argwhere(np.triu(meets, 1))
        assert not pairs.size, [(words[one]["text"], words[other]["text"]) for one, other in pairs]
