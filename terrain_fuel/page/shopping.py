"""What to buy for one ride, or for all of the seven days from it: what is eaten, less what is at home."""

import math
import tomllib
from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from terrain_fuel.errors import TerrainFuelError
from terrain_fuel.page.ride import Ride
from terrain_fuel.plan import Plan
from terrain_fuel.rides.ride_folder import settings_path
from terrain_fuel.rides.texts import read_text

WEEK = timedelta(days=7)


def rides_of_the_week(one: Ride, rides: Sequence[Ride]) -> tuple[Ride, ...]:
    """Return a ride and those that start within seven days after it, in order of their starts."""
    begin = one.planned().plan.day.start
    starts = [(_start_in(each.folder), each) for each in rides if each is not one]
    within = [(start, each) for start, each in starts if start is not None and begin <= start < begin + WEEK]
    return (one, *(each for _, each in sorted(within, key=lambda pair: pair[0])))


def shopping_list(plans: Sequence[Plan]) -> list[dict[str, Any]]:
    """Return a line for every food and powder: what the rides take, what is at home, what to buy.

    Eaten is what all of them plan; of what is kept back the most that one of them carries, for it comes
    home again. What is at home is what the first ride's kitchen says; powder counts in servings.
    """
    eaten: dict[str, float] = defaultdict(float)
    kept: dict[str, float] = defaultdict(float)
    for plan in plans:
        kept_here: dict[str, float] = defaultdict(float)
        for packed in plan.packing:
            if packed.form != "powder":
                portions = plan.pantry.item(packed.item).portions
                eaten[packed.item] += packed.portions_planned / portions
                kept_here[packed.item] += packed.portions_reserve / portions
        for fill in plan.bottles:
            if fill.powder_g > 0:
                eaten[fill.item] += fill.powder_g / plan.pantry.item(fill.item).powder_g
        for name, count in kept_here.items():
            kept[name] = max(kept[name], count)
    home = {item.name: item.count for item in plans[0].pantry.items}
    lines = []
    for name in sorted(eaten.keys() | kept.keys()):
        wanted = math.ceil(round(eaten[name] + kept[name], 6))
        at_home = home.get(name, 0)
        lines.append({"item": name, "wanted": wanted, "home": at_home, "buy": max(0, wanted - at_home)})
    return lines


def _start_in(folder: Path) -> datetime | None:
    """Return when a ride's day file says that it starts, None where it does not say it whole."""
    path = settings_path(folder, "day")
    try:
        day = tomllib.loads(read_text(path))["day"]["start"] if path is not None else None
        start = day if isinstance(day, datetime) else datetime.fromisoformat(str(day))
    except (TerrainFuelError, ValueError, KeyError, TypeError):
        return None
    return start if start.tzinfo is not None else None
