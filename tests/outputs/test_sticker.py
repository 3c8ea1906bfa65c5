"""The sticker read back from its PDF: true sizes, large type, every bite once, and what is drunk adds up."""

import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from statistics import median
from typing import Any

import numpy as np
import pytest
from PIL import Image

from terrain_fuel.assembly.labels import label_points
from terrain_fuel.errors import SettingsError
from terrain_fuel.outputs.printed.phone import phone_pictures
from terrain_fuel.outputs.printed.sticker_size import SIZES
from terrain_fuel.pantry import Item, Pantry
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan, ridden_plan
from tests.outputs.printed import (
    MM,
    Box,
    box,
    check_window,
    fonts_of,
    page_sizes_mm,
    pages_of,
)
from tests.outputs.sample_plan import sample_plan
from tests.outputs.sticker_reading import (
    TRUE_WITHIN_MM,
    Stickers,
    check_lines,
    demo_sticker,
    first_set,
    ink,
    lines_on,
    one_set,
    strips_on,
    written,
)

FLOOR_PT, WANTED_PT = 13.0, 16.0


@pytest.mark.source("ISO216", "A4 is 210 by 297 mm, A7 is 74 by 105 mm; Letter is none: 8.5 by 11 inches")
@pytest.mark.parametrize(
    ("paper", "width_mm", "height_mm"),
    [("A4", 210, 297), pytest.param("Letter", 8.5 * 25.4, 11 * 25.4, marks=pytest.mark.slow)],
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
    sizes = {name: (size.width_mm, size.height_mm) for name, size in SIZES.items()}
    assert sizes == {"stem": (34.0, 62.0), "top-tube": (32.0, 140.0), "card": (74.0, 105.0)}


def test_the_riders_own_stem_and_tube_are_measured(tmp_path: Path) -> None:
    plan = sample_plan()
    bike = replace(plan.rider.bike, stem_width_mm=38.0, stem_length_mm=85.0, top_tube_length_mm=160.0)
    own = replace(plan, rider=replace(plan.rider, bike=bike))
    assert strips_on(pages_of(written(own, tmp_path))[0], "38x85")
    assert strips_on(pages_of(written(own, tmp_path, size="top-tube"))[0], "32x160")


def test_the_check_ruler_is_fifty_millimetres_and_viewers_are_asked_not_to_scale(stickers: Stickers) -> None:
    (page, *_) = stickers().pages
    lengths_mm = [(line["x1"] - line["x0"]) / MM for line in page.lines if line["top"] < 26.0 * MM]
    assert any(abs(length - 50.0) < 0.05 for length in lengths_mm)
    assert "print at 100 %" in page.extract_text()
    assert b"/PrintScaling /None" in stickers().path.read_bytes()


def check_type(pages: list[Any], size: str) -> list[float]:
    """Every letter that touches a strip lies inside it and is 13 pt or more; return their sizes."""
    sizes = []
    for page in pages:
        strips = strips_on(page, size)
        for char in page.chars:
            around = [strip for strip in strips if strip.meets(ink(char))]
            assert len(around) <= 1
            if around:
                assert char["size"] >= FLOOR_PT - 1e-6
                assert around[0].holds(ink(char), 0.6), char["text"]
                sizes.append(float(char["size"]))
    return sizes


@pytest.mark.source("ISO9241", "at least 16 minutes of arc, 20 to 22 preferred: 13 and 16 pt at 0.7 m")
@pytest.mark.parametrize("size", [*SIZES, "32x60", "35x80"])
@pytest.mark.parametrize("units", ["km", pytest.param("miles", marks=pytest.mark.slow)])
def test_type_is_large_and_stays_inside_its_strip(size: str, units: str, stickers: Stickers) -> None:
    typical = median(check_type(stickers(size, units).pages, size))
    # a narrow strip may take smaller type where that saves a third strip
    assert typical >= WANTED_PT or size in ("top-tube", "32x60")


@pytest.mark.source("ISO9241", "at least 16 minutes of arc, 20 to 22 preferred: 13 and 16 pt at 0.7 m")
@pytest.mark.parametrize("size", list(SIZES))
@pytest.mark.parametrize(
    ("route", "language"), [("loop-120", "en"), ("rolling-60", "en"), ("loop-120", "de")]
)
def test_the_demo_routes_are_told_in_large_type(size: str, route: str, language: str) -> None:
    plan = demo_plan(route, "km", language)
    pages = demo_sticker(route, size, language)
    # a card gives up size for the times that it shows
    assert median(check_type(pages, size)) >= WANTED_PT or size == "card"
    strips = first_set(pages, size)
    check_lines(plan, strips)
    assert len(strips) <= 2


@pytest.mark.parametrize("route", ROUTE_NAMES)
@pytest.mark.parametrize("ridden", [False, pytest.param(True, marks=pytest.mark.slow)])
def test_a_card_shows_when_each_fuel_point_is_likely_reached(
    route: str, ridden: bool, tmp_path: Path
) -> None:
    plan = ridden_plan(route) if ridden else demo_plan(route)
    pages = pages_of(written(plan, tmp_path, size="card")) if ridden else demo_sticker(route, "card")
    numbers: dict[str, list[int]] = {}
    for point in plan.fuel_points:
        numbers.setdefault(point.label, []).append(point.number)
    told = 0
    for line in (line for strip in first_set(pages, "card") for line in strip):
        window = re.search(r"\d\d:\d\d-\d\d:\d\d$", line.text)
        assert (window is not None) == bool(line.label), line
        if window is not None:
            check_window(plan, tuple(numbers[line.label]), window[0])
            told += 1
    assert told == len(numbers) - 1
    assert "two times: likely there in between" in pages[0].extract_text()


@pytest.mark.parametrize("size", ["stem", "top-tube", "35x80", "59x90"])
def test_narrow_strips_leave_their_room_to_distances_and_names(size: str) -> None:
    pages = demo_sticker("loop-120", size)
    assert not any(re.search(r"\d\d:\d\d", line.text) for strip in first_set(pages, size) for line in strip)
    assert "two times" not in pages[0].extract_text()


def test_hands_on_triangles_carry_their_length(stickers: Stickers) -> None:
    lines = [line for strip in first_set(stickers("card").pages, "card") for line in strip]
    triangles = [line.words for line in lines if line.mark == "triangle"]
    assert triangles == ["4.4 km", "4.5 km", "0.7 km", "2.8 km"]


def test_a_short_name_of_the_riders_own_stands_on_a_narrow_strip(tmp_path: Path) -> None:
    plan = sample_plan()
    items = tuple(
        replace(item, short="knol") if item.name == "salted potato" else item for item in plan.pantry.items
    )
    own = replace(plan, pantry=replace(plan.pantry, items=items))
    texts = [line.text for line in one_set(own, tmp_path, "stem")]
    assert "½ knol" in texts
    assert not any("potato" in text for text in texts)


@pytest.mark.parametrize(("language", "mark"), [("en", "caf."), ("de", "Kof.")])
@pytest.mark.parametrize("size", ["stem", pytest.param("top-tube", marks=pytest.mark.slow)])
def test_a_short_name_never_hides_caffeine(size: str, language: str, mark: str, tmp_path: Path) -> None:
    plan = sample_plan()
    plan = replace(plan, rider=replace(plan.rider, habits=replace(plan.rider.habits, language=language)))
    at = next(i for i, p in enumerate(plan.fuel_points) if p.action == "eat")
    name = "night runner double strength gel"
    points = [replace(p, item=name) if i == at else p for i, p in enumerate(plan.fuel_points)]
    coffee = Item(name, "gel", 25.0, caffeine_mg=50.0, short="night gel")
    pantry = Pantry((*plan.pantry.items, coffee), plan.pantry.containers)
    lines = one_set(replace(plan, fuel_points=tuple(points), pantry=pantry), tmp_path, size)
    before = one_set(plan, tmp_path, size)
    assert sum(mark in line.text for line in lines) == sum(mark in line.text for line in before) + 1


def test_names_in_several_scripts_are_shown(stickers: Stickers) -> None:
    texts = [line.text for strip in first_set(stickers("card").pages, "card") for line in strip]
    for name in ("Ψωμί με μέλι", "Пряник с мёдом", "Crêpe fourrée à l’œuf", "½ salted potato"):
        assert any(text.startswith(name) for text in texts), name


def test_a_sheet_full_of_copies_draws_each_strip_once(stickers: Stickers) -> None:
    sticker = stickers()
    (page,) = sticker.pages
    drawn = sticker.path.read_bytes().count(b"/Subtype /Form")
    assert drawn == len(first_set(sticker.pages, "stem"))
    assert len(strips_on(page, "stem")) >= 2 * drawn  # as many whole sets as the paper holds


def test_the_road_can_run_down_as_well(tmp_path: Path, stickers: Stickers) -> None:
    up = first_set(stickers("top-tube").pages, "top-tube")
    path = written(sample_plan(), tmp_path, size="top-tube", upward=False)
    (page, *_) = pages_of(path)
    strips = strips_on(page, "top-tube")
    down = [list(reversed(lines_on(page, strip))) for strip in strips[: len(up)]]
    assert down == up
    # the rhythm stands where one begins to read
    assert "at the head the rhythm" in page.extract_text()
    assert "at the foot the rhythm" in stickers("top-tube").pages[0].extract_text()


def test_a_long_title_is_written_smaller_before_it_is_cut(tmp_path: Path) -> None:
    name = "Wilhelmina Ostrander-Vale · Round the Inner Downs and home"
    (page, *_) = pages_of(written(replace(sample_plan(), name=name), tmp_path))
    assert name in page.extract_text()


def bar_of(page: Any, strip: Box) -> list[tuple[float, float]]:
    """Return the dark kilometres at a strip's left edge: height of their foot, and their own [pt]."""
    shapes = [box(shape) for shape in (*page.curves, *page.rects) if shape["fill"] and is_black(shape)]
    beside = [shape for shape in shapes if strip.holds(shape) and shape.x1 < strip.x0 + 19.0]
    wide = [shape for shape in beside if abs(shape.x1 - shape.x0 - 3.6) < 0.1]
    return sorted((strip.bottom - shape.bottom, shape.bottom - shape.top) for shape in wide)


def is_black(shape: dict[str, Any]) -> bool:
    return shape["non_stroking_color"] in ((0,), (0.0,), 0)


def test_the_left_edge_is_the_strip_maps_ribbon_of_kilometres(tmp_path: Path) -> None:
    """120 km have 60 even ones, one more where a strip ends in one; downward the bar stands on its head."""
    plan = demo_plan("loop-120")
    found = {}
    for upward in (True, False):
        (page, *_) = pages_of(written(plan, tmp_path, size="card", upward=upward))
        found[upward] = [bar_of(page, strip) for strip in strips_on(page, "card")[:2]]
    assert 60 <= sum(map(len, found[True])) <= 61
    high = 105.0 * MM
    for up, down in zip(found[True], found[False], strict=True):
        turned = sorted((high - foot - height, height) for foot, height in down)
        np.testing.assert_allclose(up, turned, atol=0.05)
        # km 46 of strip 2 has half a row to itself: the tallest stands at the strip's foot
        assert max(up, key=lambda bar: bar[1])[0] < high / 2


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
    # the same points again in between, labelled on
    doubled = sorted(
        [*plan.fuel_points, *(replace(p, distance_m=p.distance_m + 1090.0) for p in plan.fuel_points)],
        key=lambda point: point.distance_m,
    )
    points = label_points(replace(point, number=number) for number, point in enumerate(doubled, 1))
    pages = pages_of(written(replace(plan, fuel_points=points), tmp_path, size="35x80"))
    strips = first_set(pages, "35x80")
    assert len(strips) > 4
    labels = [line.label for strip in strips for line in strip if line.mark == "disc"]
    assert labels == [str(number) for number in range(1, len(labels) + 1)]
    assert len(labels) == 2 * sum(p.action == "eat" for p in plan.fuel_points)
    check_type(pages, "35x80")


@pytest.mark.parametrize("size", ["postcard", "0x0", "20x90", "42x900", "42", "axb"])
def test_an_impossible_size_says_what_is_allowed(size: str, tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=f"sticker size is '{size}'; allowed is stem, top-tube, card"):
        written(sample_plan(), tmp_path, size=size)
    with pytest.raises(SettingsError, match="paper is 'A5'; allowed is A4, Letter"):
        written(sample_plan(), tmp_path, paper="A5")
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
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
    # the moment that the tests are run at, if they say one
    environment |= {key: os.environ[key] for key in ("SOURCE_DATE_EPOCH",) if key in os.environ}
    for _ in ("faces cut", "faces kept"):
        subprocess.run([sys.executable, "-c", code, str(other)], cwd=root, env=environment, check=True)
        assert other.read_bytes() == first


@pytest.mark.parametrize("size", list(SIZES))
@pytest.mark.parametrize(
    ("route", "language", "caution"),
    [
        ("loop-120", "en", "in doubt both hands stay on the bars."),
        pytest.param("long-200", "de", "im Zweifel bleiben beide Hände am Lenker.", marks=pytest.mark.slow),
    ],
)
@pytest.mark.parametrize("paper", ["A4", pytest.param("Letter", marks=pytest.mark.slow)])
def test_nothing_at_the_foot_runs_off_the_page(
    size: str, route: str, language: str, caution: str, paper: str
) -> None:
    for page in demo_sticker(route, size, language, paper):
        assert caution in page.extract_text()
        lowest = max(char["bottom"] for char in page.chars)
        assert lowest <= float(page.height) - 6.0 * MM
        strips = strips_on(page, size)
        key = min(word["top"] for word in page.extract_words() if word["text"] in ("bite", "Bissen"))
        assert max(strip.bottom for strip in strips) + 2.0 * MM < key


def test_the_strips_come_as_pictures_for_a_phone_too() -> None:
    plan = demo_plan("loop-120")
    pictures = phone_pictures(plan)
    assert list(pictures) == [
        "phone-1.png", "phone-2.png", "strip-map-1.png", "strip-map-2.png", "strip-map-3.png"
    ]  # fmt: skip
    for picture in pictures.values():
        image = Image.open(io.BytesIO(picture))
        assert (image.size, image.mode) == ((1080, 2340), "L")
        ink = np.flatnonzero((np.asarray(image) < 128).any(axis=1))
        # the upper quarter is left to the clock, the foot to the phone's own buttons
        assert 0.25 * 2340 < ink[0] < 0.4 * 2340
        assert ink[-1] < 0.9 * 2340


@pytest.mark.slow
def test_equal_plans_make_equal_pictures() -> None:
    plan = demo_plan("rolling-60")
    assert phone_pictures(plan) == phone_pictures(plan)


def test_a_ride_that_needs_nothing_has_no_strips_and_says_so(tmp_path: Path) -> None:
    plan = sample_plan()
    empty = replace(plan, fuel_points=(), cautions=())
    (page,) = pages_of(written(empty, tmp_path))
    assert not strips_on(page, "stem")
    assert "Nothing to eat or drink is needed on this ride." in page.extract_text()
    # the ruler and the head stay, no curve of a mark is drawn
    assert not [curve for curve in page.curves if box(curve).size_mm[0] > 1.0]
