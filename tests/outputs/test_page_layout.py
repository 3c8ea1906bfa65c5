"""The map page's boxes on a phone, on a desk and on paper: nothing over another, nothing cut, one sheet."""

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from terrain_fuel.outputs.map.map_page import write_map
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan
from tests.outputs.sample_plan import sample_plan
from tests.outputs.visiting import SIZES, Visit

pytestmark = pytest.mark.browser


def _overlap(one: dict[str, Any], other: dict[str, Any], slack: float = 1.0) -> bool:
    return bool(
        one["left"] < other["right"] - slack
        and other["left"] < one["right"] - slack
        and one["top"] < other["bottom"] - slack
        and other["top"] < one["bottom"] - slack
    )


def overlaps(boxes: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """Return which pairs of boxes lie over one another."""
    return [
        (one["key"][:40], other["key"][:40])
        for i, one in enumerate(boxes)
        for other in boxes[i + 1 :]
        if _overlap(one, other)
    ]


@pytest.mark.parametrize(
    "selector",
    [
        "header > *, #map-room, #profile, #strip",
        "header button",
        "#totals div",
        "#map .map-mark, #map .map-label, #map .leaflet-control",
        "#profile .mark:not(.sip)",
        "#profile .drawing text.t-quiet",
        "#hours .row, #hours .sip-chip, #hours h2",
        "#hours .row.eat > *",
    ],
)
def test_nothing_overlaps(visit: Visit, selector: str) -> None:
    boxes = visit.boxes(selector)
    assert len(boxes) > 1
    assert overlaps(boxes) == []


def test_nothing_is_cut(visit: Visit) -> None:
    check_uncut(visit)


def check_uncut(visit: Visit) -> None:
    """No mark, label or text reaches out of its room."""
    width = SIZES["desk" if visit.page.viewport_size["width"] > 1000 else "phone"][0]  # type: ignore[index]
    assert visit.page.evaluate("document.documentElement.scrollWidth") <= width
    frame = visit.boxes("#map")[0]
    for box in visit.boxes("#map .map-mark, #map .map-label"):
        assert box["left"] >= frame["left"] - 1
        assert box["right"] <= frame["right"] + 1
        assert box["top"] >= frame["top"] - 1
        assert box["bottom"] <= frame["bottom"] + 1
    for drawing in visit.boxes("#profile svg"):
        for box in visit.boxes("#profile .mark, #profile text"):
            assert drawing["left"] - 1 <= box["left"]
            assert box["right"] <= drawing["right"] + 1
            assert drawing["top"] - 1 <= box["top"]
            assert box["bottom"] <= drawing["bottom"] + 1
    spilled = visit.page.eval_on_selector_all(
        "h1, dd, dt, button:not(.map-mark), .what, h3, #faults",
        "all => all.filter(e => e.clientWidth && e.scrollWidth > e.clientWidth + 1).map(e => e.textContent)",
    )
    assert spilled == []


@pytest.mark.source("WCAG22", "success criterion 2.5.8, target size (minimum)")
def test_targets_are_large_enough(visit: Visit) -> None:
    for selector in (
        "header button",
        ".map-mark",
        "#profile .mark:not(.sip)",
        "#hours button",
        ".leaflet-bar a",
    ):
        for box in visit.boxes(selector):
            assert min(box["width"], box["height"]) >= 23.9, (selector, box)


def test_the_card_leaves_the_chosen_row_and_place_in_sight(visit: Visit) -> None:
    number = sample_plan().fuel_points[-2].number
    visit.page.evaluate(f"document.querySelector('#hours [data-key=p{number}]').click()")
    card = visit.boxes("#card")[0]
    row = visit.boxes(f"#hours [data-key=p{number}]")[0]
    size = visit.page.viewport_size
    assert size is not None
    assert card["right"] <= size["width"]
    assert card["bottom"] <= size["height"] + 1
    if size["width"] > 1000:
        assert not _overlap(card, row)
        place = visit.boxes(f".map-mark[data-key=p{number}]")[0]
        assert not _overlap(card, place)
        strip = visit.boxes("#strip")[0]
        assert strip["top"] - 1 <= row["top"]
        assert row["bottom"] <= strip["bottom"] + 1


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_one_page(browser: Browser, page_file: Path, tmp_path: Path, paper: str) -> None:
    visit = Visit(browser, page_file, "phone" if paper == "A4" else "desk")
    visit.page.pdf(path=tmp_path / "map.pdf", format=paper)
    visit.context.close()
    (printed,) = PdfReader(tmp_path / "map.pdf").pages
    text = re.sub(r"\s+", " ", printed.extract_text())
    plan = sample_plan()
    for point in plan.fuel_points:
        assert f"{point.distance_m / 1000:.1f}" in text
    assert "oat square" in text


def test_after_printing_the_page_is_as_before(visits: dict[str, Visit]) -> None:
    visit = visits["desk"]
    before = visit.boxes(".map-mark")
    visit.page.pdf()
    visit.until("!document.documentElement.classList.contains('printing')")
    assert len(visit.boxes(".map-mark")) >= len(before) - 2
    assert visit.page.evaluate("document.getElementById('map').clientHeight") > 400


@pytest.mark.parametrize(("route", "language"), [*((name, "en") for name in ROUTE_NAMES), ("loop-120", "de")])
def test_the_demo_rides_are_laid_out_without_overlap(
    browser: Browser, tmp_path: Path, route: str, language: str
) -> None:
    write_map(demo_plan(route, language=language), tmp_path / "map.html")
    assert (tmp_path / "map.html").stat().st_size < 1_500_000
    for size in SIZES:
        visit = Visit(browser, tmp_path / "map.html", size, "dark" if size == "phone" else "light")
        frame = visit.boxes("#map")[0]
        marks = visit.boxes("#map .map-mark, #map .map-label, #map .leaflet-control")
        assert overlaps(marks) == []
        assert overlaps(visit.boxes("#profile .mark:not(.sip)")) == []
        assert overlaps(visit.boxes("#hours .row, #hours .sip-chip, #hours h2")) == []
        assert overlaps(visit.boxes("header button")) == overlaps(visit.boxes("#totals div")) == []
        check_uncut(visit)
        assert all(frame["left"] - 1 <= box["left"] and box["right"] <= frame["right"] + 1 for box in marks)
        assert visit.complaints == []
        visit.context.close()
