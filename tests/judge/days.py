"""Days drawn by seed, each written as the files a rider would have: route, rider, pantry and day.

The batteries share no seed: "tuning", "practice" and the big "study" may be looked at while the planner is
changed, "report" only counts.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

from tests.judge import kitchens, roads
from tests.judge.kitchens import Table

BATTERIES: Mapping[str, int] = {"tuning": 128, "practice": 128, "study": 416, "report": 128}
"""How many days each holds."""

Draw = Callable[[Random, float], list[roads.Leg]]


@dataclass(frozen=True, slots=True)
class RoadKind:
    """A kind of road: how it is drawn, how long it may be [km], and how a point is spaced [m]."""

    draw: Draw
    shortest_km: float
    longest_km: float
    point_every_m: float = 10.0


ROADS: Mapping[str, RoadKind] = {
    "flat": RoadKind(roads.flat, 60.0, 140.0),
    "rollers": RoadKind(roads.rollers, 60.0, 120.0),
    "hills": RoadKind(roads.hills, 70.0, 140.0),
    "ramps": RoadKind(roads.ramps, 60.0, 100.0),
    "passes": RoadKind(roads.passes, 90.0, 150.0),
    "farm lanes": RoadKind(roads.farm_lanes, 50.0, 110.0),
    "circuit": RoadKind(roads.circuit, 70.0, 150.0),
    "short": RoadKind(roads.hills, 30.0, 45.0),
    "long": RoadKind(roads.hills, 210.0, 280.0, 20.0),
    "brevet": RoadKind(roads.brevet, 300.0, 600.0, 25.0),
}
ORDER = (
    "flat", "rollers", "hills", "ramps", "circuit", "farm lanes", "passes", "hills",
    "rollers", "circuit", "flat", "ramps", "hills", "short", "farm lanes", "circuit",
    "rollers", "passes", "hills", "flat", "ramps", "circuit", "hills", "long",
    "rollers", "farm lanes", "flat", "passes", "circuit", "hills", "ramps", "brevet",
)  # fmt: skip

WEATHER: Mapping[str, Table] = {
    "mild": {"temperature_c": 17.0, "humidity_pct": 60.0, "wind_m_s": 2.0},
    "windy": {"temperature_c": 14.0, "humidity_pct": 55.0, "wind_m_s": 7.0, "wind_from_deg": 250.0},
    "warm": {"temperature_c": 26.0, "humidity_pct": 45.0, "wind_m_s": 2.0},
    "hot": {"temperature_c": 36.0, "humidity_pct": 30.0, "wind_m_s": 1.0},
    "cold": {"temperature_c": 2.0, "humidity_pct": 80.0, "wind_m_s": 3.0},
    "wet": {"temperature_c": 11.0, "humidity_pct": 90.0, "wind_m_s": 3.0, "surface_wet": True},
}
WEATHER_ORDER = ("mild", "warm", "mild", "windy", "cold", "mild", "hot", "wet", "mild", "warm", "mild")

ML_PER_H: Mapping[str, float] = {"hot": 1000.0, "warm": 750.0}
"""What is drunk in an hour, to space the taps by; 550 otherwise: common practice (no source)."""


@dataclass(frozen=True, slots=True)
class MadeDay:
    """One day as files' contents, and the words that it was made from."""

    name: str
    road: str
    rider: str
    kitchen: str
    weather: str
    purpose: str
    legs: Sequence[roads.Leg]
    point_every_m: float
    tables: Mapping[str, Mapping[str, Any]]

    @property
    def words(self) -> str:
        """The words that it was made from."""
        return ", ".join((self.road, self.rider, self.kitchen, self.weather, self.purpose))

    def write(self, folder: Path) -> dict[str, Path]:
        """Write route.gpx, rider.toml, pantry.toml and day.toml; return them by stem."""
        folder.mkdir(parents=True, exist_ok=True)
        route = folder / "route.gpx"
        route.write_text(roads.gpx_text(self.legs, self.name, self.point_every_m), encoding="utf-8")
        paths = {"route": route}
        for stem, tables in self.tables.items():
            paths[stem] = folder / f"{stem}.toml"
            paths[stem].write_text(kitchens.toml_text(tables), encoding="utf-8")
        return paths


def make_day(battery: str, number: int) -> MadeDay:
    """Return one day of a battery; the same words every time."""
    rng = Random(f"{battery} day {number}")
    road = ORDER[number % len(ORDER)]
    kind = ROADS[road]
    km = rng.uniform(kind.shortest_km, kind.longest_km)
    legs = roads.cut(kind.draw(rng, km), km) if road != "circuit" else kind.draw(rng, km)
    is_long = road in ("long", "brevet")
    purpose = "race" if road == "circuit" or (not is_long and number % 3 == 0) else "training"
    weather = "mild" if road == "brevet" else WEATHER_ORDER[number % len(WEATHER_ORDER)]
    rider_kind = kitchens.rider_kind(rng, purpose, is_long)
    rider = kitchens.RIDERS[rider_kind](rng)
    hours = _guessed_hours(legs, rider, purpose)
    kitchen, foods = kitchens.stocked(rng, hours, rider, purpose, is_long)
    bottles, carried_ml = kitchens.cages(rng, weather, hours)
    day: Table = {
        "start": f"2027-{'01-16T10' if weather == 'cold' else '06-19T07'}:00:00+02:00",
        "purpose": purpose,
        "effort_flat": round(rng.uniform(0.74, 0.84) if purpose == "race" else rng.uniform(0.6, 0.68), 2),
        "effort_climb": round(rng.uniform(0.84, 0.92) if purpose == "race" else rng.uniform(0.7, 0.78), 2),
        "reserve_min": 30.0 if purpose == "race" else 45.0,
        **WEATHER[weather],
    }
    every_km = _taps_every_km(legs, road, carried_ml / ML_PER_H.get(weather, 550.0), hours)
    return MadeDay(
        name=f"{battery} {number}",
        road=road,
        rider=rider_kind,
        kitchen=kitchen,
        weather=weather,
        purpose=purpose,
        legs=legs,
        point_every_m=kind.point_every_m,
        tables={
            "rider": rider,
            "pantry": {"item": foods, "container": bottles + kitchens.POCKETS},
            "day": {"day": day, "feed": _feeds(rng, legs, every_km, purpose, foods, is_long)},
        },
    )


def _guessed_hours(legs: Sequence[roads.Leg], rider: Mapping[str, Any], purpose: str) -> float:
    """Return about how long the day takes: flat road, and metres climbed at the rider's power [h]."""
    watts_per_kg = rider["rider"]["ftp_w"] / (rider["rider"]["body_mass_kg"] + 12.0)
    pace = 1.0 if purpose == "race" else 0.85
    flat_km_h = pace * (20.0 + 4.0 * watts_per_kg)
    climbing_m_per_h = 300.0 * watts_per_kg * pace
    return float(roads.length_m(legs) / 1000.0 / flat_km_h + roads.climbed_m(legs) / climbing_m_per_h)


def _taps_every_km(legs: Sequence[roads.Leg], road: str, bottles_last_h: float, hours: float) -> float:
    """Return how far apart the taps are: so that full bottles last, by the lap on a circuit."""
    km_h = roads.length_m(legs) / 1000.0 / hours
    every_km = min(70.0, max(15.0, 0.8 * bottles_last_h * km_h))
    if road == "circuit":
        lap = roads.lap_km(legs)
        return lap * max(1, int(every_km // lap))
    return every_km


def _feeds(
    rng: Random, legs: Sequence[roads.Leg], every_km: float, purpose: str, foods: list[Table], is_long: bool
) -> list[Table]:
    total_km = roads.length_m(legs) / 1000.0
    sold = [str(food["name"]) for food in foods if food["kind"] in ("solid", "chew")][:2]
    feeds, at_km, number = [], every_km, 1
    while at_km < total_km - 4.0:
        offers = ["water", *sold] if is_long and number % 2 else ["water"]
        feeds.append(
            {
                "name": f"{'Control' if is_long else 'Feed zone' if purpose == 'race' else 'Tap'} {number}",
                "at_km": round(at_km, 2),
                "offers": offers,
                "minutes": 0.5 if purpose == "race" else 10.0 if is_long else 3.0,
                "sure": purpose == "race" or rng.random() > 0.15,
            }
        )
        at_km += every_km
        number += 1
    return feeds
