"""The sticker read back from its PDF: true sizes, large type, every fuel point once, no text outside."""

import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from terrain_fuel.assembly.labels import label_points
from terrain_fuel.errors import SettingsError
from terrain_fuel.outputs.printed.faces import STRIP
from terrain_fuel.outputs.printed.paper import text_width
from terrain_fuel.outputs.printed.sticker import write_sticker
from terrain_fuel.outputs.printed.sticker_layout import lay_out_strips
from terrain_fuel.outputs.printed.sticker_lines import Room, sticker_lines
from terrain_fuel.outputs.printed.sticker_size import SIZES, strip_size
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import Plan
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan, ridden_plan
from tests.outputs.printed import (
    MM,
    Box,
    Printout,
    box,
    check_window,
    fonts_of,
    inked,
    page_sizes_mm,
    pages_of,
)
from tests.outputs.sample_plan import sample_plan

FLOOR_PT = 13.0
TRUE_WITHIN_MM = 0.2


@dataclass(frozen=True)
class Printed:
    """One line as it stands on the paper."""

    distance: int
    text: str
    mark: str
    with_crest: bool


def written(plan: Plan, folder: Path, **choices: Any) -> Path:
    path = folder / "sticker.pdf"
    write_sticker(plan, path, **choices)
    return path


def strips_on(page: Any, size: str) -> list[Box]:
    """Return the outlines of the strips, found by their size alone."""
    wanted = strip_size(size)
    return [
        box(rect)
        for rect in page.rects
        if np.allclose(box(rect).size_mm, (wanted.width_mm, wanted.height_mm), atol=TRUE_WITHIN_MM)
    ]


def lines_on(page: Any, strip: Box) -> list[Printed]:
    """Return the lines of a strip from the bottom up: distance, words and the mark between them."""
    letters = [char for char in page.chars if strip.holds(inked(char), 1.0)]
    largest = max(char["size"] for char in letters)
    heads = [char for char in letters if char["size"] > largest - 0.5]
    lines = []
    for middle in sorted({round(0.5 * (char["top"] + char["bottom"]), 1) for char in heads}, reverse=True):
        digits = [c for c in heads if abs(0.5 * (c["top"] + c["bottom"]) - middle) < 2.0]
        words = [
            c
            for c in letters
            if c["size"] < largest - 0.5 and abs(0.5 * (c["top"] + c["bottom"]) - middle) < 4.0
        ]
        right = max(char["x1"] for char in digits)
        space = Box(right, middle - 9.0, min(char["x0"] for char in words), middle + 9.0)
        over = Box(right, middle - 12.0, space.x1, middle)
        lines.append(Printed(int(joined(digits)), joined(words), mark_in(page, space), has_crest(page, over)))
    return lines


def joined(letters: list[dict[str, Any]]) -> str:
    return "".join(char["text"] for char in sorted(letters, key=lambda char: char["x0"])).strip()


def mark_in(page: Any, space: Box) -> str:
    """Return which mark stands in a space, from its drawn paths alone."""
    curves = [curve for curve in page.curves if space.holds(box(curve), 1.0)]
    if any(space.holds(box(rect), 1.0) for rect in page.rects):
        return "square"
    filled = [curve for curve in curves if curve["fill"]]
    if filled and not is_round(filled[0]):
        return "triangle"
    if filled:
        return "ringed disc" if sum(map(is_round, curves)) > 1 else "disc"
    return "ring" if is_round(curves[0]) else "landmark"


def has_crest(page: Any, space: Box) -> bool:
    """Return whether two open strokes stand in a space."""
    curves = [curve for curve in page.curves if space.holds(box(curve), 1.0) and not curve["fill"]]
    return any(len(curve["path"]) == 3 and not is_round(curve) for curve in curves)


def is_round(curve: dict[str, Any]) -> bool:
    return any(step[0] == "c" for step in curve["path"])


def one_set(plan: Plan, folder: Path, size: str, **choices: Any) -> list[Printed]:
    """Return all printed lines of the first set of strips, in road order."""
    return first_set(pages_of(written(plan, folder, size=size, **choices)), size)


Stickers = Callable[..., Printout]


@pytest.fixture(scope="module")
def stickers(tmp_path_factory: pytest.TempPathFactory) -> Stickers:
    """Return a function that prints the invented plan and reads it back, once for each choice."""

    @cache
    def sticker(size: str = "stem", units: str = "km", paper: str = "A4") -> Printout:
        folder = tmp_path_factory.mktemp("sticker")
        return Printout.read(written(sample_plan(units), folder, size=size, paper=paper))

    return sticker


def first_set(pages: list[Any], size: str) -> list[Printed]:
    count = re.search(r"(?:a set is|ein Satz hat) (\d+) ", pages[0].extract_text())
    strips = [(page, strip) for page in pages for strip in strips_on(page, size)]
    return [line for page, strip in strips[: int(count[1]) if count else 1] for line in lines_on(page, strip)]


@pytest.mark.source("ISO216", "A4 is 210 by 297 mm, A7 is 74 by 105 mm; Letter is 8.5 by 11 inches")
@pytest.mark.parametrize(
    ("paper", "width_mm", "height_mm"), [("A4", 210, 297), ("Letter", 8.5 * 25.4, 11 * 25.4)]
)
@pytest.mark.parametrize("size", [*SIZES, "38x85"])
def test_papers_and_strips_have_their_true_size(
    paper: str, width_mm: float, height_mm: float, size: str, stickers: Stickers
) -> None:
    sticker = stickers(size, paper=paper)
    for page_size in page_sizes_mm(sticker.path):
        np.testing.assert_allclose(page_size, (width_mm, height_mm), atol=TRUE_WITHIN_MM)
    for page in sticker.pages:
        strips = strips_on(page, size)
        assert strips
        sheet = Box(0.0, 0.0, float(page.width), float(page.height))
        for index, strip in enumerate(strips):
            assert sheet.holds(strip, -5.0 * MM)
            assert not any(strip.meets(other) for other in strips[index + 1 :])
    assert (SIZES["card"].width_mm, SIZES["card"].height_mm) == (74.0, 105.0)


def test_the_check_ruler_is_fifty_millimetres_and_viewers_are_asked_not_to_scale(stickers: Stickers) -> None:
    (page, *_) = stickers().pages
    lengths_mm = [(line["x1"] - line["x0"]) / MM for line in page.lines if line["top"] < 26.0 * MM]
    assert any(abs(length - 50.0) < 0.05 for length in lengths_mm)
    assert "print at 100 %" in page.extract_text()
    assert b"/PrintScaling /None" in stickers().path.read_bytes()


@pytest.mark.source("ISO9241", "16 to 22 minutes of arc: about 16 pt at 0.7 m, 13 pt the floor")
@pytest.mark.parametrize("size", [*SIZES, "32x60", "35x80"])
@pytest.mark.parametrize("units", ["km", "miles"])
def test_type_is_large_and_stays_inside_its_strip(size: str, units: str, stickers: Stickers) -> None:
    check_type(stickers(size, units).pages, size)


@pytest.mark.parametrize("size", ["stem", "top-tube", "card", "35x80"])
@pytest.mark.parametrize("units", ["km", "miles"])
def test_every_fuel_point_is_on_it_once(size: str, units: str, stickers: Stickers) -> None:
    check_points(sample_plan(units), first_set(stickers(size, units).pages, size))


@pytest.mark.parametrize("route", ROUTE_NAMES)
@pytest.mark.parametrize(
    ("units", "size", "language"),
    [("km", "stem", "en"), ("miles", "card", "en"), ("km", "stem", "de"), ("miles", "card", "de")],
)
def test_the_demo_routes_are_told_whole_in_large_type(
    route: str, units: str, size: str, language: str, tmp_path: Path
) -> None:
    plan = demo_plan(route, units, language)
    pages = pages_of(written(plan, tmp_path, size=size))
    check_points(plan, first_set(pages, size))
    check_type(pages, size)


@pytest.mark.parametrize("route", ROUTE_NAMES)
@pytest.mark.parametrize("ridden", [False, True])
def test_a_card_shows_when_each_fuel_point_is_likely_reached(
    route: str, ridden: bool, tmp_path: Path
) -> None:
    plan = ridden_plan(route) if ridden else demo_plan(route)
    pages = pages_of(written(plan, tmp_path, size="card"))
    _, strips = lay_out_strips(plan, SIZES["card"])
    lines = [line for strip in strips for line in strip.lines]
    told: list[int] = []
    for line, seen in zip(lines, first_set(pages, "card"), strict=True):
        window = re.search(r"\d\d:\d\d-\d\d:\d\d$", seen.text)
        assert (window is not None) == bool(line.numbers), seen.text
        if window is not None:
            check_window(plan, line.numbers, window[0])
            told.extend(line.numbers)
        else:
            assert seen.text.endswith(line.clock)
    assert sorted(told) == [point.number for point in plan.fuel_points]
    check_type(pages, "card")
    assert "two times: likely there in between" in pages[0].extract_text()


@pytest.mark.parametrize("route", ROUTE_NAMES)
@pytest.mark.parametrize("size", ["card", "80x105", "100x105"])
def test_no_line_loses_words_by_its_window(route: str, size: str) -> None:
    plan = demo_plan(route)
    layout, strips = lay_out_strips(plan, strip_size(size))
    assert layout.times == "window"
    assert layout.distance_pt > layout.name_pt >= FLOOR_PT
    # what stood there beside the clock in the largest type
    before = replace(layout, name_pt=16.0, face=STRIP, times="clock")
    measure = partial(text_width, size=before.name_pt, face=STRIP)
    lines = {line.numbers: line for strip in strips for line in strip.lines if line.numbers}
    for line in sticker_lines(plan, Room(before.name_limit, measure)):
        # sips are told oftener where there is room, so not every line of theirs has its like
        if line.numbers in lines and line.kind != "sip":
            assert len(lines[line.numbers].text) >= len(line.text)


@pytest.mark.parametrize("size", ["stem", "top-tube", "35x80", "59x90"])
def test_narrow_strips_leave_their_room_to_distances_and_names(size: str, tmp_path: Path) -> None:
    plan = demo_plan("loop-120")
    layout, _ = lay_out_strips(plan, strip_size(size))
    assert layout.times == "none"
    pages = pages_of(written(plan, tmp_path, size=size))
    assert not any(re.search(r"\d\d:\d\d", line.text) for line in first_set(pages, size))
    assert "two times" not in pages[0].extract_text()


def check_type(pages: list[Any], size: str) -> None:
    """Every letter that touches a strip lies inside it and is 13 pt or more."""
    for page in pages:
        strips = strips_on(page, size)
        for char in page.chars:
            around = [strip for strip in strips if strip.meets(inked(char))]
            assert len(around) <= 1
            if around:
                assert char["size"] >= FLOOR_PT - 1e-6
                assert around[0].holds(inked(char)), char["text"]


def check_points(plan: Plan, lines: list[Printed]) -> None:
    """Every bite and halt has its line at its distance."""
    road_m = 1000.0 if plan.rider.habits.units == "km" else 1609.344
    at = {
        action: [point.distance_m for point in plan.fuel_points if point.action == action]
        for action in ("eat", "sip", "refill")
    }
    bites = [line for line in lines if line.mark in ("disc", "ringed disc")]
    refills = [line for line in lines if line.mark == "square"]
    halts = [place for i, place in enumerate(at["refill"]) if not i or place - at["refill"][i - 1] > 50.0]
    for printed, places in ((bites, at["eat"]), (refills, halts)):
        assert len(printed) == len(places)
        assert all(
            abs(line.distance - place / road_m) < 1.0 for line, place in zip(printed, places, strict=True)
        )
    assert [line.distance for line in lines] == sorted(line.distance for line in lines)


def test_hands_on_triangles_carry_their_length(stickers: Stickers) -> None:
    lines = first_set(stickers("stem").pages, "stem")
    triangles = [(line.distance, line.text) for line in lines if line.mark == "triangle"]
    assert triangles == [(15, "4.4 km"), (43, "4.5 km"), (50, "0.7 km"), (67, "2.8 km")]


def test_a_short_name_of_the_riders_own_stands_on_a_narrow_strip(tmp_path: Path) -> None:
    plan = sample_plan()
    items = tuple(
        replace(item, short="knolle") if item.name == "salted potato" else item for item in plan.pantry.items
    )
    own = replace(plan, pantry=replace(plan.pantry, items=items))
    texts = [line.text for line in one_set(own, tmp_path, "stem")]
    assert "½ knolle" in texts
    assert not any("potato" in text for text in texts)


@pytest.mark.parametrize(("language", "mark"), [("en", "caf."), ("de", "Kof.")])
@pytest.mark.parametrize("size", ["stem", "top-tube"])
def test_a_short_name_never_hides_caffeine(size: str, language: str, mark: str, tmp_path: Path) -> None:
    plan = demo_plan("loop-120", language=language)
    at = next(i for i, p in enumerate(plan.fuel_points) if p.action == "eat")
    name = "night runner double strength gel"
    points = [replace(p, item=name) if i == at else p for i, p in enumerate(plan.fuel_points)]
    coffee = Item(name, "gel", 25.0, caffeine_mg=50.0, short="night gel")
    pantry = Pantry((*plan.pantry.items, coffee), plan.pantry.containers)
    lines = one_set(replace(plan, fuel_points=tuple(points), pantry=pantry), tmp_path, size)
    before = one_set(plan, tmp_path, size)
    assert sum(mark in line.text for line in lines) == sum(mark in line.text for line in before) + 1


def test_a_bite_on_a_crest_wears_a_crest(stickers: Stickers) -> None:
    plan = sample_plan()
    crests = [stretch.end_m for stretch in plan.terrain.stretches if stretch.kind == "climb"]
    bites = [line for line in sticker_lines(plan, Room(100.0, len)) if line.kind == "eat"]
    near = [any(abs(line.distance_m - crest) <= 300.0 for crest in crests) for line in bites]
    assert [line.on_crest for line in bites] == near
    assert 0 < sum(near) < len(bites)
    printed = first_set(stickers("card").pages, "card")
    assert [line.with_crest for line in printed if "disc" in line.mark] == near


def test_names_in_several_scripts_are_shown(stickers: Stickers) -> None:
    texts = [line.text for line in first_set(stickers("card").pages, "card")]
    for name in ("Ψωμί με μέλι", "Пряник с мёдом", "Crêpe fourrée à l’œuf", "½ salted potato"):
        assert any(text.startswith(name) for text in texts), name


def test_the_road_can_run_down_as_well(stickers: Stickers, tmp_path: Path) -> None:
    up = first_set(stickers("top-tube").pages, "top-tube")
    path = written(sample_plan(), tmp_path, size="top-tube", upward=False)
    (page, *_) = pages_of(path)
    strips = strips_on(page, "top-tube")
    down = [line for strip in strips[:3] for line in reversed(lines_on(page, strip))]
    assert down == up


@pytest.mark.parametrize("size", list(SIZES))
def test_every_font_is_embedded(size: str, stickers: Stickers) -> None:
    path = stickers(size).path
    fonts = dict(fonts_of(path))
    assert len(fonts) >= 3
    assert all(fonts.values())
    assert not any("Helvetica" in name for name in fonts)
    assert b"Helvetica" not in path.read_bytes()


def test_a_very_long_day_takes_more_strips_not_smaller_type(tmp_path: Path) -> None:
    plan = sample_plan()
    # the same points again in between, numbered on
    doubled = sorted(
        [*plan.fuel_points, *(replace(p, distance_m=p.distance_m + 90.0) for p in plan.fuel_points)],
        key=lambda point: point.distance_m,
    )
    points = label_points(replace(point, number=number) for number, point in enumerate(doubled, 1))
    path = written(replace(plan, fuel_points=points), tmp_path, size="35x80")
    pages = pages_of(path)
    strips = [(page, strip) for page in pages for strip in strips_on(page, "35x80")]
    lines = [line for page, strip in strips for line in lines_on(page, strip)]
    assert sum(line.mark in ("disc", "ringed disc") for line in lines) == 2 * sum(
        p.action == "eat" for p in plan.fuel_points
    )
    assert min(char["size"] for page, strip in strips for char in page.within_bbox(
        (strip.x0, strip.top, strip.x1, strip.bottom)).chars) >= FLOOR_PT - 1e-6  # fmt: skip


@pytest.mark.parametrize("size", ["postcard", "0x0", "20x90", "42x900", "42", "axb"])
def test_an_impossible_size_says_what_is_allowed(size: str, tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=f"sticker size is '{size}'; allowed is stem, top-tube, card"):
        written(sample_plan(), tmp_path, size=size)
    with pytest.raises(SettingsError, match="paper is 'A5'; allowed is A4, Letter"):
        written(sample_plan(), tmp_path, paper="A5")
    assert not list(tmp_path.iterdir())


def test_equal_plans_make_equal_bytes_in_another_process_that_cuts_its_faces_anew(tmp_path: Path) -> None:
    first = written(sample_plan(), tmp_path).read_bytes()
    assert written(sample_plan(), tmp_path).read_bytes() == first
    code = (
        "import sys; from pathlib import Path; from tests.outputs.sample_plan import sample_plan;"
        "from terrain_fuel.outputs.printed.sticker import write_sticker;"
        "write_sticker(sample_plan(), Path(sys.argv[1]))"
    )
    other = tmp_path / "other.pdf"
    root = Path(__file__).resolve().parents[2]
    environment = {"PYTHONHASHSEED": "7", "PYTHONPATH": str(root), "XDG_CACHE_HOME": str(tmp_path)}
    for _ in ("faces cut", "faces kept"):
        subprocess.run([sys.executable, "-c", code, str(other)], cwd=root, env=environment, check=True)
        assert other.read_bytes() == first


def test_a_plan_without_fuel_points_is_a_strip_of_road(tmp_path: Path) -> None:
    plan = sample_plan()
    empty = replace(
        plan, fuel_points=(), cautions=(),
        terrain=replace(plan.terrain, stretches=(), track=replace(plan.terrain.track, waypoints=())),
    )  # fmt: skip
    (page,) = pages_of(written(empty, tmp_path))
    strips = strips_on(page, "stem")
    assert len(strips) == 8
    assert not any(strip.meets(inked(char)) for strip in strips for char in page.chars)
    assert any(strip.holds(box(curve)) for strip in strips for curve in page.curves)
