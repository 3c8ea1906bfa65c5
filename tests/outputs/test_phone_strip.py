"""The strip map for a phone, read back from its drawing: every row once, upward, each hour under its rows."""

import io
import re
from functools import cache
from typing import Any

import pdfplumber
import pytest

from terrain_fuel.outputs.printed.paper import MM, Page
from terrain_fuel.outputs.printed.phone_strip import Box, draw_strip_map, strip_pages
from terrain_fuel.outputs.words import words_for
from tests.outputs.demo_plans import demo_plan
from tests.outputs.sample_plan import sample_plan

WIDTH_MM, HEIGHT_MM = 68.0, 92.0


@cache
def drawn(route: str, language: str = "en") -> list[Any]:
    """Return the pictures of a route as pages, each as large as its box with a margin of 2 mm."""
    plan = demo_plan(route, "km", language) if route else sample_plan()
    page = Page("strip map", (WIDTH_MM + 4.0, HEIGHT_MM + 4.0), words_for(plan.rider))
    for rows, ends_m in strip_pages(plan, WIDTH_MM * MM):
        page.begin()
        draw_strip_map(page, plan, rows, ends_m, Box(2 * MM, 2 * MM, WIDTH_MM * MM, HEIGHT_MM * MM))
    with pdfplumber.open(io.BytesIO(page.finished())) as document:
        pages = list(document.pages)
        for each in pages:
            each.chars, each.rects, each.curves, each.lines  # noqa: B018 -- read before the file is closed
        return pages


def lines_up(page: Any) -> list[str]:
    """Return the texts beside the ribbon from the foot up."""
    beside = page.crop((18.0 * MM, 0.0, page.width, page.height))
    return list(reversed(beside.extract_text().splitlines()))


@pytest.mark.parametrize(("route", "language"), [("loop-120", "en"), ("long-200", "de")])
def test_every_bite_and_halt_is_there_once_at_its_distance(route: str, language: str) -> None:
    plan, words = demo_plan(route, "km", language), words_for(demo_plan(route, "km", language).rider)
    lines = [line for page in drawn(route, language) for line in lines_up(page)]
    for point in plan.fuel_points:
        if point.label:
            begin = f"{words.distance(point.distance_m)} {point.label} "
            assert sum(line.startswith(begin) for line in lines) == 1, begin
    distances = [
        float(found[0].replace(",", ".")) for line in lines if (found := re.match(r"\d+[.,]\d", line))
    ]
    assert distances == sorted(distances)
    assert distances[-1] == {"loop-120": 120.0, "long-200": 200.0}[route]


def test_an_hours_heading_stands_under_its_own_rows_and_begins_every_picture() -> None:
    for page in drawn("loop-120"):
        lines = lines_up(page)
        assert re.fullmatch(r"\d\d:30 · Hour \d", lines[0])
        begin = ""
        for line in lines:
            if found := re.match(r"(\d\d:30) · Hour (\d)", line):
                begin = found[1]
                assert int(begin[:2]) - 8 == int(found[2]) - 1
            elif found := re.search(r"(\d\d):(\d\d)$", line):
                minutes = 60 * int(found[1]) + int(found[2]) - 60 * int(begin[:2]) - 30
                assert 0 <= minutes < 60, line


def test_the_bar_is_dark_and_light_by_the_kilometre() -> None:
    pages = drawn("loop-120")
    dark = [
        [
            shape
            for shape in (*page.curves, *page.rects)
            if shape["fill"] and shape["non_stroking_color"] in ((0,), (0.0,), 0)
            and abs(shape["x1"] - shape["x0"] - 4.8) < 0.1
        ]
        for page in pages
    ]  # fmt: skip
    # 120 km have 60 even ones; each picture's border may cut one in two
    assert 60 <= sum(map(len, dark)) <= 60 + len(pages) - 1
    for shapes in dark:
        assert len({round(float(shape["x0"]), 1) for shape in shapes}) == 1


@pytest.mark.parametrize("route", ["loop-120", "long-200", ""])
def test_no_row_is_written_over_another_or_out_of_the_picture(route: str) -> None:
    for page in drawn(route):
        words = page.crop((18.0 * MM, 0.0, page.width, page.height)).extract_words()
        assert words
        assert all(word["x0"] > 1.0 * MM and word["x1"] < page.width - 1.9 * MM for word in words)
        assert all(word["top"] > 0.0 and word["bottom"] < page.height for word in words)
        for index, one in enumerate(words):
            for other in words[index + 1 :]:
                across = min(one["x1"], other["x1"]) - max(one["x0"], other["x0"])
                down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
                assert across < 0.5 or down < 4.0, (one["text"], other["text"])


def test_pictures_are_about_equally_full() -> None:
    counts = [len(lines_up(page)) for page in drawn("loop-120")]
    assert len(counts) == 3
    assert max(counts) <= 16
    assert min(counts) >= 8


@pytest.mark.parametrize("route", ["loop-120", ""])
def test_no_picture_ends_with_hands_on_the_bars(route: str) -> None:
    plan = demo_plan(route) if route else sample_plan()
    pages = strip_pages(plan, WIDTH_MM * MM)
    assert len(pages) > 1
    lasts = [rows[-1].line for rows, _ in pages]
    assert all(line is not None and line.kind != "hands_on" for line in lasts)
