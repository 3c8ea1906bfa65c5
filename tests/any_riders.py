"""Riders, kitchens and days over all that settings allow: the usual, the odd, and labels that were misread.

Each is drawn from one number, so that a plan that went wrong can be planned again by itself.
"""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np

from terrain_fuel.day import DEFAULT_START, Day, Feed
from terrain_fuel.descending import DESCENDING
from terrain_fuel.pantry import DEFAULT_ITEMS, WATER, Container, Item, Pantry
from terrain_fuel.rider import Bike, Habits, Rider
from tests.made_rides import FEW_CONTAINERS, POOR_PANTRIES, Ride
from tests.made_roads import Road

SHORTEST_KM, LONGEST_KM = 5.0, 250.0
ODD_SHARE, MISREAD_SHARE, YOUNG_SHARE = 0.5, 0.15, 0.15
"""Shares of riders with odd settings; of foods with a label misread by ten; of riders under 18."""


def any_ride(number: int) -> Ride:
    """Return the ride of a number."""
    rng = np.random.default_rng(number)
    odd = bool(rng.random() < ODD_SHARE)
    length_km = float(SHORTEST_KM * (LONGEST_KM / SHORTEST_KM) ** rng.beta(3.0, 2.0))
    return Ride(_road(rng, length_km), _rider(rng, odd), _pantry(rng, odd), _day(rng, odd, length_km))


def _between(
    rng: np.random.Generator, usual: tuple[float, float], wide: tuple[float, float], odd: bool
) -> Any:
    return float(rng.uniform(*(wide if odd and rng.random() < 0.5 else usual)))


def _road(rng: np.random.Generator, length_km: float) -> Road:
    taps = rng.uniform(1.0, length_km - 1.0, int(rng.poisson(length_km / 35.0)))
    return Road(
        length_km,
        hilliness=float(rng.choice([0.0, 0.02, 0.05, 0.09])),
        bends=float(rng.choice([0.0, 0.2, 0.5, 0.8])),
        hill_km=float(rng.choice([1.0, 4.0, 12.0])),
        taps=tuple(float(at_km) for at_km in sorted(taps)),
        seed=int(rng.integers(10_000)),
    )


def _rider(rng: np.random.Generator, odd: bool) -> Rider:
    young = bool(rng.random() < YOUNG_SHARE)
    limit = _between(rng, (40.0, 90.0), (20.0, 120.0), odd)
    every_min = _between(rng, (15.0, 30.0), (8.0, 60.0), odd)
    habits = Habits(
        first_food_min=_between(rng, (15.0, 45.0), (5.0, 90.0), odd),
        eat_every_min=every_min,
        longest_gap_min=max(every_min, _between(rng, (30.0, 45.0), (12.0, 120.0), odd)),
        carbohydrate_target_g_per_h=None
        if rng.random() < 0.6
        else _between(rng, (40.0, 90.0), (0.0, 120.0), odd),
        sip_ml=_between(rng, (40.0, 100.0), (20.0, 250.0), odd),
        halting_min_per_h=_between(rng, (2.0, 8.0), (0.0, 30.0), odd),
    )
    return Rider(
        body_mass_kg=_between(rng, (35.0, 70.0) if young else (50.0, 95.0), (30.0, 160.0), odd),
        ftp_w=_between(rng, (120.0, 220.0) if young else (150.0, 320.0), (80.0, 450.0), odd),
        carbohydrate_limit_g_per_h=min(limit, 90.0) if young else limit,
        limit_above_90=limit > 90.0 and not young,
        mixed_sugars=bool(rng.random() < 0.7),
        sweat_rate_ml_per_h=None
        if rng.random() < 0.6
        else _between(rng, (400.0, 1200.0), (100.0, 3000.0), odd),
        sweat_sodium_mmol_per_l=_between(rng, (20.0, 60.0), (5.0, 120.0), odd),
        caffeine_mg_max=0.0 if young else float(rng.choice([0.0, 100.0, 200.0, 400.0])),
        descending=str(rng.choice(list(DESCENDING))),
        age_y=float(rng.uniform(12.0, 18.0)) if young else None,
        heat_acclimatised=bool(rng.random() < 0.3),
        bike=Bike(lights=bool(rng.random() < 0.8), cda_m2=_between(rng, (0.28, 0.42), (0.15, 0.8), odd)),
        habits=habits,
    )


def _pantry(rng: np.random.Generator, odd: bool) -> Pantry:
    if odd and rng.random() < 0.3:
        items = POOR_PANTRIES[int(rng.integers(len(POOR_PANTRIES)))].items
    else:
        kept = [item for item in DEFAULT_ITEMS if item is WATER or rng.random() < 0.8]
        items = (*(_as_written(rng, item) for item in kept if item is not WATER), WATER)
    if rng.random() < 0.3:
        items += (
            Item("strong gel", "gel", 30.0, caffeine_mg=float(rng.choice([75.0, 100.0, 200.0])), count=4),
        )
    containers: tuple[Container, ...] = FEW_CONTAINERS[int(rng.integers(len(FEW_CONTAINERS)) if odd else 0)]
    return Pantry(items, containers)


def _as_written(rng: np.random.Generator, item: Item) -> Item:
    """Return a food with other stock and sugars and, now and then, a figure ten times what it is."""
    changed: dict[str, Any] = {"count": int(rng.integers(0, 12))}
    if rng.random() < 0.3:
        changed["sugars"] = "single"
    if rng.random() < MISREAD_SHARE:
        most = {"carbohydrate_g": 200.0, "sodium_mg": 5000.0, "caffeine_mg": 400.0}
        name = str(rng.choice(list(most)))
        changed[name] = min(10.0 * getattr(item, name), most[name])
    return replace(item, **changed)


def _day(rng: np.random.Generator, odd: bool, length_km: float) -> Day:
    feeds = tuple(
        Feed(
            at_km=float(rng.uniform(0.5, length_km)),
            offers=(("water",), ("drink mix", "water"), ("dried pear", "water"))[int(rng.integers(3))],
            minutes=float(rng.choice([0.0, 1.0, 5.0])),
            sure=bool(rng.random() < 0.7),
        )
        for _ in range(int(rng.integers(0, 3)))
    )
    return Day(
        start=DEFAULT_START + timedelta(hours=_between(rng, (-2.0, 3.0), (-8.0, 12.0), odd)),
        purpose="race" if rng.random() < 0.4 else "training",
        temperature_c=_between(rng, (8.0, 26.0), (-20.0, 45.0), odd),
        humidity_pct=_between(rng, (30.0, 80.0), (0.0, 100.0), odd),
        wind_m_s=_between(rng, (0.0, 6.0), (0.0, 20.0), odd),
        gusts_m_s=None if rng.random() < 0.7 else _between(rng, (4.0, 12.0), (0.0, 30.0), odd),
        wind_from_deg=float(rng.uniform(0.0, 360.0)),
        effort_flat=_between(rng, (0.55, 0.75), (0.3, 1.1), odd),
        effort_climb=_between(rng, (0.6, 0.85), (0.3, 1.2), odd),
        surface_wet=bool(rng.random() < 0.15),
        reserve_min=_between(rng, (15.0, 60.0), (0.0, 180.0), odd),
        feeds=feeds,
    )
