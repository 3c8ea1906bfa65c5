"""What differs between two plans: totals, and bites moved, changed, gone and new."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from terrain_fuel.outputs.units import duration_text
from terrain_fuel.outputs.unknown_sodium import unknown_in, unknown_in_file
from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import Plan

SAME_PLACE_M = 100.0
"""Places nearer than this are told as one: distances are told to 100 m."""

OTHER_ITEM_M = 4000.0
"""A bite of something else at one place counts like the same bite so far away."""

FARTHEST_M = 15_000.0
"""Bites farther apart are not one bite that moved: one went and one came."""

TOTALS = {
    "elapsed": "elapsed_s",
    "carbohydrate": "carbohydrate_g",
    "hourly": "carbohydrate_g_per_h",
    "fluid": "fluid_ml",
    "sodium": "sodium_mg",
    "caffeine": "caffeine_mg",
}


@dataclass(frozen=True, slots=True)
class Bite:
    """What is eaten at one number of a plan."""

    number: int
    label: str
    distance_m: float
    item: str
    portions: int


@dataclass(frozen=True, slots=True)
class Outline:
    """As much of a plan as is compared; of totals ``at_least`` names, not all is known that adds up."""

    name: str
    bites: tuple[Bite, ...]
    sips: int
    refills_m: tuple[float, ...]
    totals: Mapping[str, float]
    broken: tuple[str, ...]
    at_least: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Shift:
    """One bite before and after; None where there was or is none."""

    before: Bite | None
    after: Bite | None


def outline_of(plan: Plan, words: Words) -> Outline:
    """Return what is compared of a plan."""
    points = [
        {
            "number": point.number,
            "distance_m": point.distance_m,
            "action": point.action,
            "item": point.item,
            "portions": point.portions,
        }
        for point in plan.fuel_points
    ]
    totals = {key: getattr(plan.totals, key) for key in TOTALS.values()}
    unknown = frozenset({"sodium"} if unknown_in(plan) else ())
    broken = [words.say(each.sentence) for each in plan.violations]
    return _outline(plan.title, points, totals, unknown, broken)


def outline_of_file(plan: Mapping[str, Any]) -> Outline:
    """Return what is compared of a plan.json, read back."""
    broken = [each["sentence"] for each in plan["violations"]]
    unknown = frozenset({"sodium"} if unknown_in_file(plan) else ())
    return _outline(plan["route"]["name"], plan["fuel_points"], plan["totals"], unknown, broken)


def _outline(
    name: str,
    points: Sequence[Mapping[str, Any]],
    totals: Mapping[str, Any],
    at_least: frozenset[str],
    broken: Sequence[str],
) -> Outline:
    bites = tuple(
        Bite(
            int(point["number"]),
            str(point.get("label", point["number"])),
            float(point["distance_m"]),
            str(point["item"]),
            int(point["portions"]),
        )
        for point in points
        if point["action"] == "eat"
    )
    refills = sorted({float(point["distance_m"]) for point in points if point["action"] == "refill"})
    return Outline(
        name,
        bites,
        sum(point["action"] == "sip" for point in points),
        tuple(refills),
        {key: float(totals[key]) for key in TOTALS.values()},
        tuple(broken),
        at_least,
    )


def shifts_between(before: Outline, after: Outline) -> tuple[Shift, ...]:
    """Return the bites of both plans, paired in road order so that as little as can be is told to differ."""
    old, new = before.bites, after.bites
    alone = 0.5 * FARTHEST_M
    cost = [[alone * (i + j) for j in range(len(new) + 1)] for i in range(len(old) + 1)]
    for i, one in enumerate(old, 1):
        for j, other in enumerate(new, 1):
            cost[i][j] = min(
                cost[i - 1][j] + alone, cost[i][j - 1] + alone, cost[i - 1][j - 1] + _apart_m(one, other)
            )
    pairs: list[Shift] = []
    i, j = len(old), len(new)
    while i or j:
        if i and j and cost[i][j] == cost[i - 1][j - 1] + _apart_m(old[i - 1], new[j - 1]):
            i, j = i - 1, j - 1
            pairs.append(Shift(old[i], new[j]))
        elif i and cost[i][j] == cost[i - 1][j] + alone:
            i -= 1
            pairs.append(Shift(old[i], None))
        else:
            j -= 1
            pairs.append(Shift(None, new[j]))
    return tuple(sorted(pairs, key=_stood_m))


def _stood_m(shift: Shift) -> float:
    """Return where a bite stood, or stands if it is new [m]."""
    bite = shift.before or shift.after
    return bite.distance_m if bite is not None else 0.0


def _apart_m(one: Bite, other: Bite) -> float:
    far = abs(one.distance_m - other.distance_m)
    same = (one.item, one.portions) == (other.item, other.portions)
    return far + (0.0 if same else 0.25 * OTHER_ITEM_M if one.item == other.item else OTHER_ITEM_M)


def differences(before: Outline, after: Outline, words: Words) -> tuple[str, ...]:
    """Return what is different in a few sentences, none where nothing is."""
    lines = [line for shift in shifts_between(before, after) if (line := _shift_line(shift, words))]
    if before.refills_m != after.refills_m:
        lines.append(
            words.label("compare.refills", before=_places(before, words), after=_places(after, words))
        )
    if before.sips != after.sips:
        lines.append(words.label("compare.sips", before=before.sips, after=after.sips))
    lines += [
        words.label("compare.broken", sentence=each) for each in after.broken if each not in before.broken
    ]
    lines += [
        words.label("compare.mended", sentence=each) for each in before.broken if each not in after.broken
    ]
    return tuple(lines)


def totals_beside(before: Outline, after: Outline, words: Words) -> tuple[tuple[str, str, str], ...]:
    """Return the totals as heading, before and after."""
    return tuple(
        (
            words.label(f"compare.total.{name}"),
            _total(name, before, words),
            _total(name, after, words),
        )
        for name in TOTALS
    )


def _total(name: str, outline: Outline, words: Words) -> str:
    value = outline.totals[TOTALS[name]]
    if name == "elapsed":
        return duration_text(value)
    said = words.label(f"compare.total.{name}.value", value=value)
    return words.label("compare.total.at_least", said=said) if name in outline.at_least else said


def _shift_line(shift: Shift, words: Words) -> str:
    one, other = shift.before, shift.after
    if one is None or other is None:
        bite = other or one
        assert bite is not None
        key = "compare.new" if one is None else "compare.gone"
        return words.label(key, portions=bite.portions, item=bite.item, at_m=bite.distance_m)
    moved = abs(one.distance_m - other.distance_m) >= SAME_PLACE_M
    places = {"from_m": one.distance_m, "to_m": other.distance_m}
    if one.item != other.item:
        key = "compare.other_and_moved" if moved else "compare.other"
        return words.label(key, item=other.item, instead=one.item, portions=other.portions, **places)
    if one.portions != other.portions:
        key = "compare.amount_and_moved" if moved else "compare.amount"
        return words.label(key, item=one.item, before=one.portions, after=other.portions, **places)
    return words.label("compare.moved", item=one.item, **places) if moved else ""


def _places(outline: Outline, words: Words) -> str:
    return ", ".join(dict.fromkeys(words.place(at_m) for at_m in outline.refills_m)) or "–"
