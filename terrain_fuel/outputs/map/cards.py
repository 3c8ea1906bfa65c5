"""What the map's card says of a fuel point or a caution: where, when, what, from what, why, next, mind."""

from terrain_fuel.flags.model import Caution
from terrain_fuel.luck import Chance
from terrain_fuel.outputs.handovers import filled_at
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import taken_name
from terrain_fuel.outputs.units import clock_text, clock_window, duration_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import FuelPoint, Plan

MIND_AHEAD_M = 2000.0
"""A caution this far ahead is told on the card."""

HERE_M = 50.0
"""Places nearer to each other than this are one place: distances are told to 100 m."""


def fuel_card(plan: Plan, row: Row, following: Row | None) -> list[list[str]]:
    """Return the card of a bite, a sip or a halt as pairs of heading and text, in reading order."""
    words = words_for(plan.rider)
    point = row.points[0]
    pairs = [
        ["where", _where(plan, row, point, words)],
        ["when", _when(plan, row, point, words)],
        *(["what", what] for what in _whats(plan, row, words)),
        ["from", "" if point.action == "refill" else point.container],
        *(["why", reason] for reason in dict.fromkeys(words.say(each.reason) for each in row.points)),
        *_next_and_mind(plan, row.distance_m, row.time_s, following, words),
    ]
    return _headed(pairs, words)


def landmark_card(plan: Plan, row: Row, following: Row | None) -> list[list[str]]:
    """Return the card of a crest, the foot of a climb or a named place."""
    words = words_for(plan.rider)
    pairs = [["where", _on_stretch(plan, row.distance_m, words)], ["when", row.clock]]
    if row.length_text:
        pairs.append(["climb", row.length_text])
    pairs.extend(_next_and_mind(plan, row.distance_m, row.time_s, following, words))
    return _headed(pairs, words)


def end_card(plan: Plan, distance_m: float, time_s: float) -> list[list[str]]:
    """Return the card of the start or the finish."""
    words = words_for(plan.rider)
    pairs = [["where", words.length(distance_m)], ["when", clock_text(plan.day.start, time_s)]]
    return _headed(pairs, words)


def _headed(pairs: list[list[str]], words: Words) -> list[list[str]]:
    return [[words.label(f"card.{heading}"), text] for heading, text in pairs if text]


def _next_and_mind(
    plan: Plan, distance_m: float, time_s: float, following: Row | None, words: Words
) -> list[list[str]]:
    pairs = [["mind", text] for text in _mind(plan, distance_m, words)]
    if following is None or following.point is None:
        return pairs
    return [["next", _next(distance_m, time_s, following, words)], *pairs]


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
    return _headed(pairs, words)


def risk_card(plan: Plan, chance: Chance) -> list[list[str]]:
    """Return the card of what went wrong on some of many rides: where, how often, what helps most."""
    words = words_for(plan.rider)
    start_m, end_m = chance.span_m or (0.0, plan.terrain.length_m)
    length = words.length(end_m - start_m)
    along = words.label("card.along", start=words.distance(start_m), end=words.length(end_m), length=length)
    pairs = [["where", along], ["wrong", words.say(chance.sentence)]]
    if plan.luck is not None and plan.luck.advice:
        pairs.append(["helps", words.say(plan.luck.advice[0].sentence)])
    return _headed(pairs, words)


def _where(plan: Plan, row: Row, point: FuelPoint, words: Words) -> str:
    where = _on_stretch(plan, point.distance_m, words)
    if row.landmark is None:
        return where
    return words.label("card.at_landmark", where=where, landmark=row.landmark.told)


def _on_stretch(plan: Plan, distance_m: float, words: Words) -> str:
    stretch = plan.terrain.stretches[plan.terrain.stretch_at(distance_m)]
    return words.label(
        f"card.on.{stretch.kind}",
        place=words.length(distance_m),
        name=f" {stretch.name}" if stretch.name else "",
        ahead=words.length(stretch.end_m - distance_m),
    )


def _when(plan: Plan, row: Row, point: FuelPoint, words: Words) -> str:
    early, late = clock_window(plan.day.start, point.earliest_s, point.time_s, point.latest_s)
    when = words.label("card.likely", clock=row.clock, early=early, late=late)
    if point.window_end_m - point.window_start_m <= HERE_M:
        return when
    low, high = words.distance(point.window_start_m), words.length(point.window_end_m)
    return words.label("card.anywhere", when=when, low=low, high=high)


def _whats(plan: Plan, row: Row, words: Words) -> list[str]:
    """Return what is taken at a fuel point, of a halt a line a bottle."""
    if row.kind != "refill":
        return [_what(plan, point, words) for point in row.points]
    return [
        words.label(
            "card.take.handed" if each.handed else "card.take.refill",
            container=each.container,
            item=each.item,
            fluid_ml=each.fluid_ml,
        )
        for each in filled_at(plan, row.points)
    ]


def _what(plan: Plan, point: FuelPoint, words: Words) -> str:
    taken = words.label(
        f"card.take.{point.action}",
        item=taken_name(plan, (point,), {}) if point.action == "eat" else point.item,
        portions=point.portions,
        fluid_ml=point.fluid_ml,
    )
    parts = [taken]
    if point.carbohydrate_g >= 0.5:
        parts.append(words.label("card.carbohydrate", carbohydrate_g=point.carbohydrate_g))
    if point.caffeine_mg >= 0.5:
        parts.append(words.label("card.caffeine", caffeine_mg=point.caffeine_mg))
    return ", ".join(parts)


def _next(distance_m: float, time_s: float, following: Row, words: Words) -> str:
    name = following.points[0].item if following.kind == "sip" else following.name
    what = words.label(f"what.{following.kind}", label=following.label, name=name)
    if following.distance_m - distance_m < HERE_M:
        return words.label("card.next_here", what=what)
    gap = words.length(following.distance_m - distance_m)
    wait = duration_text(following.time_s - time_s)
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
