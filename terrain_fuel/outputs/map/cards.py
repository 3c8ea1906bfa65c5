"""What the map's card says of a fuel point or a caution: where, when, what, from what, why, next, mind."""

from terrain_fuel.flags.model import Caution
from terrain_fuel.outputs.rows import Row, taken_name
from terrain_fuel.outputs.units import clock_text, clock_window, duration_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import FuelPoint, Plan

MIND_AHEAD_M = 2000.0
"""A caution this far ahead is told on the card."""

HERE_M = 50.0
"""Places nearer to each other than this are one place: distances are told to 100 m."""


def point_card(plan: Plan, row: Row, following: Row | None) -> list[list[str]]:
    """Return a fuel point's card as pairs of heading and text, in reading order."""
    point = row.point
    if point is None:
        raise ValueError("point_card is for rows of fuel points")
    words = words_for(plan.rider)
    pairs = [
        ["where", _where(plan, row, point, words)],
        ["when", _when(plan, row, point, words)],
        *(["what", _what(plan, each, words)] for each in row.points),
        ["from", "" if point.action == "refill" else point.container],
        *(["why", words.say(each.reason)] for each in row.points),
    ]
    if following is not None and following.point is not None:
        pairs.append(["next", _next(row, following, words)])
    pairs.extend(["mind", text] for text in _mind(plan, point.distance_m, words))
    return [[words.label(f"card.{heading}"), text] for heading, text in pairs if text]


def caution_card(plan: Plan, caution: Caution) -> list[list[str]]:
    """Return a caution note's card as pairs of heading and text."""
    words = words_for(plan.rider)
    where = words.label(
        "card.along",
        start=words.distance(caution.start_m),
        end=words.length(caution.end_m),
        length=words.length(caution.end_m - caution.start_m),
    )
    clock = clock_text(plan.day.start, plan.pace.clock_at(caution.start_m))
    pairs = [
        ["where", where],
        ["when", words.label("card.from_clock", clock=clock)],
        ["mind", words.say(caution.note)],
    ]
    if caution.hands_on:
        pairs.append(["hands", words.label("card.both_hands")])
    return [[words.label(f"card.{heading}"), text] for heading, text in pairs]


def _where(plan: Plan, row: Row, point: FuelPoint, words: Words) -> str:
    stretch = plan.terrain.stretches[point.stretch]
    where = words.label(
        f"card.on.{stretch.kind}",
        place=words.length(point.distance_m),
        name=f" {stretch.name}" if stretch.name else "",
        ahead=words.length(stretch.end_m - point.distance_m),
    )
    if row.landmark is None:
        return where
    return words.label("card.at_landmark", where=where, landmark=row.landmark.name)


def _when(plan: Plan, row: Row, point: FuelPoint, words: Words) -> str:
    early, late = clock_window(plan.day.start, point.earliest_s, point.time_s, point.latest_s)
    when = words.label("card.likely", clock=row.clock, early=early, late=late)
    if point.window_end_m - point.window_start_m <= HERE_M:
        return when
    low, high = words.distance(point.window_start_m), words.length(point.window_end_m)
    return words.label("card.anywhere", when=when, low=low, high=high)


def _what(plan: Plan, point: FuelPoint, words: Words) -> str:
    taken = words.label(
        f"card.take.{point.action}",
        item=taken_name(plan, (point,), {}) if point.action == "eat" else point.item,
        container=point.container,
        portions=point.portions,
        fluid_ml=point.fluid_ml,
    )
    parts = [taken]
    if point.carbohydrate_g >= 0.5:
        parts.append(words.label("card.carbohydrate", carbohydrate_g=point.carbohydrate_g))
    if point.caffeine_mg >= 0.5:
        parts.append(words.label("card.caffeine", caffeine_mg=point.caffeine_mg))
    return ", ".join(parts)


def _next(row: Row, following: Row, words: Words) -> str:
    name = following.name
    if following.kind == "sip" and following.point is not None:
        name = following.point.item
    what = words.label(f"what.{following.kind}", label=following.label, name=name)
    if following.distance_m - row.distance_m < HERE_M:
        return words.label("card.next_here", what=what)
    gap = words.length(following.distance_m - row.distance_m)
    wait = duration_text(following.time_s - row.time_s)
    return words.label("card.next_in", what=what, gap=gap, wait=wait)


def _mind(plan: Plan, distance_m: float, words: Words) -> list[str]:
    texts = []
    for caution in plan.cautions:
        if caution.end_m < distance_m or caution.start_m > distance_m + MIND_AHEAD_M:
            continue
        ahead = caution.start_m - distance_m
        note = words.say(caution.note)
        far = ahead > HERE_M
        texts.append(words.label("card.ahead", ahead=words.length(ahead), note=note) if far else note)
    return texts
