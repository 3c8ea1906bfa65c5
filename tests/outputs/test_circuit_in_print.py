"""A circuit race in print: the sticker of one lap, the laps on the back of the ride, the helper's sheet."""

import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from terrain_fuel.day import Day, Feed
from terrain_fuel.mishaps import with_mishaps
from terrain_fuel.outputs.by_lap import lap_numbers, laps_text, spots_of
from terrain_fuel.outputs.map.page_data import page_data
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.printed.sticker import write_sticker
from terrain_fuel.outputs.printed.sticker_layout import lay_out_strips
from terrain_fuel.outputs.printed.sticker_size import strip_size
from terrain_fuel.outputs.words import words_for
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, Plan
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Habits, Rider
from terrain_fuel.terrain.model import Laps
from tests.circuits import ring, track_through
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import check_window, fonts_of, page_sizes_mm, pages_of
from tests.outputs.sheet_reading import check_words, text_of

LAPS, ROUND_M = 6, 14_000.0
RIDE_BACK, HELPER = 3, 5

FEEDS = tuple(
    Feed(14.0 * lap + 4.0, "Mill lane", ("drink mix", "spice loaf"), minutes=0.5, helper=True)
    for lap in range(LAPS)
)


@cache
def race(units: str = "km", language: str = "en", feeds: tuple[Feed, ...] = FEEDS) -> Plan:
    """Return the plan of six laps of 14 km."""
    if (units, language) != ("km", "en"):
        habits = Habits(units=units, language=language)  # type: ignore[arg-type]
        return replace(race(feeds=feeds), rider=Rider(ftp_w=260.0, habits=habits))
    day = Day(purpose="race", effort_flat=0.75, feeds=feeds)
    track = track_through(list(ring(LAPS, ROUND_M)), hill_m=80.0)
    return with_mishaps(plan_ride(track, Rider(ftp_w=260.0), Pantry(), day))


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    @cache
    def written(units: str = "km", language: str = "en", paper: str = "A4") -> Path:
        path = tmp_path_factory.mktemp("circuit") / "sheet.pdf"
        write_sheet(race(units, language), path, paper=paper)
        return path

    return written


@pytest.mark.parametrize(
    ("units", "language", "paper"), [("km", "en", "A4"), ("miles", "en", "Letter"), ("miles", "de", "Letter")]
)
def test_one_side_each_with_nothing_cut_or_written_over(
    units: str, language: str, paper: str, sheet: Callable[..., Path]
) -> None:
    path = sheet(units, language, paper)
    assert len(page_sizes_mm(path)) == 6
    pages = pages_of(path, RIDE_BACK, HELPER)
    check_words(pages)
    for page in pages:
        assert "…" not in text_of(page)
    assert all(dict(fonts_of(path)).values())


def test_equal_plans_make_equal_bytes(sheet: Callable[..., Path], tmp_path: Path) -> None:
    write_sheet(race(), tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").read_bytes() == sheet().read_bytes()


def test_a_ride_without_helpers_or_laps_has_no_sheet_for_them(tmp_path: Path) -> None:
    write_sheet(demo_plan("rolling-60"), tmp_path / "plain.pdf")
    assert len(page_sizes_mm(tmp_path / "plain.pdf")) == 4
    alone = race(feeds=())
    write_sheet(alone, tmp_path / "alone.pdf")
    assert not any("For the helper" in text_of(page) for page in pages_of(tmp_path / "alone.pdf"))


def _poured_ml(plan: Plan, upto: BottleFill) -> float:
    return sum(
        fill.fluid_ml for fill in plan.bottles if fill.container == upto.container and fill.at_m <= upto.at_m
    )


def _drunk_ml(plan: Plan, before: BottleFill) -> float:
    return sum(
        sip.fluid_ml
        for sip in plan.fuel_points
        if sip.action == "sip" and sip.container == before.container and sip.distance_m < before.at_m
    )


def test_the_helper_reads_what_goes_into_which_bottle_where_and_when(sheet: Callable[..., Path]) -> None:
    plan = race()
    (helper,) = pages_of(sheet(), HELPER)
    text = text_of(helper)
    assert text.startswith("For the helper")
    fills = [fill for fill in plan.bottles if fill.at_m > 0.0]
    assert fills
    for fill in fills:
        # a bottle handed up stands for one on the bicycle: it holds what is left there, and the filling
        whole_ml = _poured_ml(plan, fill) - _drunk_ml(plan, fill)
        assert f"{fill.container}: " in text
        assert f"{round(whole_ml, -1):.0f} ml" in text
        if fill.item == "drink mix" and whole_ml - fill.fluid_ml < 1.0:
            # 40 g in 750 ml, as the packet says
            assert f"{fill.fluid_ml / 750.0 * 40.0:.0f} g of powder" in text
        assert f"km {fill.at_m / 1000.0:.1f}, lap {int(fill.at_m // ROUND_M) + 1}" in text
    windows = re.findall(r"between (\d\d:\d\d) and (\d\d:\d\d), planned", text)
    halts = sorted({round(fill.at_m) for fill in fills})
    assert len(windows) == len(halts)
    for at_m, (early, late) in zip(halts, windows, strict=True):
        here = tuple(
            p.number for p in plan.fuel_points if abs(p.distance_m - at_m) < 50.0 and p.action == "refill"
        )
        check_window(plan, here, f"{early}-{late}")
    assert "comes back: " in text
    assert "Nothing planned" in text
    assert "traffic and the law come first" in text


def test_the_back_of_the_ride_tells_every_bite_and_its_lap_once(sheet: Callable[..., Path]) -> None:
    plan = race()
    laps = plan.terrain.laps
    assert laps is not None
    (back,) = pages_of(sheet(), RIDE_BACK)
    text = text_of(back).split("each line is")[0]
    assert "By the lap: 6 laps of 14." in text
    lines = back.extract_text().split("each line is")[0].splitlines()
    ends = [match[1] for line in lines if (match := re.search(r"[a-z\d] laps? ([\d, -]+)$", line))]
    told = [lap for end in ends for part in end.split(", ") for lap in _span(part)]
    told += [lap for line in lines if line.endswith("every lap") for lap in range(1, LAPS + 1)]
    taken = [laps.lap_at(p.distance_m) for p in plan.fuel_points if p.action != "sip"]
    # bottles filled at one place in one lap have a line each, and so has each food
    assert sorted(told) == sorted(taken)


def _span(part: str) -> range:
    first, _, last = part.partition("-")
    return range(int(first), int(last or first) + 1)


@pytest.mark.parametrize("size", ["stem", "card"])
def test_the_sticker_shows_one_lap_and_every_fuel_point_once(size: str) -> None:
    plan = race()
    strips = lay_out_strips(plan, strip_size(size)).strips
    lines = [line for strip in strips for line in strip.lines]
    numbers = [number for line in lines for number in line.numbers]
    assert sorted(numbers) == [point.number for point in plan.fuel_points if point.action != "sip"]
    assert all(0.0 <= line.distance_m <= 1.02 * ROUND_M for line in lines)
    assert strips[-1].end_m == pytest.approx(ROUND_M, rel=0.02)
    laps = plan.terrain.laps
    assert laps is not None
    for line in lines:
        if line.kind == "eat":
            eaten = [p for p in plan.fuel_points if p.number in line.numbers and p.action == "eat"]
            told = re.search(r" L([\d,-]+)$", line.text)
            ridden = sorted(laps.lap_at(point.distance_m) for point in eaten)
            assert told is not None or len(ridden) == LAPS
            if told is not None:
                assert [lap for part in told[1].split(",") for lap in _span(part)] == ridden
            assert len({(point.item, point.portions) for point in eaten}) == 1


def test_the_sticker_says_that_it_is_one_lap(tmp_path: Path) -> None:
    write_sticker(race(), tmp_path / "sticker.pdf")
    (page,) = pages_of(tmp_path / "sticker.pdf", 0)
    assert "one lap of 6; L3: in lap 3 only" in text_of(page)
    write_sticker(demo_plan("rolling-60"), tmp_path / "plain.pdf")
    (page,) = pages_of(tmp_path / "plain.pdf", 0)
    assert "one lap" not in text_of(page)


def test_laps_are_told_shortly() -> None:
    words = words_for(Rider())
    assert lap_numbers([1, 3, 5, 6, 7]) == "1, 3, 5-7"
    assert laps_text(words, [3, 5, 7], 8) == "laps 3, 5, 7"
    assert laps_text(words, [4], 8) == "lap 4"
    assert laps_text(words, [1, 2, 3], 3) == "every lap"
    laps = Laps((0.0, 1000.0, 2000.0))
    spots = spots_of(laps, [300.0, 1350.0, 700.0, 2500.0])
    assert [spot.places_m for spot in spots] == [(300.0, 1350.0), (700.0,)]


def test_a_halt_for_two_bottles_is_one_spot_of_the_lap() -> None:
    """Every key of a spot is that of an entry; bottles filled a few metres apart are one halt."""
    data = page_data(race())
    entries = {entry["key"]: entry for entry in data["entries"]}
    spots = [[entries[key]["label"] for key in spot["keys"]] for spot in data["laps"]["spots"]]
    assert ["A"] in spots
    bites = [entry["label"] for entry in data["entries"] if entry["kind"] == "eat"]
    assert sorted(label for spot in spots for label in spot if label != "A") == sorted(bites)
