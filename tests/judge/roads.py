"""Invented roads as GPX text, drawn leg by leg in plan and profile; shares no code with the package."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from random import Random

STEP_M = 5.0
EASED_OVER_M = 60.0
"""Two grades meet in a vertical curve of this length."""

SOUTH_DEG, WEST_DEG = 45.2, -6.6
DEGREE_M = 111_200.0


@dataclass(frozen=True, slots=True)
class Leg:
    """A piece of road of one grade that ends in a bend: signed turn, right positive, and its radius."""

    length_m: float
    grade: float = 0.0
    turn_deg: float = 0.0
    radius_m: float = 0.0


def length_m(legs: Sequence[Leg]) -> float:
    """Return the length of a road, bends included [m]."""
    return sum(leg.length_m + _bend_m(leg) for leg in legs)


def gpx_text(legs: Sequence[Leg], name: str, point_every_m: float = 10.0) -> str:
    """Return the road as GPX 1.1 text with a point every ``point_every_m``."""
    headings, grades = _unrolled(legs)
    heights = _heights(grades)
    east = north = 0.0
    rows, keep = [], max(1, round(point_every_m / STEP_M))
    for number, (heading, height) in enumerate(zip(headings, heights, strict=True)):
        if number % keep == 0 or number == len(headings) - 1:
            lat = SOUTH_DEG + north / DEGREE_M
            lon = WEST_DEG + east / (DEGREE_M * math.cos(math.radians(SOUTH_DEG)))
            rows.append(f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{height:.2f}</ele></trkpt>')
        east += STEP_M * math.sin(math.radians(heading))
        north += STEP_M * math.cos(math.radians(heading))
    head = '<gpx version="1.1" creator="invented roads" xmlns="http://www.topografix.com/GPX/1/1">'
    return "\n".join([head, f"<trk><name>{name}</name><trkseg>", *rows, "</trkseg></trk></gpx>", ""])


def _bend_m(leg: Leg) -> float:
    return leg.radius_m * math.radians(abs(leg.turn_deg))


def _unrolled(legs: Sequence[Leg]) -> tuple[list[float], list[float]]:
    """Return direction [degrees] and grade of the road every 5 m."""
    headings, grades, heading = [], [], 40.0
    for leg in legs:
        straight, bend = round(leg.length_m / STEP_M), round(_bend_m(leg) / STEP_M)
        headings += [heading] * straight
        headings += [heading + leg.turn_deg * (i + 0.5) / bend for i in range(bend)]
        grades += [leg.grade] * (straight + bend)
        heading += leg.turn_deg
    return headings, grades


def _heights(grades: Sequence[float]) -> list[float]:
    """Return the height of the road every 5 m: a moving mean of the grade is a parabola in height."""
    half = round(EASED_OVER_M / STEP_M / 2)
    sums = [0.0]
    for grade in grades:
        sums.append(sums[-1] + grade)
    eased = []
    for number in range(len(grades)):
        low, high = max(0, number - half), min(len(grades), number + half + 1)
        eased.append((sums[high] - sums[low]) / (high - low))
    heights = [0.0]
    for grade in eased[:-1]:
        heights.append(heights[-1] + STEP_M * grade)
    lowest = min(heights)
    return [height - lowest + 120.0 for height in heights]


def flat(rng: Random, km: float) -> list[Leg]:
    """Return a flat road with wide bends."""
    legs: list[Leg] = []
    while length_m(legs) < 1000.0 * km:
        turn = rng.choice((-1, 1)) * rng.uniform(15.0, 40.0)
        legs.append(
            Leg(rng.uniform(600.0, 3000.0), rng.uniform(-0.003, 0.003), turn, rng.uniform(90.0, 300.0))
        )
    return legs


def rollers(rng: Random, km: float) -> list[Leg]:
    """Return a road that goes up and down by some 30 to 50 m all the way."""
    legs: list[Leg] = []
    while length_m(legs) < 1000.0 * km:
        rise, gain = rng.uniform(0.03, 0.055), rng.uniform(28.0, 50.0)
        turn = rng.choice((-1, 1)) * rng.uniform(10.0, 45.0)
        legs += [
            Leg(gain / rise, rise),
            Leg(gain / rise, -rise, turn, rng.uniform(80.0, 200.0)),
            Leg(rng.uniform(200.0, 900.0)),
        ]
    return legs


def hills(rng: Random, km: float) -> list[Leg]:
    """Return hills of 80 to 250 m between flats, with a few tight bends on the way down."""
    legs: list[Leg] = []
    while length_m(legs) < 1000.0 * km:
        rise, gain = rng.uniform(0.04, 0.065), rng.uniform(80.0, 250.0)
        legs += [Leg(gain / rise, rise), Leg(rng.uniform(300.0, 1200.0)), *_down(rng, gain, rise, 45.0)]
        legs += flat(rng, rng.uniform(2.0, 7.0))
    return legs


def ramps(rng: Random, km: float) -> list[Leg]:
    """Return long climbs of 9 %, down again by hairpins, with valleys between."""
    legs = flat(rng, 8.0)
    while length_m(legs) < 1000.0 * km:
        gain = rng.uniform(350.0, 700.0)
        legs += [Leg(gain / 0.09, 0.09), Leg(400.0), *_down(rng, gain, 0.075, 150.0)]
        legs += flat(rng, rng.uniform(6.0, 14.0))
    return legs


def passes(rng: Random, km: float) -> list[Leg]:
    """Return mountain passes of 10 to 16 km at 6 to 7 %."""
    legs = flat(rng, 10.0)
    while length_m(legs) < 1000.0 * km:
        rise, climb_m = rng.uniform(0.058, 0.07), rng.uniform(10_000.0, 16_000.0)
        count = round(climb_m / 1000.0)
        legs += [Leg(climb_m / count, rise, 120.0 * (-1) ** i, 18.0) for i in range(count)]
        legs += [Leg(600.0), *_down(rng, climb_m * rise, rise, 130.0)]
        legs += flat(rng, rng.uniform(8.0, 15.0))
    return legs


def _down(rng: Random, gain_m: float, rise: float, turn_deg: float) -> list[Leg]:
    """Return a descent whose bends turn left and right, tight when they turn far."""
    count = max(1, round(gain_m / rise / 550.0))
    radius = 14.0 if turn_deg > 90.0 else rng.uniform(35.0, 80.0)
    return [Leg(gain_m / rise / count, -rise, turn_deg * (-1) ** i, radius) for i in range(count)]


def farm_lanes(rng: Random, km: float) -> list[Leg]:
    """Return lanes on the flat with a square corner every half kilometre or so."""
    legs: list[Leg] = []
    while length_m(legs) < 1000.0 * km:
        right = 90.0 * (-1) ** len(legs)
        legs.append(
            Leg(rng.uniform(350.0, 1100.0), rng.uniform(-0.004, 0.004), right, rng.uniform(9.0, 16.0))
        )
    return legs


def circuit(rng: Random, km: float) -> list[Leg]:
    """Return laps of one rectangle with square corners and one bump: the same road each lap."""
    long_m, short_m, gain = rng.uniform(2200.0, 4200.0), rng.uniform(900.0, 1800.0), rng.uniform(15.0, 45.0)
    radius = rng.uniform(9.0, 14.0)
    lap = [
        Leg(long_m, 0.0, 90.0, radius),
        Leg(short_m, gain / short_m, 90.0, radius),
        Leg(long_m, -gain / long_m, 90.0, radius),
        Leg(short_m, 0.0, 90.0, radius),
    ]
    return lap * max(2, round(1000.0 * km / length_m(lap)))


def lap_km(legs: Sequence[Leg]) -> float:
    """Return the length of one lap of a circuit [km]."""
    return length_m(legs[:4]) / 1000.0


def brevet(rng: Random, km: float) -> list[Leg]:
    """Return a very long road of flats, rollers and hills by turns."""
    legs: list[Leg] = []
    while length_m(legs) < 1000.0 * km:
        legs += rng.choice((flat, rollers, hills))(rng, rng.uniform(15.0, 40.0))
    return legs


def climbed_m(legs: Sequence[Leg]) -> float:
    """Return the sum of all rises [m]."""
    return sum(max(0.0, leg.grade) * (leg.length_m + _bend_m(leg)) for leg in legs)


def cut(legs: Sequence[Leg], km: float) -> list[Leg]:
    """Return the road up to the leg that passes ``km``."""
    ends = [0.0]
    for leg in legs:
        ends.append(ends[-1] + leg.length_m + _bend_m(leg))
    return [leg for leg, (start, _) in zip(legs, pairwise(ends), strict=True) if start < 1000.0 * km]
