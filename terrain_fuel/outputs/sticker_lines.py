"""What the sticker says, line by line: a distance, a mark and as few words as keep the meaning."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from terrain_fuel.outputs.fonts import sayable
from terrain_fuel.outputs.names import LITTLE_WORD, fit_text, short_names
from terrain_fuel.outputs.rows import Row, RowKind, hands_on_spans
from terrain_fuel.outputs.sayings import item_sayings
from terrain_fuel.outputs.sticker_groups import Group, group_rows
from terrain_fuel.outputs.units import Units, amount_text, rider_units
from terrain_fuel.plan import Plan

Measure = Callable[[str], float]

TIMES = "×"

TELLING_LETTERS = 6
"""So much of a place's name tells which place it is; "Lower" alone does not."""


@dataclass(frozen=True, slots=True)
class StickerLine:
    """One line of the sticker.

    Parameters
    ----------
    distance_m : where along the road [m]
    whole_distance : the same in the rider's units, a whole number, never misleading into a
        span where both hands belong on the bars
    clock : local time of day
    kind : which mark it carries
    numbers : the plan's fuel points told by this line, in order; empty for landmarks and hands-on
    text : what stands behind the mark; for sips it begins with "×" and their count
    with_sip : an eat whose mouthful of drink is one of ``numbers``: its disc stands in a ring
    landmark : crest, foot or summit whose sign stands before the text, None if there is none or no room
    clipped : True if the text had to be shortened to fit
    """

    distance_m: float
    whole_distance: int
    clock: str
    kind: RowKind
    numbers: tuple[int, ...]
    text: str
    with_sip: bool = False
    landmark: RowKind | None = None
    clipped: bool = False


def sticker_lines(
    plan: Plan, limit: float, measure: Measure, sign_width: float = 0.0, *, often: bool = False
) -> tuple[StickerLine, ...]:
    """Return the sticker's lines in road order, each text no wider than ``limit``.

    Parameters
    ----------
    plan : the finished plan
    limit : width for a text, in the units of ``measure``
    measure : width of a text
    sign_width : width of a landmark's sign with the gap behind it
    often : remind of sips more often, on more lines
    """
    groups = group_rows(plan, often=often)
    shorts = _item_names(plan, groups, limit, measure)
    distances = whole_distances([g.first for g in groups], hands_on_spans(plan), rider_units(plan.rider))
    return tuple(
        _line(plan, group, whole, shorts, limit, measure, sign_width)
        for group, whole in zip(groups, distances, strict=True)
    )


def whole_distances(
    rows: Sequence[Row], spans: Sequence[tuple[float, float]], units: Units
) -> tuple[int, ...]:
    """Return whole numbers for the rows' distances that never fall and never mislead.

    To the nearest unit; rounded down where hands go on the bars, so that the word comes early,
    and up behind such a span, so that nothing seems to stand inside it.
    """
    numbers = []
    for row in rows:
        number = row.distance_m / units.road_m
        whole = math.floor(number) if row.kind == "hands_on" else round(number)
        passed = [end_m / units.road_m for _, end_m in spans if end_m <= row.distance_m]
        numbers.append(math.ceil(number) if passed and whole < passed[-1] else whole)
    for index in range(len(numbers) - 2, -1, -1):
        numbers[index] = min(numbers[index], numbers[index + 1])
    return tuple(numbers)


def _item_names(plan: Plan, groups: list[Group], limit: float, measure: Measure) -> dict[str, str]:
    """Return a short name for every item eaten, unlike all others, narrow enough wherever it is eaten."""
    room: dict[str, float] = {}
    for row in (group.first for group in groups):
        if row.kind == "eat" and row.point is not None:
            left = limit - measure(_amount(plan, row))
            room[row.point.item] = min(left, room.get(row.point.item, left))
    sayings = item_sayings(plan.pantry)
    shorts = short_names(
        (sayings[item] for item in room), {sayings[item]: left for item, left in room.items()}, measure
    )
    return {item: shorts[sayings[item]] for item in room}


def _amount(plan: Plan, row: Row) -> str:
    """Return how much of an item is eaten, with the gap that follows it."""
    if row.point is None:
        return ""
    amount = amount_text(row.point.portions, plan.pantry.item(row.point.item).portions)
    return f"{amount} " if amount else ""


def _line(
    plan: Plan,
    group: Group,
    whole_distance: int,
    shorts: dict[str, str],
    limit: float,
    measure: Measure,
    sign_width: float,
) -> StickerLine:
    row = group.first
    wordings = list(_wordings(plan, group, shorts))
    fitting = [wording for wording in wordings if measure(wording) <= limit]
    text = fitting[0] if fitting else fit_text(wordings[-1], limit, measure)
    clipped = not fitting
    if row.kind == "eat" and row.point is not None:
        clipped = clipped or item_sayings(plan.pantry)[row.point.item] not in text
    sign = row.landmark_kind if row.kind == "eat" and row.landmark_kind != "place" else None
    return StickerLine(
        distance_m=row.distance_m,
        whole_distance=whole_distance,
        clock=row.clock,
        kind=row.kind,
        numbers=group.numbers,
        text=text,
        with_sip=row.kind == "eat" and len(group.rows) > 1,
        landmark=sign if measure(text) + sign_width <= limit else None,
        clipped=clipped,
    )


def _wordings(plan: Plan, group: Group, shorts: dict[str, str]) -> Iterator[str]:
    """Yield what a line could say, the fullest wording first; the last is cut if it must be."""
    row = group.first
    if row.kind == "eat" and row.point is not None:
        bite = _amount(plan, row) + shorts[row.point.item]
        if row.landmark and row.landmark not in ("crest", "foot"):
            yield f"{bite}, {sayable(row.landmark, 'here')}"
        yield bite
    elif row.kind == "sip":
        yield from _sip_wordings(plan, group)
    elif row.kind == "refill":
        yield from _refill_wordings(group)
    elif row.kind == "hands_on":
        yield row.length_text
    elif row.kind == "foot":
        yield f"{sayable(row.name, 'foot')} {row.length_text}"
        yield from _place_wordings(sayable(row.name, "foot"))
    else:
        yield from _place_wordings(sayable(row.name, "crest" if row.kind != "place" else "place"))


def _sip_wordings(plan: Plan, group: Group) -> Iterator[str]:
    stretch = plan.terrain.stretches[group.stretch]
    count = f"{TIMES}{len(group.numbers)}"
    if group.foot and stretch.name:
        yield f"{count} {sayable(stretch.name, stretch.kind)}"
    yield f"{count} {stretch.kind}"
    yield f"{count} {stretch.kind[:4]}."
    yield count


def _refill_wordings(group: Group) -> Iterator[str]:
    fills_ml = [part.point.fluid_ml for part in group.rows if part.point is not None]
    each = " ".join(f"+{round(fill_ml, -1):.0f}" for fill_ml in fills_ml)
    for place in _ever_fewer_words(sayable(group.first.landmark, "tap")):
        yield f"{place} {each}"
    yield each
    yield f"+{round(sum(fills_ml), -1):.0f}"


def _place_wordings(name: str) -> Iterator[str]:
    """Yield a place's name with ever fewer words while they still tell it, then whole, to be cut."""
    for wording in _ever_fewer_words(name):
        if wording == name or len(wording) >= TELLING_LETTERS:
            yield wording
    yield name


def _ever_fewer_words(text: str) -> Iterator[str]:
    """Yield a text, then without its last words, never ending in a little one."""
    words = text.split()
    for count in range(len(words), 0, -1):
        if count in (1, len(words)) or len(words[count - 1]) > LITTLE_WORD:
            yield " ".join(words[:count])
