"""A plan.json as the checker sees it: its points, spans and settings by name."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from terrain_fuel.checker.schema import timeline_columns
from terrain_fuel.json_file import read_json_object

LIGHT_KG = 50.0  # common practice (no source)


@dataclass(frozen=True, slots=True)
class Point:
    """A fuel point as written."""

    number: int
    label: str
    distance_m: float
    time_s: float
    lat: float
    lon: float
    action: str
    item: str
    portions: float
    carbohydrate_g: float
    fluid_ml: float
    sodium_mg: float
    caffeine_mg: float
    container: str
    stretch: int
    rules: tuple[str, ...]
    window_m: tuple[float, float]
    reached_s: tuple[float, float] | None

    @property
    def called(self) -> str:
        """How messages name it."""
        if self.action == "sip":
            return f"the sip of {self.item} at km {self.distance_m / 1000.0:.1f}"
        return f"{'halt' if self.action == 'refill' else 'bite'} {self.label} ({self.item})"


@dataclass(frozen=True, slots=True)
class PlanFile:
    """What the checks read, already known to have the right keys and kinds."""

    data: Mapping[str, Any]
    points: tuple[Point, ...]
    timeline: Mapping[str, NDArray[np.float64]]
    rider: Mapping[str, Any]
    habits: Mapping[str, Any]
    items: Mapping[str, Mapping[str, Any]]
    containers: Mapping[str, Mapping[str, Any]]
    line: tuple[NDArray[np.float64], NDArray[np.float64]] | None
    """Distances along the road, shape (k,), and places, shape (k, 2) [degrees]; None for no line."""

    @property
    def length_m(self) -> float:
        """Length of the road [m]."""
        return float(self.data["route"]["distance_m"])

    @property
    def finish_s(self) -> float:
        """Clock at the finish [s]."""
        return float(self.timeline["time_s"][-1])

    @property
    def body_share(self) -> float:
        """How much of the limits of drink and sodium a light body takes."""
        return min(1.0, float(self.rider["body_mass_kg"]) / LIGHT_KG)

    @property
    def taken(self) -> tuple[Point, ...]:
        """Points at which something passes the lips."""
        return tuple(point for point in self.points if point.action != "refill")

    @property
    def eats(self) -> tuple[Point, ...]:
        """Points at which something is eaten."""
        return tuple(point for point in self.points if point.action == "eat")

    def along(self, column: str, distance_m: float) -> float:
        """Return a column of the timeline at a place, interpolated."""
        return float(np.interp(distance_m, self.timeline["distance_m"], self.timeline[column]))

    def clock_about(self, distance_m: float) -> tuple[float, float]:
        """Return the clock a row before a place and a row behind it [s]."""
        road_m, clock_s = self.timeline["distance_m"], self.timeline["time_s"]
        after = int(np.clip(np.searchsorted(road_m, distance_m), 1, road_m.size - 1))
        return float(clock_s[after - 1]), float(clock_s[min(after + 1, road_m.size - 1)])


def load_json(source: Mapping[str, Any] | Path | str) -> Mapping[str, Any]:
    """Return the object in a plan.json, or the mapping itself.

    Raises
    ------
    PlanFileError
        If the file is missing, too large, not JSON or not an object.
    """
    if isinstance(source, Mapping):
        return source
    return read_json_object(Path(source))


def open_plan(data: Mapping[str, Any]) -> PlanFile:
    """Return the plan by name; `check_schema` must have found no fault."""
    items = {item["name"]: _counted(item) for item in data["pantry"]["item"]}
    items.setdefault("water", _WATER)
    return PlanFile(
        data=data,
        points=tuple(_point(entry) for entry in data["fuel_points"]),
        timeline={key: np.asarray(data["timeline"][key], dtype=np.float64) for key in timeline_columns()},
        rider=data["rider"]["rider"],
        habits=data["rider"]["habits"],
        items=items,
        containers={container["name"]: container for container in data["pantry"]["container"]},
        line=_line(data["route"].get("line")),
    )


_WATER: Mapping[str, Any] = {
    "name": "water", "kind": "water", "carbohydrate_g": 0.0, "fluid_ml": 1000.0, "sodium_mg": 0.0,
    "caffeine_mg": 0.0, "count": 1, "portions": 1,
}  # fmt: skip


def _counted(item: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return an item as it is added up: sodium that is not known counts as none."""
    return {**item, "sodium_mg": item["sodium_mg"] or 0.0}


def _line(
    line: Mapping[str, Any] | None,
) -> tuple[NDArray[np.float64], NDArray[np.float64]] | None:
    if line is None:
        return None
    along_m, lat, lon = (np.asarray(line[key], dtype=np.float64) for key in ("distance_m", "lat", "lon"))
    return along_m, np.column_stack([lat, lon])


def _point(entry: Mapping[str, Any]) -> Point:
    at_m = entry["distance_m"]
    return Point(
        number=int(entry["number"]),
        label=entry["label"],
        distance_m=at_m,
        time_s=entry["time_s"],
        lat=entry["lat"],
        lon=entry["lon"],
        action=entry["action"],
        item=entry["item"],
        portions=entry["portions"],
        carbohydrate_g=entry["carbohydrate_g"],
        fluid_ml=entry["fluid_ml"],
        sodium_mg=entry["sodium_mg"],
        caffeine_mg=entry["caffeine_mg"],
        container=entry["from"],
        stretch=int(entry["stretch"]),
        rules=tuple(entry["rules"]),
        window_m=(entry.get("window_start_m", at_m), entry.get("window_end_m", at_m)),
        reached_s=(entry["earliest_s"], entry["latest_s"])
        if {"earliest_s", "latest_s"} <= set(entry)
        else None,
    )
