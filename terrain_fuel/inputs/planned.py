"""A written plan.json as the review reads it: settings rebuilt, the road's line, points, climbs."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, get_args

import numpy as np

from terrain_fuel.day import Day, Feed, Fill
from terrain_fuel.frozen import FloatArray
from terrain_fuel.inputs.plan_file import as_written, read_plan_file
from terrain_fuel.inputs.toml_tables import build_settings
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.plan import Action
from terrain_fuel.review.planned import Planned, PlannedClimb, PlannedPoint, Poured
from terrain_fuel.rider import Bike, Habits, Rider

LEAST_ROWS, LONGEST_M = 2, 1e7

LABEL_DIGITS = 6
"""No plan has so many bites that their numbers take more digits."""

LEAST_GAIN_M = 40.0
"""A climb that gains less is not noticed on the road."""


def read_planned(path: Path) -> Planned:
    """Return a plan.json as the review needs it.

    Raises
    ------
    PlanFileError
        If it is no plan of the version written today, or lacks the road's line.
    """
    plan = read_plan_file(path)
    with as_written(path.name, "lacks what a review needs, such as the road's line"):
        return _planned(plan)


def _planned(plan: Mapping[str, Any]) -> Planned:
    line = _columns(plan["route"]["line"], ("distance_m", "lat", "lon"))
    timeline = _columns(plan["timeline"], ("distance_m", "time_s", "power_w"))
    totals = plan["totals"]
    return Planned(
        name=str(plan["route"]["name"]),
        rider=_rider(plan["rider"]),
        pantry=_pantry(plan["pantry"]),
        day=_day(plan["day"]),
        line_m=line["distance_m"],
        line_lat_deg=line["lat"],
        line_lon_deg=line["lon"],
        distance_m=timeline["distance_m"],
        time_s=timeline["time_s"],
        power_w=timeline["power_w"],
        points=tuple(_point(point) for point in plan["fuel_points"]),
        climbs=tuple(
            PlannedClimb(
                str(each["name"]),
                *(float(each[key]) for key in ("start_m", "end_m", "gain_m", "start_s", "end_s")),
            )
            for each in plan["stretches"]
            if each["kind"] == "climb" and each["gain_m"] >= LEAST_GAIN_M
        ),
        poured=tuple(
            Poured(str(each["container"]), str(each["item"]), float(each["at_m"]), float(each["fluid_ml"]))
            for each in plan["bottles"]
        ),
        carried=_carried(plan["packing"]),
        wanted_g_per_h=float(totals["carbohydrate_wanted_g_per_h"]),
        carbohydrate_g=float(totals["carbohydrate_g"]),
    )


def _columns(table: Mapping[str, Any], names: Sequence[str]) -> dict[str, FloatArray]:
    """Return columns of one length along a road that goes on; the first is its distance [m]."""
    columns = {name: np.asarray(table[name], dtype=np.float64) for name in names}
    road_m = columns[names[0]]
    whole = all(column.shape == road_m.shape and np.isfinite(column).all() for column in columns.values())
    if road_m.ndim != 1 or road_m.size < LEAST_ROWS or not whole:
        raise ValueError(f"{', '.join(names)} are no columns of numbers of one length")
    if road_m[0] < 0.0 or road_m[-1] > LONGEST_M or (np.diff(road_m) < 0.0).any():
        raise ValueError(f"{names[0]} is no road from its start to its end")
    return columns


def _point(point: Mapping[str, Any]) -> PlannedPoint:
    if point["action"] not in get_args(Action):
        raise ValueError(f"a point's action is {point['action']!r}, which is none of {get_args(Action)}")
    label = str(point.get("label", point["number"]))
    if point["action"] == "eat" and not (
        label.isascii() and label.isdecimal() and len(label) <= LABEL_DIGITS
    ):
        raise ValueError(f"a bite's label is {label!r}, which is no whole number")
    numbers = ("carbohydrate_g", "fluid_ml", "distance_m", "time_s", "earliest_s", "latest_s")
    return PlannedPoint(
        number=int(point["number"]),
        label=label,
        action=point["action"],
        item=str(point["item"]),
        portions=int(point["portions"]),
        container=str(point["from"]),
        **{name: float(point[name]) for name in numbers},
    )


def _carried(packing: list[Mapping[str, Any]]) -> dict[str, tuple[int, int]]:
    carried: dict[str, tuple[int, int]] = {}
    for each in packing:
        if each["form"] != "powder":
            planned, kept = carried.get(each["item"], (0, 0))
            carried[str(each["item"])] = planned + each["portions_planned"], kept + each["portions_reserve"]
    return carried


def _rider(tables: Mapping[str, Any]) -> Rider:
    bike = build_settings(Bike, _told(tables["bike"]), "[bike]")
    habits = build_settings(Habits, _told(tables["habits"]), "[habits]")
    weights = tuple((name, float(value)) for name, value in sorted(tables["rules"].items()))
    nested = {"bike": bike, "habits": habits, "rule_weights": weights}
    return build_settings(Rider, _told(tables["rider"]), "[rider]", nested=nested)


def _pantry(tables: Mapping[str, Any]) -> Pantry:
    return Pantry(
        items=tuple(build_settings(Item, _told(entry), "[[item]]") for entry in tables["item"]),
        containers=tuple(
            build_settings(Container, _told(entry), "[[container]]") for entry in tables["container"]
        ),
    )


def _day(tables: Mapping[str, Any]) -> Day:
    feeds = tuple(build_settings(Feed, _told(entry), "[[feed]]") for entry in tables["feed"])
    fills = tuple(build_settings(Fill, _told(entry), "[[fill]]") for entry in tables["fill"])
    return build_settings(Day, _told(tables["day"]), "[day]", nested={"feeds": feeds, "fills": fills})


def _told(table: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a table says: JSON writes a setting left open as null, TOML leaves it out."""
    return {key: value for key, value in table.items() if value is not None}
