"""A tap at which nobody halts is marked as passed: on sticker and cue sheet, page and terminal."""

import io
from dataclasses import replace
from pathlib import Path

import pytest
from rich.console import Console

from terrain_fuel.outputs.map.page_data import page_data
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.rows import plan_rows
from terrain_fuel.outputs.terminal import show_plan
from terrain_fuel.plan import Plan
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import pages_of
from tests.outputs.sample_plan import sample_plan
from tests.outputs.sticker_reading import one_set

# of the loop's waters the first is a halt, the other two are passed: its waypoints file and plan.json say so
PASSED_KM = {"en": [("66.9", "Fountain, no halt"), ("103.0", "bakery, no halt")],
             "de": [("66,9", "Fountain, kein Halt"), ("103,0", "bakery, kein Halt")]}  # fmt: skip


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_cue_sheet_says_no_halt_at_taps_that_are_passed(language: str, tmp_path: Path) -> None:
    write_sheet(demo_plan("loop-120", "km", language), tmp_path / "sheets.pdf")
    (ride,) = pages_of(tmp_path / "sheets.pdf", 2)
    text = ride.extract_text()
    word = {"en": "no halt", "de": "kein Halt"}[language]
    assert text.count(word) == 2
    lines = text.splitlines()
    for distance, name in PASSED_KM[language]:
        assert any(line.startswith(distance) and name in line for line in lines), distance
    assert not any(line.startswith(("46.0", "46,0")) and word in line for line in lines)


def test_a_sticker_strikes_their_sign_out_and_says_so_where_there_is_room(tmp_path: Path) -> None:
    lines = one_set(demo_plan("loop-120"), tmp_path, "top-tube")
    assert [(line.distance, line.mark, line.label) for line in lines if line.text.startswith("Fount")] == [
        ("67", "landmark", "")
    ]
    page = pages_of(tmp_path / "sticker.pdf")[0]
    assert "tap or shop without a halt" in page.extract_text()
    # a square and its diagonal in one line: in every set, and in the key
    sets = page.extract_text().count("finish") - 1
    assert sum(len(curve["pts"]) == 6 for curve in page.curves) == sets + 1
    told = [line.words for line in one_set(demo_plan("rolling-60"), tmp_path, "card")]
    assert "Pump, no halt" in told


@pytest.mark.parametrize(("language", "word"), [("en", "no halt"), ("de", "kein Halt")])
def test_page_and_terminal_say_it_too(language: str, word: str) -> None:
    plan = demo_plan("loop-120", "km", language)
    entries = {entry["name"]: entry for entry in page_data(plan)["entries"]}
    fountain = entries[f"Fountain at Quarry Bridge, {word}"]
    assert word in fountain["spoken"]
    assert not any(word in name for name in entries if "Thessel" in name)
    screen = io.StringIO()
    show_plan(plan, (), Console(file=screen, width=240))
    said = [line for line in screen.getvalue().splitlines() if word in line]
    assert ["Fountain" in line for line in said] == [True, False]


def test_a_bite_beside_a_tap_that_is_passed_says_so_in_its_row() -> None:
    plan = demo_plan("loop-120")
    bite = next(point for point in plan.fuel_points if point.label == "8")
    places = tuple(
        replace(place, distance_m=bite.distance_m + 90.0) if place.name.startswith("Fountain") else place
        for place in plan.terrain.track.waypoints
    )
    terrain = replace(plan.terrain, track=replace(plan.terrain.track, waypoints=places))
    row = next(row for row in plan_rows(replace(plan, terrain=terrain)) if row.label == "8")
    assert row.landmark is not None
    assert row.landmark.told == "Fountain at Quarry Bridge, no halt"


def test_where_somebody_halts_nothing_is_passed() -> None:
    def noted(plan: Plan) -> list[str]:
        rows = plan_rows(plan)
        return [row.name for row in (*rows, *(row.landmark for row in rows if row.landmark)) if row.note]

    plan = sample_plan()
    assert noted(plan) == []
    taps = {place.distance_m for place in plan.terrain.track.waypoints if place.kind == "refill"}
    assert taps == {point.distance_m for point in plan.fuel_points if point.action == "refill"}
