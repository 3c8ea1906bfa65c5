"""One numbering: a label means the same on plan.json, map, sticker, sheet, waypoints and in the terminal."""

import io
import re
from pathlib import Path
from typing import Any

import gpxpy
import pytest
from rich.console import Console

from terrain_fuel.outputs.data.plan_json import plan_to_dict
from terrain_fuel.outputs.data.waypoints import write_waypoints
from terrain_fuel.outputs.explain import explain_label
from terrain_fuel.outputs.map.page_data import page_data
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.terminal import show_plan
from terrain_fuel.outputs.units import amount_text
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan
from tests.demo import ROUTE_NAMES
from tests.judge.battery import planned
from tests.judge.days import make_day
from tests.outputs.demo_plans import demo_plan
from tests.outputs.printed import pages_of
from tests.outputs.sticker_reading import one_set

MADE_DAYS = range(10)
"""Flat and mountainous, laps, brevets, heat: ten days of the judge's battery."""


@pytest.mark.parametrize("route", ROUTE_NAMES)
def test_a_label_means_the_same_everywhere(route: str, tmp_path: Path) -> None:
    walk(demo_plan(route), tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("number", MADE_DAYS)
def test_a_label_means_the_same_everywhere_on_made_days(number: int, tmp_path: Path) -> None:
    walk(planned(make_day("tuning", number).write(tmp_path)), tmp_path)


def walk(plan: Plan, folder: Path) -> None:
    """Follow every label of the plan through all outputs."""
    written = plan_to_dict(plan)
    places: dict[str, list[dict[str, Any]]] = {}
    for point in written["fuel_points"]:
        if point["label"]:
            places.setdefault(point["label"], []).append(point)
    assert set(places) == {*_bites(written), *_halts(written)}
    on_map = {entry["label"]: entry for entry in page_data(plan)["entries"] if entry.get("label")}
    counted = dict(page_data(plan)["totals"])
    assert counted[words_for(plan.rider).label("page.total.bites")] == str(len(_bites(written)))
    assert counted[words_for(plan.rider).label("page.total.halts")] == str(len(_halts(written)))
    ways = _waypoints(plan, folder)
    rows = _ride_rows(plan, folder)
    console = io.StringIO()
    show_plan(plan, (), Console(file=console, width=200))
    assert set(on_map) == set(ways) == set(places)
    for label, points in places.items():
        first = points[0]
        km = f"{first['distance_m'] / 1000:.1f}"
        assert (on_map[label]["distance"], on_map[label]["at"]) == (
            km,
            pytest.approx(first["distance_m"], abs=0.1),
        )
        assert ways[label].latitude == pytest.approx(first["lat"], abs=1e-5)
        assert re.search(rf"^ *{label} +{km} ", console.getvalue(), re.MULTILINE)
        for point in points:
            what = _amount(plan, point)
            assert what in on_map[label]["name"]
            assert point["item"] in (ways[label].comment or "")
        said = " ".join(explain_label(written, label))
        assert all(point["item"] in said and point["from"] in said for point in points)
        if rows:
            assert rows[label] == km
    if plan.terrain.laps is None:
        printed = {line.label: line for line in one_set(plan, folder, "card") if line.label}
        assert set(printed) == set(places)
        for label, line in printed.items():
            assert abs(float(line.distance or places[label][0]["distance_m"] / 1000)
                       - places[label][0]["distance_m"] / 1000) <= 1.0  # fmt: skip


def _bites(written: dict[str, Any]) -> list[str]:
    eats = [point for point in written["fuel_points"] if point["action"] == "eat"]
    return [str(number) for number in range(1, len(eats) + 1)]


def _halts(written: dict[str, Any]) -> list[str]:
    return list(dict.fromkeys(p["label"] for p in written["fuel_points"] if p["action"] == "refill"))


def _amount(plan: Plan, point: dict[str, Any]) -> str:
    """Return how an eaten amount or a poured one is told: "½ oat square", "water 300"."""
    if point["action"] == "eat":
        part = amount_text(point["portions"], plan.pantry.item(point["item"]).portions)
        return f"{part} {point['item']}".strip()
    return f"{point['item']} {round(point['fluid_ml'], -1):.0f}"


def _waypoints(plan: Plan, folder: Path) -> dict[str, Any]:
    path = folder / "points.gpx"
    write_waypoints(plan, path)
    places = gpxpy.parse(path.read_text(encoding="utf-8")).waypoints
    labelled = [place for place in places if place.type in ("eat", "refill")]
    return {(place.name or "").split()[0]: place for place in labelled}


def _ride_rows(plan: Plan, folder: Path) -> dict[str, str]:
    """Return the distance of every label on the ride's sheet."""
    path = folder / "sheet.pdf"
    write_sheet(plan, path)
    rows = {}
    for page in pages_of(path):
        if not (page.extract_text() or "").startswith("The ride"):
            continue
        half = 0.5 * float(page.width)
        for left in (0.0, half):
            text = page.crop((left, 0.0, left + half, page.height)).extract_text()
            for line in text.splitlines():
                found = re.match(r"(\d+\.\d) \+\d+\.\d ([A-Z]{1,2}|\d{1,3}) ", line)
                if found:
                    rows[found[2]] = found[1]
    return rows
