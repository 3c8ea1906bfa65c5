"""Every setting at its smallest and largest, and the costly ones together: is any plan slow or large?

`python -m bench.bench_edges` plans each in a process of its own, with mishaps and files as the command does,
and prints the slowest in CPU time and the largest in memory, with the work that was counted for each;
`--km 60 --km 400` chooses made roads and `--demo loop-120` one of the demo's, `--shown 12` says how many are
printed, `--random 50` plans so many with every setting at random instead. A plan may take `MOST_S` of CPU
and `MOST_MB`.
"""

import argparse
import os
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from terrain_fuel.collector import uncollected
from terrain_fuel.day import Day, Feed
from terrain_fuel.errors import SettingsError
from terrain_fuel.mishaps import with_mishaps
from terrain_fuel.outputs.folder import write_folder
from terrain_fuel.pantry import Container, Item, Pantry
from terrain_fuel.planner import plan_ride
from terrain_fuel.rider import Bike, Habits, Rider
from terrain_fuel.track import Relief, Track
from tests.demo import ROUTE_NAMES, demo_route
from tests.made_roads import Road, make_track

MOST_S, MOST_MB = 10.0, 1000.0
ROADS_KM = (60.0, 200.0)


class Edge(NamedTuple):
    """Settings at an edge of what is allowed."""

    name: str
    rider: Rider = Rider()
    day: Day = Day()
    pantry: Pantry = Pantry()


class Cost(NamedTuple):
    """What a plan took."""

    name: str
    cpu_s: float
    peak_mb: float
    ended: int
    work: float


def either_end(settings: Any) -> Iterator[tuple[str, Any]]:
    """Yield settings with one field at its smallest or largest, or another of its words."""
    for setting in fields(settings):
        meta, now = setting.metadata, getattr(settings, setting.name)
        values = meta.get("allowed", [not now] if isinstance(now, bool) else [])
        if "low" in meta:
            values = [type(now or 0.0)(meta[end]) for end in ("low", "high")]
        for value in values:
            changes = {setting.name: value}
            if setting.name == "carbohydrate_limit_g_per_h":
                changes["limit_above_90"] = True
            if setting.name == "eat_every_min":
                changes["longest_gap_min"] = max(value, now)
            try:
                yield f"{setting.name} {value}", replace(settings, **changes)
            except SettingsError:
                continue  # some go with others only


def every_item(**changes: Any) -> Pantry:
    """Return the usual kitchen with all food changed."""
    items = (replace(item, **changes) if item.is_food else item for item in Pantry().items)
    return Pantry(tuple(items))


def kitchens() -> Iterator[tuple[str, Pantry]]:
    """Yield kitchens with every field of the food at an edge, and with much of everything."""
    usual = Pantry()
    for setting in fields(Item):
        for end in ("low", "high"):
            if end in setting.metadata:
                now = getattr(usual.items[0], setting.name)
                changes = {setting.name: type(now)(setting.metadata[end])}
                yield f"all food {setting.name} {end}", every_item(**changes)
    chews = tuple(Item(f"chew {i}", "chew", 4.0 + i, count=50) for i in range(60))
    mixes = tuple(
        Item(f"mix {i}", "drink_mix", 20.0 + i, count=40, powder_g=40.0, water_ml=500.0) for i in range(12)
    )
    bottles = tuple(Container(f"bottle {i}", "bottle", holds_ml=400.0 + 100.0 * i) for i in range(12))
    pockets = tuple(Container(f"pocket {i}", "pocket", holds_items=100) for i in range(12))
    yield "sixty chews", replace(usual, items=(*usual.items, *chews))
    yield "sixty chews in large pockets", Pantry((*usual.items, *chews), (*usual.containers, *pockets))
    yield "twelve mixes", replace(usual, items=(*usual.items, *mixes))
    yield "twelve bottles", replace(usual, containers=(*usual.containers, *bottles))
    yield "all of it", Pantry((*usual.items, *chews, *mixes), (*usual.containers, *bottles, *pockets))
    yield "twenty bites of each", every_item(portions=20, count=50)
    yield (
        "a thousand of each, large pockets",
        replace(every_item(count=1000), containers=(*usual.containers, *pockets)),
    )


def costly(km: float) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield what makes a plan long, each to be paired with each."""
    often = Habits(eat_every_min=5.0, longest_gap_min=10.0)
    feeds = tuple(Feed(at_km=km * i / 61.0, name=f"tap {i}", sure=i % 3 > 0) for i in range(1, 61))
    kitchen = dict(kitchens())
    yield "every five minutes", {"habits": often}
    yield "50 W", {"rider": {"ftp_w": 50.0}}
    yield "sips of 20 ml", {"habits": Habits(sip_ml=20.0)}
    yield "a race", {"day": {"purpose": "race"}}
    yield "sixty taps", {"day": {"feeds": feeds}}
    yield "all of it", {"pantry": kitchen["all of it"]}
    yield "twenty bites of each", {"pantry": kitchen["twenty bites of each"]}
    yield "caffeine", {"rider": {"caffeine_mg_max": 400.0}, "pantry": every_item(caffeine_mg=20.0)}
    yield "120 g an hour", {"rider": {"carbohydrate_limit_g_per_h": 120.0, "limit_above_90": True}}
    yield "halting for an hour in an hour", {"habits": Habits(halting_min_per_h=60.0)}
    yield "little effort", {"day": {"effort_flat": 0.2, "effort_climb": 0.2}}


def pairs(km: float) -> Iterator[Edge]:
    """Yield every two of the costly settings together, and those of the longest ride all at once."""
    all_costly = list(costly(km))
    for i, (one, first) in enumerate(all_costly):
        for other, second in all_costly[i + 1 :]:
            yield joined(f"{one}, {other}", first, second)
    few = ("every five minutes", "50 W", "a race", "sixty taps", "all of it", "little effort")
    yield joined(", ".join(few), *(dict(all_costly)[name] for name in few))


def joined(name: str, *changes: Mapping[str, Any]) -> Edge:
    """Return settings with several changes; of two kitchens or habits the later counts, field by field."""
    habits, rider, day, pantry = Habits(), Rider(), Day(), Pantry()
    for change in changes:
        if "habits" in change:
            unlike = {
                f.name: value
                for f in fields(Habits)
                if (value := getattr(change["habits"], f.name)) != getattr(Habits(), f.name)
            }
            habits = replace(habits, **unlike)
        rider = replace(rider, **change.get("rider", {}))
        day = replace(day, **change.get("day", {}))
        pantry = change.get("pantry", pantry)
    return Edge(name, replace(rider, habits=habits), day, pantry)


def edges(km: float) -> Iterator[Edge]:
    """Yield all settings at an edge for a road of that length."""
    yield Edge("as usual")
    for name, rider in either_end(Rider()):
        yield Edge(name, rider=rider)
    for name, bike in either_end(Bike()):
        yield Edge(name, rider=Rider(bike=bike))
    for name, habits in either_end(Habits()):
        yield Edge(name, rider=Rider(habits=habits))
    for name, day in either_end(Day()):
        yield Edge(name, day=day)
    for name, pantry in kitchens():
        yield Edge(name, pantry=pantry)
    yield from pairs(km)


def at_random(count: int) -> Iterator[Edge]:
    """Yield settings with every ranged field, of the food too, anywhere within its range, all at once."""
    for number in range(count):
        rng = np.random.default_rng(number)
        foods = tuple(anywhere(item, rng) if item.is_food else item for item in Pantry().items)
        rider = replace(anywhere(Rider(), rng), bike=anywhere(Bike(), rng))
        rider = replace(rider, habits=anywhere(Habits(), rng))
        yield Edge(f"at random {number}", rider, anywhere(Day(), rng), Pantry(foods))


def anywhere(settings: Any, rng: np.random.Generator) -> Any:
    """Return settings with every field anywhere within its range; one that others do not allow stays."""
    for setting in fields(settings):
        meta = setting.metadata
        if "low" not in meta and "allowed" not in meta:
            continue
        low, high = meta.get("low", 0), meta.get("high", 0)
        whole = isinstance(getattr(settings, setting.name), int)
        number = int(rng.integers(low, high, endpoint=True)) if whole else float(rng.uniform(low, high))
        value = rng.choice(meta["allowed"]).item() if "allowed" in meta else number
        try:
            settings = replace(settings, **{setting.name: value})
        except SettingsError:
            continue
    return settings


def made_road(km: float) -> tuple[Track, None]:
    """Return a made road with a tap every 40 km, and no relief."""
    return make_track(Road(km, hilliness=0.03, taps=tuple(range(20, int(km) - 1, 40)))), None


def cost_of(edge: Edge, road: tuple[Track, Relief | None]) -> Cost:
    """Return what a plan and its files take in a process of its own."""
    told, telling = os.pipe()
    child = os.fork()
    if child == 0:
        code = 70
        try:
            os.write(telling, str(plan_and_write(edge, road)).encode())
            code = 0
        finally:
            os._exit(code)
    os.close(telling)
    with os.fdopen(told) as done:
        work = float(done.read() or 0.0)
    _, status, used = os.wait4(child, 0)
    return Cost(edge.name, used.ru_utime + used.ru_stime, used.ru_maxrss / 1000.0, status, work)


@uncollected()
def plan_and_write(edge: Edge, road: tuple[Track, Relief | None]) -> float:
    """Plan as the command does, with its mishaps and its files, and return the work that was counted."""
    track, relief = road
    plan = with_mishaps(plan_ride(track, edge.rider, edge.pantry, edge.day, relief))
    with tempfile.TemporaryDirectory() as folder:
        write_folder(plan, Path(folder) / "ride")
    return plan.work_done / 1e9


def main() -> None:
    """Print the costliest edges of each road, and how many are over what a plan may take."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--km", type=float, action="append")
    parser.add_argument("--demo", action="append", default=[], choices=ROUTE_NAMES)
    parser.add_argument("--shown", type=int, default=8)
    parser.add_argument("--only", default="", help="names that hold this")
    parser.add_argument("--random", type=int, default=0, help="so many with every setting at random instead")
    chosen = parser.parse_args()
    lengths = chosen.km or (() if chosen.demo else ROADS_KM)
    roads = [made_road(km) for km in lengths] + [demo_route(name) for name in chosen.demo]
    for road in roads:
        km = float(road[0].distance_m[-1]) / 1000.0
        asked = at_random(chosen.random) if chosen.random else edges(km)
        costs = [cost_of(edge, road) for edge in asked if chosen.only in edge.name]
        print(f"{km:.0f} km, {len(costs)} settings at an edge: s of CPU, peak MB, 10^9 numbers")
        for by in sorted(costs, key=lambda c: -c.cpu_s)[: chosen.shown]:
            print(f"  slow   {by.cpu_s:>6.1f} {by.peak_mb:>6.0f} {by.work:>6.2f}  {by.name}")
        for by in sorted(costs, key=lambda c: -c.peak_mb)[:3]:
            print(f"  large  {by.cpu_s:>6.1f} {by.peak_mb:>6.0f} {by.work:>6.2f}  {by.name}")
        for by in costs:
            if by.ended:
                print(f"  broke  {by.ended}  {by.name}")
        over = sum(cost.cpu_s > MOST_S or cost.peak_mb > MOST_MB for cost in costs)
        print(f"  {over} over {MOST_S:g} s or {MOST_MB:g} MB")


if __name__ == "__main__":
    main()
