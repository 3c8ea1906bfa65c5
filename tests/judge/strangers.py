"""Days of another hand than the batteries': roads by their knots, as a planning page writes them, and files
that say little.

Nothing is shared with `days` but the words for TOML, so that a planner that fits those roads and kitchens too
well is found out.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from random import Random

from tests.judge.kitchens import Table, toml_text

STRANGERS = 120
"""How many days there are."""

Knot = tuple[float, float]
"""Kilometre and height [m] of a knot of the profile."""

LENGTHS_KM = (45.0, 60.0, 80.0, 100.0, 130.0, 160.0)
STYLES = ("flat", "rolling", "hilly", "passes", "mixed", "hilly")
M_PER_DEG = 111_195.0
"""On a sphere of the earth's mean radius."""


@dataclass(frozen=True, slots=True)
class Stranger:
    """A day's files: names and their text; ``words`` tell it."""

    words: str
    texts: Mapping[str, str]

    def write(self, folder: Path) -> dict[str, Path]:
        """Write the files there are; return them by stem."""
        folder.mkdir(parents=True, exist_ok=True)
        paths = {name.split(".")[0]: folder / name for name in self.texts}
        for path in paths.values():
            path.write_text(self.texts[path.name], encoding="utf-8")
        return paths


def make_stranger(number: int) -> Stranger:
    """Return one of the days; the same every time."""
    rng = Random(f"stranger {number}")
    style, km = rng.choice(STYLES), rng.choice(LENGTHS_KM)
    if style == "passes":
        km = min(km, 100.0)
    knots = _knots(rng, style, km)
    race, warm_c = rng.random() < 0.35, rng.choice((6.0, 14.0, 19.0, 23.0, 27.0))
    limit = rng.choice((50.0, 60.0, 75.0, 90.0, 90.0))
    hours = knots[-1][0] / 27.0 + _climbed_m(knots) / (1100.0 if race else 900.0)
    taps_km = _taps_km(rng, knots[-1][0], hours, 1.1 if warm_c > 25.0 else 1.0)
    say_taps = rng.random() < 0.5
    rider: Table = {"rider": {"body_mass_kg": float(rng.randint(50, 90)), "ftp_w": rng.randint(165, 310)}}
    rider["rider"]["carbohydrate_limit_g_per_h"] = limit
    kitchen, items = _items(rng, hours, min(limit, 70.0))
    pockets = [
        {"name": f"{side} pocket", "kind": "pocket", "holds_items": rng.choice((7, 8, 10))}
        for side in ("left", "middle", "right")
    ]
    bottle_ml = rng.choice((550, 750, 750))
    bottles = [
        {"name": f"{end} bottle", "kind": "bottle", "holds_ml": bottle_ml} for end in ("front", "rear")
    ]
    day: Table = {"start": f"2028-0{rng.randint(4, 9)}-1{rng.randint(0, 9)}T08:15:00+02:00"}
    day |= {"temperature_c": warm_c, "humidity_pct": float(rng.randint(35, 60))}
    day |= {"wind_m_s": float(rng.randint(0, 5)), "purpose": "race" if race else "training"}
    if race:
        day |= {"effort_flat": rng.choice((0.74, 0.8)), "effort_climb": rng.choice((0.82, 0.88))}
    feeds = [{"name": f"well {i + 1}", "at_km": at} for i, at in enumerate(taps_km)]
    waypoints = () if say_taps else taps_km
    texts = {
        "route.gpx": _gpx(rng, knots, waypoints),
        "pantry.toml": toml_text({"item": items, "container": [*bottles, *pockets]}),
        "day.toml": toml_text({"day": day, "feed": feeds if say_taps else []}),
    }
    if rng.random() < 0.85:
        texts["rider.toml"] = toml_text(rider)
    words = (style, f"{km:.0f} km", kitchen, f"{limit:.0f} g/h", f"{warm_c:.0f} C", day["purpose"])
    return Stranger(", ".join(words), texts)


def _knots(rng: Random, style: str, km: float) -> list[Knot]:
    """Return the profile, level at its end."""
    knots: list[Knot] = [(0.0, rng.uniform(80.0, 500.0))]
    while knots[-1][0] < km - 3.0:
        kind = rng.choice(("flat", "rolling", "hilly")) if style == "mixed" else style
        length_km, grade = {
            "flat": (rng.uniform(4.0, 14.0), rng.gauss(0.0, 0.004)),
            "rolling": (rng.uniform(0.8, 3.5), rng.choice((-1, 1)) * rng.uniform(0.01, 0.045)),
            "hilly": (rng.uniform(2.0, 7.0), rng.choice((-1, 1)) * rng.uniform(0.02, 0.065)),
            "passes": (rng.uniform(7.0, 15.0), (-1) ** len(knots) * -rng.uniform(0.05, 0.075)),
        }[kind]
        at_km = min(knots[-1][0] + length_km, km)
        height_m = knots[-1][1] + 1000.0 * grade * (at_km - knots[-1][0])
        knots.append((at_km, max(20.0, height_m)))
    return [*knots, (km, knots[-1][1])] if knots[-1][0] < km else knots


def _climbed_m(knots: Sequence[Knot]) -> float:
    return sum(max(0.0, after[1] - before[1]) for before, after in pairwise(knots))


def _taps_km(rng: Random, km: float, hours: float, thirst: float) -> list[float]:
    """Return where there is water: about every hour and a half, in the heat oftener."""
    every_km, taps = 1.5 / thirst * km / hours, []
    at_km = every_km * rng.uniform(0.7, 1.0)
    while at_km < km - 6.0:
        taps.append(round(at_km, 1))
        at_km += every_km * rng.uniform(0.8, 1.05)
    return taps


def _items(rng: Random, hours: float, wanted_g_per_h: float) -> tuple[str, list[Table]]:
    """Return a kitchen by name with half as much again as is wanted."""
    kitchen = rng.choice(("all sorts", "gels", "solids", "bottles"))
    solid, gel, mix = {
        "all sorts": (0.6, 0.4, 0.5),
        "gels": (0.0, 0.9, 0.6),
        "solids": (1.2, 0.3, 0.0),
        "bottles": (0.2, 0.3, 1.0),
    }[kitchen]
    wanted_g = hours * wanted_g_per_h
    sorts: list[tuple[str, str, float, float, Table]] = [
        (
            "chestnut cake",
            "solid",
            rng.choice((24.0, 33.0, 41.0)),
            solid,
            {"portions": rng.choice((1, 2, 3))},
        ),
        ("boiled potato", "solid", rng.choice((17.0, 25.0)), solid / 4, {"soft": True, "taste": "salty"}),
        ("thick syrup", "gel", rng.choice((20.0, 26.0, 35.0)), gel, {}),
        ("bottle powder", "drink_mix", 36.0, mix, {"powder_g": 38.0, "water_ml": 550.0, "sodium_mg": 250}),
    ]
    items = [
        {"name": name, "kind": kind, "carbohydrate_g": each_g, **more}
        | {"count": max(2, math.ceil(share * wanted_g / each_g))}
        for name, kind, each_g, share, more in sorts
        if share
    ]
    return kitchen, items


def _gpx(rng: Random, knots: Sequence[Knot], taps_km: Sequence[float]) -> str:
    """Return the road as GPX: gentle bends, tighter ones on slopes, heights a third of a metre off."""
    step_m = rng.choice((12.0, 18.0, 25.0))
    count = int(1000.0 * knots[-1][0] / step_m)
    waves = [(rng.uniform(350.0, 2200.0), rng.uniform(0.0, 6.3), rng.uniform(0.3, 2.5)) for _ in range(5)]
    north_m = east_m = heading = 0.0
    turn = left_m = 0.0
    lines: list[str] = []
    wells: list[str] = []
    for index in range(count + 1):
        along_m = index * step_m
        height_m, grade = _height_and_grade(knots, along_m / 1000.0)
        height_m += sum(size * math.sin(6.283 * along_m / wave + phase) for wave, phase, size in waves)
        if left_m <= 0.0:
            left_m = rng.expovariate(1 / (150.0 if abs(grade) > 0.045 else 450.0))
            turn = min(0.07, max(-0.07, rng.gauss(0.0, 0.011 if abs(grade) > 0.045 else 0.003)))
        lat_deg = 44.0 + north_m / M_PER_DEG
        lon_deg = 7.0 + east_m / (M_PER_DEG * math.cos(math.radians(44.0)))
        place = f'lat="{lat_deg:.6f}" lon="{lon_deg:.6f}"'
        lines.append(f"<trkpt {place}><ele>{height_m + rng.gauss(0.0, 0.33):.1f}</ele></trkpt>")
        if len(wells) < len(taps_km) and along_m >= 1000.0 * taps_km[len(wells)]:
            wells.append(f"<wpt {place}><name>well {len(wells) + 1}</name><sym>Drinking Water</sym></wpt>")
        heading += turn * step_m
        left_m -= step_m
        north_m += step_m * math.cos(heading)
        east_m += step_m * math.sin(heading)
    head = '<gpx version="1.1" creator="stranger" xmlns="http://www.topografix.com/GPX/1/1">'
    track = f"<trk><name>Stranger</name><trkseg>{''.join(lines)}</trkseg></trk>"
    return f"{head}{''.join(wells)}{track}</gpx>"


def _height_and_grade(knots: Sequence[Knot], at_km: float) -> tuple[float, float]:
    """Return the height [m], eased at the knots, and the mean grade between them."""
    part = max(1, next((i for i, knot in enumerate(knots) if knot[0] >= at_km), len(knots) - 1))
    (from_km, from_m), (to_km, to_m) = knots[part - 1], knots[part]
    share = min(1.0, max(0.0, (at_km - from_km) / (to_km - from_km)))
    eased = 0.5 * share + 0.5 * share * share * (3.0 - 2.0 * share)
    return from_m + (to_m - from_m) * eased, (to_m - from_m) / (1000.0 * (to_km - from_km))
