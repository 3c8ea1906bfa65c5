"""An invented ride of 120 km with every kind of mark and names that try to break the writers.

Nothing here is computed by the planner: the writers' tests need a plan whose every value is
known beforehand. The road is a wavy ring over four hills; names come in several scripts and
carry quotes, markup, backticks, emoji and right-to-left letters.
"""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from terrain_fuel.assembly.labels import label_points
from terrain_fuel.day import Day, Feed
from terrain_fuel.demand.model import Demand, FuelBalance
from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray, FloatArray
from terrain_fuel.hands import Hands
from terrain_fuel.pace.model import Pace, Stop
from terrain_fuel.pantry import DEFAULT_CONTAINERS, DEFAULT_ITEMS, Item, Pantry
from terrain_fuel.plan import (
    Action,
    BottleFill,
    FuelPoint,
    Optimality,
    Packed,
    Plan,
    Preparation,
    Reserve,
    Timeline,
    Totals,
)
from terrain_fuel.rider import Habits, Rider, RoadUnit
from terrain_fuel.terrain.model import Corner, Profile, Stretch, StretchKind, Terrain
from terrain_fuel.track import Relief, Track, Waypoint, WaypointKind

LENGTH_M = 120_000.0
STEP_M = 25.0
NODES = int(LENGTH_M / STEP_M) + 1
METRES_A_DEGREE = 111_195.0
CENTRE_LAT_DEG, CENTRE_LON_DEG = 46.3, 7.1

SCRIPT_NAME = "</script><script>window.hacked=1</script>"
TEMPLATE_NAME = "`${window.hacked=2}` {{7*7}} {% raw %}"
IMAGE_NAME = '<img src=x onerror="window.hacked=3"> rice \'n\' "nut" & fig'
RTL_NAME = "\u0643\u0639\u0643 \u0628\u0627\u0644\u062a\u0645\u0631"
GREEK_NAME = "Ψωμί με μέλι"
CYRILLIC_NAME = "Пряник с мёдом"
ACCENT_NAME = "Crêpe fourrée à l’œuf"
EMOJI_NAME = "🍐 dried pear 🚵‍♀️"
HOSTILE_NAMES = (
    SCRIPT_NAME, TEMPLATE_NAME, IMAGE_NAME, RTL_NAME, GREEK_NAME, CYRILLIC_NAME, ACCENT_NAME, EMOJI_NAME,
)  # fmt: skip

FOODS = (
    "soft loaf with fig", "oat square", ACCENT_NAME, "salted potato", SCRIPT_NAME, "spice loaf",
    GREEK_NAME, "dried pear", CYRILLIC_NAME, IMAGE_NAME, "oat square", RTL_NAME, "fig slice", TEMPLATE_NAME,
    "raisin ball", EMOJI_NAME, "plain gel", "barley sugar",
)  # fmt: skip

# kind, length [km], mean grade [%], name
ROAD: tuple[tuple[StretchKind, float, float, str], ...] = (
    ("flat", 8.0, 0.3, ""),
    ("climb", 7.0, 6.5, "Col d’Étrangle"),
    ("descent", 6.0, -6.2, ""),
    ("flat", 10.0, 0.1, "Plain of O'Neverwas"),
    ("climb", 12.0, 5.0, "Ράχη του Ανέμου"),
    ("descent", 11.0, -5.4, ""),
    ("flat", 9.0, 0.0, ""),
    ("climb", 4.0, 8.6, "Старый перевал"),
    ("descent", 3.5, -7.2, ""),
    ("flat", 14.0, -0.2, ""),
    ("climb", 9.0, 5.6, SCRIPT_NAME),
    ("descent", 8.0, -5.0, ""),
    ("flat", 18.5, -0.4, ""),
)
REFILLS = ((31_000.0, "Βρύση «Πηγή»"), (63_400.0, IMAGE_NAME), (96_000.0, "Kiosk 'Zum \"Bären\"'"))

PLACES = ((4_200.0, RTL_NAME), (52_000.0, "Øvre Dal"), (110_500.0, TEMPLATE_NAME))


@lru_cache(maxsize=4)
def sample_plan(units: RoadUnit = "km", with_relief: bool = True) -> Plan:
    """Return the invented plan; ``units`` is km or miles."""
    terrain = sample_terrain(with_relief)
    day = Day(feeds=tuple(Feed(at_m / 1000, name) for at_m, name in REFILLS))
    rider = Rider(caffeine_mg_max=100.0, habits=Habits(units=units))
    pace = _pace(terrain)
    demand = _demand(pace)
    points = _fuel_points(terrain, pace)
    timeline = _timeline(terrain, pace, demand, points)
    totals = Totals(
        pace.moving_time_s, pace.elapsed_s, pace.work_j / 1000,
        sum(p.carbohydrate_g for p in points), 62.0, sum(p.fluid_ml for p in points if p.action == "sip"),
        1900.0, 100.0, 0.58,
    )  # fmt: skip
    names = dict.fromkeys(FOODS)
    known = {item.name for item in DEFAULT_ITEMS}
    items = DEFAULT_ITEMS + tuple(Item(name, "solid", 24.0, mass_g=40) for name in names if name not in known)
    return Plan(
        f'Four passes & "home" {SCRIPT_NAME} Διαδρομή',
        terrain, pace, demand, FuelBalance(*_stores(demand)),
        Hands(np.ones(NODES), _vetoed(terrain)), rider, Pantry(items, DEFAULT_CONTAINERS), day,
        points, timeline, totals, Optimality(20.0, 18.5, 0.075), _bottles(), _packing(points),
        (Reserve("fig slice", "right pocket", 2, 31.0), Reserve("plain gel", "right pocket", 1, 25.0)),
        _preparation(), sample_cautions(),
        (fact("drink_strong", item=RTL_NAME, carbohydrate_share=0.094),),
        (), ("J14", "Ma98"),
    )  # fmt: skip


@lru_cache(maxsize=2)
def sample_terrain(with_relief: bool = True) -> Terrain:
    """Return the invented road alone, as it is before planning."""
    lat, lon = _path()
    distance = np.linspace(0.0, LENGTH_M, NODES)
    grade = _grade(distance)
    elevation = 300.0 + np.concatenate(([0.0], np.cumsum(grade[:-1] * STEP_M)))
    heading = np.degrees(np.arctan2(np.gradient(lon) * np.cos(np.radians(lat)), np.gradient(lat))) % 360.0
    waypoints = tuple(_waypoint(at_m, name, "place", distance, lat, lon) for at_m, name in PLACES) + tuple(
        _waypoint(at_m, name, "refill", distance, lat, lon) for at_m, name in REFILLS
    )
    track = Track(
        "Four passes", "four-passes.gpx", lat, lon, distance, elevation, np.zeros(NODES, bool),
        elevation_source="tiles", waypoints=tuple(sorted(waypoints, key=lambda place: place.distance_m)),
    )  # fmt: skip
    zeros = np.zeros(NODES)
    profile = Profile(
        STEP_M, distance, lat, lon, heading, elevation, zeros + 2.0, grade, zeros + 0.005,
        zeros + np.inf, np.zeros(NODES, bool),
    )  # fmt: skip
    stretches = _stretches(elevation)
    climbed = float(np.sum(np.maximum(0.0, np.diff(elevation))))
    fallen = float(np.sum(np.maximum(0.0, -np.diff(elevation))))
    relief = _relief(lat, lon, elevation) if with_relief else None
    return Terrain(track, profile, stretches, _corners(), (), climbed, fallen, relief=relief)


def _waypoint(
    at_m: float, name: str, kind: WaypointKind, distance: FloatArray, lat: FloatArray, lon: FloatArray
) -> Waypoint:
    place = float(np.interp(at_m, distance, lat)), float(np.interp(at_m, distance, lon))
    return Waypoint(name, kind, *place, at_m)


def _path() -> tuple[FloatArray, FloatArray]:
    """Return a wavy ring, evenly spaced along its length."""
    turn = np.linspace(0.02, 2 * np.pi - 0.02, 60_001)
    radius = 1 + 0.22 * np.sin(2 * turn + 0.6) + 0.13 * np.sin(5 * turn) + 0.012 * np.sin(70 * turn)
    x, y = radius * np.sin(turn) * 1.15, radius * np.cos(turn)
    along = np.concatenate(([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))))
    scale = LENGTH_M / along[-1] / METRES_A_DEGREE
    even = np.linspace(0.0, along[-1], NODES)
    lat = CENTRE_LAT_DEG + scale * np.interp(even, along, y)
    lon = CENTRE_LON_DEG + scale * np.interp(even, along, x) / np.cos(np.radians(CENTRE_LAT_DEG))
    return lat, lon


def _grade(distance_m: FloatArray) -> FloatArray:
    ends = 1000.0 * np.cumsum([length for _, length, *_ in ROAD])
    grades = np.array([percent / 100 for _, _, percent, *_ in ROAD])
    grade = grades[np.minimum(np.searchsorted(ends, distance_m, side="right"), grades.size - 1)]
    wave = 1 + 0.45 * np.sin(distance_m / 430.0) + 0.25 * np.sin(distance_m / 1370.0)
    smooth = np.convolve(np.pad(grade * wave, 8, mode="edge"), np.full(17, 1 / 17), mode="valid")
    return np.asarray(smooth)


def _stretches(elevation_m: FloatArray) -> tuple[Stretch, ...]:
    made, start = [], 0.0
    for kind, length_km, percent, name in ROAD:
        end = start + 1000 * length_km
        gain = float(elevation_m[round(end / STEP_M)] - elevation_m[round(start / STEP_M)])
        made.append(
            Stretch(kind, start, end, gain, gain / (end - start), 1.6 * percent / 100,
                    rolling=kind == "flat", climb_index=3.0 if kind == "climb" else 0.0, name=name)
        )  # fmt: skip
        start = end
    return tuple(made)


def _corners() -> tuple[Corner, ...]:
    return tuple(Corner("hairpin", at, at + 40.0, 12.0, 165.0) for at in np.arange(15_600.0, 20_500.0, 700.0))


def sample_cautions() -> tuple[Caution, ...]:
    """Return what is to be minded on the invented road."""
    bends = fact("tight_bends", count=12, length_m=4400.0, grade=-0.07, wet=NOTHING)
    return (
        Caution(
            "cold_summit", 14_400.0, 15_000.0, False, fact("cold_top", top_c=6.0, colder_c=9.0, feels=NOTHING)
        ),
        Caution("technical_descent", 15_400.0, 19_800.0, True, bends),
        Caution("waypoint", 29_000.0, 29_150.0, False, fact("take_care", name=IMAGE_NAME)),
        Caution("technical_descent", 43_600.0, 48_100.0, True, bends),
        Caution("tunnel", 50_200.0, 50_900.0, True, fact("lights_on", what=fact("tunnel"))),
        Caution("exposed", 66_200.0, 67_100.0, False, fact("exposed")),
        Caution("technical_descent", 67_200.0, 70_000.0, True, bends),
        Caution("heat", 84_500.0, 88_000.0, False, fact("unknown_bends")),
    )


def _vetoed(terrain: Terrain) -> BoolArray:
    axis = terrain.profile.distance_m
    veto = np.zeros(axis.size, bool)
    for caution in sample_cautions():
        if caution.hands_on:
            veto |= (axis >= caution.start_m - 200.0) & (axis <= caution.end_m)
    return veto


def _pace(terrain: Terrain) -> Pace:
    speed = np.clip(8.6 - 75.0 * terrain.profile.grade, 2.6, 13.0)
    spans = np.diff(terrain.profile.distance_m) / np.minimum(speed[1:], speed[:-1])
    moving = np.concatenate(([0.0], np.cumsum(spans)))
    clock = moving.copy()
    stops = tuple(Stop(at_m, 180.0, name) for at_m, name in REFILLS)
    for stop in stops:
        clock[terrain.profile.distance_m > stop.distance_m] += stop.duration_s
    power = np.clip(150.0 + 1400.0 * terrain.profile.grade, 0.0, 240.0)
    return Pace(terrain, speed, power, power / 220.0, moving, clock, np.full(NODES, 15.0), stops)


def _demand(pace: Pace) -> Demand:
    hours = pace.clock_s / 3600.0
    return Demand(
        pace, 95.0 * hours, 62.0 * hours, 650.0 * hours, 520.0 * hours, 420.0 * hours,
        100.0, 50.0, ((9000.0, pace.elapsed_s),), 0.12, 0.2, sources=("J14",),
    )  # fmt: skip


def _stores(demand: Demand) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    left = 450.0 - 0.36 * demand.carbohydrate_burned_g
    return left, left - 30.0, left + 30.0, 0.58 * demand.carbohydrate_burned_g


def _free(at_m: float, vetoed: BoolArray) -> float:
    """Return the nearest place before ``at_m`` where a hand may leave the bars."""
    node = round(at_m / STEP_M)
    while vetoed[node]:
        node -= 1
    return node * STEP_M


def _fuel_points(terrain: Terrain, pace: Pace) -> tuple[FuelPoint, ...]:
    vetoed = _vetoed(terrain)
    eats = {_free(at, vetoed) for at in np.linspace(11_000.0, 113_000.0, 25).round(-2)}
    sips = {_free(at + 250.0, vetoed) for at in eats} | {
        _free(at, vetoed) for at in np.linspace(4_000.0, 118_000.0, 36).round(-2)
    }
    places: list[tuple[float, Action, str]] = [(at, "eat", "") for at in sorted(eats)]
    places += [(at, "sip", "drink mix") for at in sorted(sips - eats)]
    places += [(at, "refill", "drink mix") for at, _ in REFILLS]
    places.sort()
    made: list[FuelPoint] = []
    eaten = 0
    for number, (at_m, action, item) in enumerate(places, 1):
        if action == "eat":
            item = FOODS[eaten % len(FOODS)]
            eaten += 1
        made.append(_fuel_point(number, at_m, action, item, terrain, pace))
    return label_points(made)


_AMOUNTS: dict[str, tuple[int, float, float, float, str, str, Fact]] = {
    # portions, carbohydrate [g], fluid [ml], sodium [mg], container, rule, reason
    "eat": (1, 14.7, 0.0, 20.0, "left pocket", "eat_at_crest",
            fact("moved", where=fact("moved_on_to_crest", moved_m=1800.0, stop=NOTHING),
                 rule=fact("rule_crest"))),
    "sip": (1, 3.0, 60.0, 36.0, "front bottle", "sip_with_food", fact("sip_with_the_bite")),
    "refill": (0, 0.0, 750.0, 0.0, "front bottle", "refill_when_low", fact("water_with_bites")),
}  # fmt: skip


def _fuel_point(
    number: int, at_m: float, action: Action, item: str, terrain: Terrain, pace: Pace
) -> FuelPoint:
    portions, carbohydrate, fluid, sodium, container, rule, reason = _AMOUNTS[action]
    profile, clock = terrain.profile, pace.clock_at(at_m)
    caffeine = 25.0 if item == "plain gel" else 0.0
    return FuelPoint(
        number, "", at_m, clock,
        float(np.interp(at_m, profile.distance_m, profile.lat_deg)),
        float(np.interp(at_m, profile.distance_m, profile.lon_deg)),
        action, item, portions, carbohydrate, fluid, sodium, caffeine, container,
        terrain.stretch_at(at_m), (rule, "longest_gap"), reason,
        max(0.0, at_m - 1500.0), min(LENGTH_M, at_m + 1200.0), 0.92 * clock, 1.08 * clock,
    )  # fmt: skip


def _timeline(terrain: Terrain, pace: Pace, demand: Demand, points: tuple[FuelPoint, ...]) -> Timeline:
    profile = terrain.profile
    axis = np.linspace(0.0, LENGTH_M, 1201)

    def along(column: FloatArray) -> FloatArray:
        return np.interp(axis, profile.distance_m, column)

    at = np.array([point.distance_m for point in points])
    eaten = np.array([point.carbohydrate_g for point in points])
    drunk = np.array([point.fluid_ml if point.action == "sip" else 0.0 for point in points])
    passed = axis[:, None] >= at
    return Timeline(
        axis, along(pace.clock_s), along(profile.elevation_m), along(profile.grade), along(pace.speed_m_s),
        along(pace.power_w), along(pace.effort), along(demand.carbohydrate_burned_g), passed @ eaten,
        along(450.0 - 0.36 * demand.carbohydrate_burned_g), along(demand.sweat_ml), passed @ drunk,
    )  # fmt: skip


def _bottles() -> tuple[BottleFill, ...]:
    starts = tuple(
        BottleFill(name, "drink mix", 0.0, 750.0, 40.0, 38.0, 450.0, fact("energy_and_salt"))
        for name in ("front bottle", "rear bottle")
    )
    refills = tuple(
        BottleFill("front bottle", "drink mix", at_m, 750.0, 40.0, 38.0, 450.0, fact("water_with_bites"))
        for at_m, _ in REFILLS
    )
    return starts + refills


def _packing(points: tuple[FuelPoint, ...]) -> tuple[Packed, ...]:
    bites: dict[str, int] = {}
    for point in points:
        if point.action == "eat":
            bites[point.item] = bites.get(point.item, 0) + point.portions
    return tuple(
        Packed("left pocket", item, count, 0, count / 2, 14.7 * count, 20.0 * count, "cut")
        for item, count in bites.items()
    )


def _preparation() -> tuple[Preparation, ...]:
    return (
        Preparation("evening", "cut", SCRIPT_NAME, fact("cut_into_bites", each=2)),
        Preparation(
            "evening",
            "mix",
            "drink mix",
            fact("weigh_into_bag", powder_g=40.0, fluid_ml=750.0, container="front bottle", place="mill tap"),
        ),
        Preparation(
            "evening", "freeze", "water", fact("freeze_half", half_ml=375.0, container="front bottle")
        ),
        Preparation("morning", "pack", GREEK_NAME, fact("packed_whole", count=2.0, item=GREEK_NAME)),
        Preparation("morning", "check", "sun", fact("check_sun")),
    )


def _relief(lat: FloatArray, lon: FloatArray, elevation: FloatArray) -> Relief:
    """Return a surface that passes near the road's heights, with ridges away from it."""
    pad = 0.05
    rows = np.linspace(lat.min() - pad, lat.max() + pad, 240)
    columns = np.linspace(lon.min() - pad, lon.max() + pad, 300)
    shrink = np.cos(np.radians(CENTRE_LAT_DEG))
    knots = slice(None, None, 24)
    d2 = (
        (rows[:, None, None] - lat[knots]) ** 2
        + ((columns[None, :, None] - lon[knots]) * shrink) ** 2
    ).astype(np.float32)  # fmt: skip
    weight = 1.0 / (d2 + 2e-5) ** 2
    surface = (weight @ elevation[knots].astype(np.float32)) / weight.sum(axis=2)
    away = np.minimum(1.0, np.sqrt(d2.min(axis=2)) / 0.05)
    y, x = rows[:, None] * 60.0, columns[None, :] * 60.0 * shrink
    ridges = (
        np.sin(y / 1.1 + np.sin(x / 2.3))
        + 0.7 * np.sin(x / 0.9 + np.cos(y / 1.7))
        + 0.4 * np.sin((x + y) / 0.37)
    )
    heights = np.maximum(120.0, surface + away * (260.0 + 230.0 * ridges))
    heights[:3, :6] = np.nan
    return Relief(rows, columns, heights)


def at_the_date_line(plan: Plan) -> Plan:
    """Return the plan with a track that ends on the meridian of 180 degrees."""
    track = plan.terrain.track
    lon_deg = np.clip(track.lon_deg - track.lon_deg.max() + 180.0, -180.0, 180.0)
    return replace(plan, terrain=replace(plan.terrain, track=replace(track, lon_deg=lon_deg)))
