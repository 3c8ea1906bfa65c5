"""plan.json read for judging: bites, sips and halts in road order, and the road at any place.

Nothing here or in the rooms of the judge imports terrain_fuel: the dictionary is all they see.
"""

from bisect import bisect_right
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

PlanDict = dict[str, Any]
Row = dict[str, Any]

SAME_PLACE_M = 30.0
"""What happens this near a halt happens at the halt."""

WATERING = ("refill", "feed")
"""Kinds of waypoints where bottles are filled."""

ROLLER_M, ROLLER_S = 40.0, 150.0

STANDING_M_S, UNLIKE = 0.5, 1.15
"""Slower nobody rides; rows by so much longer apart than the slower of their speeds makes it, or shorter than
the faster, have a halt between them, or times that are not of these speeds."""

ENDS_A_GAP_G = 8.0
"""So much carbohydrate in drink is food."""


def points(plan: PlanDict, action: str) -> list[Row]:
    """Return the fuel points of one action, in road order."""
    return [point for point in plan["fuel_points"] if point["action"] == action]


def at(plan: PlanDict, column: str, distance_m: float, by: str = "distance_m") -> float:
    """Return a column of the timeline at a place (or, ``by`` "time_s", at a time), linear between rows."""
    along, values = plan["timeline"][by], plan["timeline"][column]
    right = min(max(bisect_right(along, distance_m), 1), len(along) - 1)
    left = right - 1
    span = along[right] - along[left]
    share = min(max((distance_m - along[left]) / span, 0.0), 1.0) if span > 0 else 0.0
    return float(values[left] + share * (values[right] - values[left]))


def speed_km_h(plan: PlanDict, distance_m: float) -> float:
    """Return the speed at a place [km/h].

    Between two rows it follows the one cubic of time over distance that has their times and speeds: who
    brakes early in the 100 m between them is slow sooner than a straight line says. It is no faster and no
    slower than the rows and the mean between them: where one brakes hard and late the cubic swings beyond.
    Where a halt lies between them their times say nothing of it, and the line is straight.
    """
    along, times, speeds = (plan["timeline"][name] for name in ("distance_m", "time_s", "speed_m_s"))
    right = min(max(bisect_right(along, distance_m), 1), len(along) - 1)
    left = right - 1
    span_m = along[right] - along[left]
    if span_m > 0.0 and min(speeds[left], speeds[right]) > STANDING_M_S:
        mean, first, last = (times[right] - times[left]) / span_m, 1.0 / speeds[left], 1.0 / speeds[right]
        share = min(max((distance_m - along[left]) / span_m, 0.0), 1.0)
        s_per_m = (
            6.0 * share * (1.0 - share) * mean
            + (1.0 - share) * (1.0 - 3.0 * share) * first
            + share * (3.0 * share - 2.0) * last
        )
        slowest, fastest = max(first, last), min(first, last)
        if fastest / UNLIKE < mean < UNLIKE * slowest:
            return float(3.6 / min(max(s_per_m, min(mean, fastest)), max(mean, slowest)))
    return 3.6 * at(plan, "speed_m_s", distance_m)


def at_halt(plan: PlanDict, point: Row) -> bool:
    """Return whether a bite or sip is taken standing: at a refill or at the start."""
    here = point["distance_m"]
    return here < 1.0 or any(abs(halt - here) <= SAME_PLACE_M for halt in halts_m(plan))


def halts_m(plan: PlanDict) -> list[float]:
    """Return where the ride halts [m]."""
    return sorted({refill["distance_m"] for refill in points(plan, "refill")})


def items(plan: PlanDict) -> dict[str, Row]:
    """Return the pantry by name."""
    return {item["name"]: item for item in plan["pantry"]["item"]}


def foods(plan: PlanDict) -> list[Row]:
    """Return what is bitten, chewed or swallowed, in stock."""
    return [item for item in plan["pantry"]["item"] if is_food(item) and item["count"] > 0]


def is_food(item: Row) -> bool:
    """Return whether an item is eaten rather than drunk."""
    return item["kind"] in ("solid", "chew", "gel")


def needs_no_teeth(item: Row) -> bool:
    """Return whether an item may be swallowed while breathing hard."""
    return item["kind"] == "gel" or bool(item.get("soft"))


def climbs(plan: PlanDict, least_gain_m: float = 0.0) -> list[Row]:
    """Return the climbs that gain at least so much [m]."""
    return [s for s in plan["stretches"] if s["kind"] == "climb" and s["gain_m"] >= least_gain_m]


def is_roller(climb: Row) -> bool:
    """Return whether a climb is over before it counts: under 40 m of gain and 2.5 min."""
    return bool(climb["gain_m"] < ROLLER_M and climb["end_s"] - climb["start_s"] < ROLLER_S)


def bottle_sizes_ml(plan: PlanDict, reach: str | None = None) -> dict[str, float]:
    """Return name to size of the bottles, those within reach while riding or all."""
    return {
        c["name"]: c["holds_ml"]
        for c in plan["pantry"]["container"]
        if c["kind"] == "bottle" and reach in (None, c["reach"])
    }


def feedings_s(plan: PlanDict) -> list[float]:
    """Return the times at which food arrives: bites, and drink whenever 8 g of it have come together."""
    times, drunk_g = [], 0.0
    for point in plan["fuel_points"]:
        if point["action"] == "eat":
            times.append(point["time_s"])
            drunk_g = 0.0
        elif point["action"] == "sip":
            drunk_g += point["carbohydrate_g"]
            if drunk_g >= ENDS_A_GAP_G:
                times.append(point["time_s"])
                drunk_g = 0.0
    return times


def sleeps_s(plan: PlanDict) -> list[tuple[float, float]]:
    """Return the stops over an hour, from and to: no rule of rhythm holds in them."""
    rows = zip(plan["timeline"]["time_s"], plan["timeline"]["speed_m_s"], strict=True)
    return [(before[0], after[0]) for before, after in pairwise(rows) if after[0] - before[0] > 3600.0]


def awake_s(plan: PlanDict, time_s: float) -> float:
    """Return how long the rider has been awake by a moment [s]."""
    return time_s - sum(min(max(time_s - start, 0.0), end - start) for start, end in sleeps_s(plan))


def feeds_m(plan: PlanDict) -> list[float]:
    """Return where the day file or the route file says that something is to be had [m]."""
    marked = [place["distance_m"] for place in plan["route"]["waypoints"] if place["kind"] in WATERING]
    return marked + [1000.0 * feed["at_km"] for feed in plan["day"]["feed"]]


def sentences(plan: PlanDict) -> Iterator[str]:
    """Return every sentence that the rider is told."""
    for row in (*plan["warnings"], *plan["violations"]):
        yield row["sentence"]
    for point in plan["fuel_points"]:
        yield point["reason"]
    for row in plan["bottles"]:
        yield row["why"]
    for row in plan["preparation"]:
        yield row["text"]
    for row in (plan.get("bad_luck") or {}).get("advice", ()):
        yield row["sentence"]


def wanted_g_per_h(plan: PlanDict) -> float:
    """Return the carbohydrate wanted: the plan's own word, else the rider's, else the published stand.

    The stand: about 30 g/h up to 90 min, 60 to 2.5 h, 90 beyond with mixed sugars, in hard rides
    ([J14], Table 1; easy endurance, below 70 % of FTP, takes two thirds), never above the gut's limit.
    """
    rider, totals = plan["rider"]["rider"], plan["totals"]
    own = totals.get("carbohydrate_wanted_g_per_h") or rider.get("carbohydrate_target_g_per_h")
    if own:
        return float(own)
    hours = totals["moving_time_s"] / 3600.0
    stand = 30.0 if hours <= 1.5 else 60.0 if hours <= 2.5 else 90.0
    if plan["day"]["day"]["effort_flat"] < 0.70:
        stand *= 2.0 / 3.0
    return min(stand, gut_limit_g_per_h(plan))


def gut_limit_g_per_h(plan: PlanDict) -> float:
    """Return what the gut takes in an hour; one kind of sugar brings 60 g at most ([J14])."""
    rider = plan["rider"]["rider"]
    limit = float(rider["carbohydrate_limit_g_per_h"])
    return limit if rider["mixed_sugars"] else min(limit, 60.0)
