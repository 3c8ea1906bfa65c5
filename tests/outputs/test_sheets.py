"""The sheets read back from their PDF: one side each, nothing cut or overlapping, nothing forgotten."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from terrain_fuel.assembly.labels import label_points
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.flags.daylight import Daylight
from terrain_fuel.outputs.printed.cautions_in_print import cautions_for
from terrain_fuel.outputs.printed.faces import TEXT
from terrain_fuel.outputs.printed.fonts import runs_of
from terrain_fuel.outputs.printed.sayings import item_sayings
from terrain_fuel.outputs.printed.sheet_ride import choose_cues
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Item, Pantry
from terrain_fuel.plan import Plan, Violation
from terrain_fuel.rider import RoadUnit
from tests.demo import ROUTE_NAMES
from tests.outputs.demo_plans import demo_plan, ridden_plan
from tests.outputs.printed import MM, Printout, fonts_of, page_sizes_mm, pages_of
from tests.outputs.sample_plan import sample_plan
from tests.outputs.sheet_reading import (
    AFTER,
    EVENING,
    MORNING,
    RIDE,
    check_words,
    demo_sheets,
    text_of,
    written,
)


def at(hour: int, minute: int) -> datetime:
    return datetime.fromisoformat(f"2027-05-08T{hour:02d}:{minute:02d}:00+02:00")


Printed = Callable[..., Printout]


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """Return a function that prints the invented plan and reads it back, once for each choice."""

    @cache
    def sheets(units: str = "km", paper: str = "A4", days: int = 1) -> Printout:
        plan = sample_plan(units) if days == 1 else long_day(sample_plan(units))
        return Printout.read(written(plan, tmp_path_factory.mktemp("sheets"), paper))

    return sheets


@pytest.fixture
def sides(printed: Printed) -> list[Any]:
    """Return the four sides of the invented plan."""
    return printed().pages


def long_day(plan: Plan) -> Plan:
    """Return the plan with three times its fuel points and foods."""
    pantry = Pantry(
        plan.pantry.items + tuple(Item(f"spare food number {n}") for n in range(40)), plan.pantry.containers
    )
    more = sorted(
        (
            replace(point, distance_m=point.distance_m + shift, time_s=point.time_s + shift / 8.0)
            for point in plan.fuel_points
            for shift in (0.0, 400.0, 800.0)
        ),
        key=lambda point: point.distance_m,
    )
    points = label_points(replace(point, number=number) for number, point in enumerate(more, 1))
    packing = plan.packing + tuple(replace(plan.packing[0], item=f"spare food number {n}") for n in range(40))
    return replace(plan, pantry=pantry, fuel_points=points, packing=packing)


@pytest.mark.source("ISO216", "A4 is 210 by 297 mm; Letter is no size of it: 8.5 by 11 inches")
@pytest.mark.parametrize(
    ("paper", "width_mm", "height_mm"), [("A4", 210, 297), ("Letter", 8.5 * 25.4, 11 * 25.4)]
)
@pytest.mark.parametrize("units", ["km", pytest.param("miles", marks=pytest.mark.slow)])
def test_four_sides_of_their_true_size(
    paper: str, width_mm: float, height_mm: float, units: str, printed: Printed
) -> None:
    sheets = printed(units, paper)
    sizes = page_sizes_mm(sheets.path)
    assert len(sizes) == 4
    np.testing.assert_allclose(sizes, [(width_mm, height_mm)] * 4, atol=0.2)
    titles = [text_of(page)[:16] for page in sheets.pages]
    for title, begin in zip(titles, ("The evening", "The morning", "The ride", "After"), strict=True):
        assert title.startswith(begin)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("days", [1, pytest.param(3, marks=pytest.mark.slow)])
def test_no_word_is_cut_or_written_over_another(paper: str, days: int, printed: Printed) -> None:
    check_words(printed("km", paper, days).pages)


@pytest.mark.parametrize("route", ROUTE_NAMES)
@pytest.mark.parametrize(
    ("units", "paper", "language"),
    [
        ("km", "A4", "en"),
        pytest.param("miles", "Letter", "en", marks=pytest.mark.slow),
        pytest.param("miles", "Letter", "de", marks=pytest.mark.slow),
    ],
)
def test_the_demo_routes_fill_one_side_each(route: str, units: RoadUnit, paper: str, language: str) -> None:
    pages = demo_sheets(route, units, language, paper).pages
    assert len(pages) == 4
    check_words(pages)


@pytest.mark.slow
def test_a_long_day_goes_on_overleaf_and_loses_nothing(printed: Printed) -> None:
    plan = long_day(sample_plan())
    texts = [text_of(page) for page in printed(days=3).pages]
    assert any("The ride, continued" in text for text in texts)
    whole = " ".join(texts)
    for number in range(40):
        # laid out, packed, and on the form
        assert whole.count(f"spare food number {number} ") >= 3
    ride = [page for page, text in zip(printed(days=3).pages, texts, strict=True) if "The ride" in text]
    labels = {word["text"] for page in ride for word in page.extract_words()}
    assert {point.label for point in plan.fuel_points if point.label} <= labels


def test_everything_packed_is_laid_out_packed_and_asked_for(sides: list[Any]) -> None:
    plan = sample_plan()
    pages = [text_of(page) for page in sides]
    sayings = item_sayings(plan.pantry, words_for(plan.rider))
    for packed in plan.packing:
        first_word = "".join(run for run, _ in runs_of(sayings[packed.item].split()[0][:18], TEXT))
        for side in (EVENING, MORNING, AFTER):
            assert first_word in pages[side], (first_word, side)
    for fill in plan.bottles:
        water = f"{fill.fluid_ml:.0f} ml"
        if fill.powder_g:
            assert f"{fill.powder_g:.0f} g" in pages[EVENING]
            assert f"{water}, {fill.container}" in pages[EVENING]
        if fill.at_m == 0.0:
            assert f"{fill.powder_g:.0f} g + {water}" in pages[MORNING]
        assert fill.container.capitalize() in pages[MORNING]


@pytest.mark.parametrize(
    ("light", "said"),
    [
        (
            Daylight(at(6, 8), at(20, 49), False, False),
            "sunrise 06:08, sunset 20:49; start and finish in day",
        ),
        (Daylight(at(8, 1), at(16, 30), True, True), "sunset 16:30; start and finish in the dark: lights on"),
        (Daylight(None, at(0, 12), False, True), "sunset 00:12; finish in the dark: lights on"),
        (Daylight(None, None, True, True), "the sun does not rise today; start and finish in the dark"),
        (Daylight(None, None, False, False), "the sun does not set today; start and finish in daylight"),
    ],
)
def test_the_morning_says_when_the_sun_is_up(light: Daylight, said: str, tmp_path: Path) -> None:
    (morning,) = pages_of(written(replace(sample_plan(), daylight=light), tmp_path), MORNING)
    assert said in text_of(morning)


def test_the_demo_plans_know_their_daylight() -> None:
    light = demo_plan("loop-120").daylight
    assert light is not None
    assert light.sunrise is not None
    assert (light.start_dark, light.finish_dark) == (False, False)


def test_what_is_packed_is_as_large_as_one_side_allows(printed: Printed, tmp_path: Path) -> None:
    plan = sample_plan()
    path = written(replace(plan, packing=plan.packing[:3], warnings=()), tmp_path)
    assert len(page_sizes_mm(path)) == 4
    for page in pages_of(path, EVENING, MORNING):
        assert max(char["size"] for char in page.chars if char["size"] < 20.0) > 1.2 * 13.0
    crowded = printed(days=3).pages[EVENING]
    assert max(char["size"] for char in crowded.chars if char["size"] < 20.0) == 13.0


@pytest.mark.parametrize("more", [8, 10, 12])
def test_no_column_begins_in_the_middle_of_a_container(more: int, tmp_path: Path) -> None:
    plan = sample_plan()
    spare = tuple(Item(f"spare food number {n}") for n in range(more))
    packing = plan.packing + tuple(replace(plan.packing[0], item=item.name) for item in spare)
    pantry = replace(plan.pantry, items=plan.pantry.items + spare)
    path = written(replace(plan, pantry=pantry, packing=packing), tmp_path)
    morning = next(page for page in pages_of(path, 1, 2) if text_of(page).startswith("The morning"))
    words = morning.extract_words(x_tolerance=1.5, keep_blank_chars=True, extra_attrs=["size"])
    begin = next(word for word in words if word["text"].startswith("Front bottle"))
    right = [word for word in words if word["x0"] > 0.5 * morning.width and word["top"] > begin["top"] - 9.0]
    assert min(right, key=lambda word: word["top"])["size"] == begin["size"]


def test_the_cue_sheet_has_distances_legs_and_clock(sides: list[Any]) -> None:
    plan = sample_plan()
    words = [word["text"] for word in sides[RIDE].extract_words()]
    for point in plan.fuel_points:
        if point.action != "sip":
            assert f"{point.distance_m / 1000:.1f}" in words
            assert point.label in words
    legs = [float(word) for word in words if word.startswith("+") and "." in word]
    # the legs add up to the finish, each rounded to 0.1 km
    assert sum(legs) == pytest.approx(plan.terrain.length_m / 1000, abs=0.05 * len(legs))


def test_cues_whose_words_windows_would_cost_keep_the_clock(sides: list[Any]) -> None:
    plan = sample_plan()
    assert choose_cues(plan, 88.0 * MM, 1000.0).with_windows
    assert "likely" in text_of(sides[RIDE])
    slim = choose_cues(plan, 60.0 * MM, 1000.0)
    assert not slim.with_windows
    assert [slim.when(line) for line in slim.lines] == [line.clock for line in slim.lines]


def test_the_ride_says_how_many_rides_went_well_or_how_to_know(tmp_path: Path) -> None:
    ride = demo_sheets("loop-120").pages[RIDE]
    right = ride.crop((0.5 * ride.width, 0.0, ride.width, ride.height))
    assert "How sure?" in text_of(right)
    assert "--rides 300" in text_of(right)
    plan = ridden_plan("loop-120")
    assert plan.luck is not None
    (ride,) = pages_of(written(plan, tmp_path), RIDE)
    column = ride.crop((0.5 * ride.width, 0.0, ride.width, ride.height))
    said = text_of(column) + text_of(ride.crop((0.0, 0.0, 0.5 * ride.width, ride.height)))
    assert f"{round(10 * plan.luck.all_well)} of 10 (100 ridden under bad luck)" in said
    wrong = [chance for chance in plan.luck.chances if chance.share > 0]
    assert said.count("What went wrong") == 1
    assert len(re.findall(r"about \d+ rides in 100", said)) == len(wrong)


def test_cautions_stand_where_they_matter(tmp_path: Path) -> None:
    plan = sample_plan()
    broken = Violation(6, "longest gap", 10_000.0, 20_000.0, 4.0, "min", fact("no_drink_with_bites", count=3))
    pages = [text_of(page) for page in pages_of(written(replace(plan, violations=(broken,)), tmp_path))]
    for side, name in ((EVENING, "evening"), (MORNING, "morning"), (RIDE, "ride")):
        cautions = cautions_for(plan, name)
        assert cautions
        for caution in cautions:
            assert " ".join(caution.split()[:4]) in pages[side]
            assert "[" not in caution
    assert "not medical advice" in pages[EVENING]
    assert "Both hands on the bars" in pages[RIDE]
    for side in (EVENING, RIDE):
        assert "NOT KEPT: no drink with 3 bites" in pages[side]


def test_the_form_has_a_scale_from_nought_to_ten_boxes_and_keys(sides: list[Any]) -> None:
    plan = sample_plan()
    after = sides[AFTER]
    words = [word["text"] for word in after.extract_words()]
    for name in ("stomach", "legs,"):
        row = next(word for word in after.extract_words() if word["text"] == name)
        scale = [
            w["text"]
            for w in after.extract_words()
            if abs(w["top"] - row["top"]) < 5.0 and w["text"].isdigit()
        ]
        assert scale == [str(step) for step in range(11)]
    keys = [text for text in words if re.fullmatch(r"[A-E]\d+", text)]
    assert len(set(keys)) == len(keys)
    items, containers = (
        [thing.name for thing in things] for things in (plan.pantry.items, plan.pantry.containers)
    )
    packed = {f"A{items.index(entry.item) + 1}" for entry in plan.packing}
    filled = {f"B{containers.index(fill.container) + 1}" for fill in plan.bottles}
    lines = {f"E{line}" for line in range(1, 1 + sum(key.startswith("E") for key in keys))}
    assert set(keys) == packed | filled | {"C1", "C2", "C3", "D1", "D2", "D3"} | lines
    assert "E2" in lines
    boxes = [r for r in after.rects if abs(r["width"] - 4.0 * MM) < 0.1 and abs(r["height"] - 4.0 * MM) < 0.1]
    assert len(boxes) == words.count("race-ready") == len({p.item for p in sample_plan().packing})


def test_the_form_asks_in_the_order_of_its_keys() -> None:
    """Who types them in goes down the paper once; pockets hold food in another order."""
    keys = [int(key) for key in re.findall(r"\bA(\d+) ", text_of(demo_sheets("loop-120").pages[AFTER]))]
    assert len(keys) > 5
    assert keys == sorted(keys)


def test_every_font_is_embedded_and_bytes_are_equal(printed: Printed, tmp_path: Path) -> None:
    path = printed().path
    fonts = dict(fonts_of(path))
    assert all(fonts.values())
    assert not any("Helvetica" in name for name in fonts)
    first = path.read_bytes()
    assert written(sample_plan(), tmp_path).read_bytes() == first


def test_another_paper_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="paper is 'A3'; allowed is A4, Letter"):
        written(sample_plan(), tmp_path, "A3")


def test_a_plan_with_nothing_in_it_still_prints(tmp_path: Path) -> None:
    plan = sample_plan()
    bare = replace(
        plan, name="", fuel_points=(), packing=(), bottles=(), preparation=(), cautions=(), warnings=(),
        reserve=(), terrain=replace(plan.terrain, track=replace(plan.terrain.track, waypoints=())),
    )  # fmt: skip
    path = written(bare, tmp_path)
    # a ride that needs nothing has no empty sheets, only its morning
    assert len(page_sizes_mm(path)) == 1
    (morning,) = pages_of(path)
    assert "Nothing to eat or drink is needed on this ride." in text_of(morning)
    assert "Sticker" not in text_of(morning)
    check_words([morning])


def test_before_a_ride_that_begins_after_noon_nothing_speaks_of_the_morning(tmp_path: Path) -> None:
    plan = sample_plan()
    evening = replace(plan, day=replace(plan.day, start=plan.day.start.replace(hour=18)))
    told = [text_of(page) for page in pages_of(written(evening, tmp_path))]
    assert any(page.startswith("Before the ride") for page in told)
    assert not any("in the morning: with" in page or page.startswith("The morning") for page in told)
    assert any("before the start: with" in page for page in told)
