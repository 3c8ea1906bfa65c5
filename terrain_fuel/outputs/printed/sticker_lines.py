"""What the sticker says, line by line: a distance, a mark and as few words as keep the meaning."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from terrain_fuel.outputs.by_lap import lap_numbers
from terrain_fuel.outputs.names import fit_text, short_names
from terrain_fuel.outputs.place_names import place_wordings
from terrain_fuel.outputs.printed.fonts import sayable
from terrain_fuel.outputs.printed.sayings import item_sayings, own_names
from terrain_fuel.outputs.printed.sticker_groups import Group, group_rows
from terrain_fuel.outputs.printed.sticker_laps import groups_of_a_lap, spans_of_a_lap, strip_laps
from terrain_fuel.outputs.rows import Row, RowKind, caffeine_marks, hands_on_spans
from terrain_fuel.outputs.units import Units, amount_text, clock_window
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

Measure = Callable[[str], float]

TIMES = "×"

SIGNED: tuple[RowKind, ...] = ("crest", "summit")
"""Places whose own sign says what they are."""


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
    label : the bite's number or the halt's letter; empty for all else, and for laps that differ in it
    numbers : the plan's fuel points told by this line, in order; empty for landmarks and hands-on
    text : what stands behind the mark; for sips it begins with "×" and their count
    with_sip : an eat whose mouthful of drink is one of ``numbers``: its disc stands in a ring
    on_crest : a bite on a crest: its mark wears the crest's sign
    window : local times of day between which its fuel points are likely reached, "09:31-09:46";
        empty without fuel points
    narrow : True if the text fits only in the narrow face
    clipped : True if the text says less than the rider's own words for it
    """

    distance_m: float
    whole_distance: int
    clock: str
    kind: RowKind
    label: str
    numbers: tuple[int, ...]
    text: str
    with_sip: bool = False
    on_crest: bool = False
    window: str = ""
    narrow: bool = False
    clipped: bool = False

    @property
    def likely(self) -> str:
        """When the rider is there: the window of a fuel point, else about when."""
        return self.window or self.clock


@dataclass(frozen=True, slots=True)
class Room:
    """The width that a text may have, and how wide texts are.

    Parameters
    ----------
    limit : width for a text, in the units of ``measure``
    measure : width of a text
    narrow : width of a text in a narrower face, None where there is only one
    beside_bite : width that stays free beside a bite, for where it is taken from
    """

    limit: float
    measure: Measure
    narrow: Measure | None = None
    beside_bite: float = 0.0

    @property
    def least(self) -> Measure:
        """Width of a text in the narrowest face there is."""
        return self.narrow or self.measure

    def limit_of(self, kind: RowKind) -> float:
        """Return the width that the text of one kind of line may have."""
        return self.limit - (self.beside_bite if kind == "eat" else 0.0)


def sticker_lines(
    plan: Plan, room: Room, *, often: bool = False, by_lap: bool = False
) -> tuple[StickerLine, ...]:
    """Return the sticker's lines in road order, each text narrow enough for its ``room``.

    Parameters
    ----------
    plan : the finished plan
    room : width for each text
    often : remind of sips more often, on more lines
    by_lap : where the whole route is laps, the lines of one lap, each with the laps in which it holds
    """
    groups = group_rows(plan, often=often)
    spans, laps = hands_on_spans(plan), strip_laps(plan)
    if by_lap and laps is not None:
        groups, spans = groups_of_a_lap(groups, laps), tuple(spans_of_a_lap(spans, laps))
    shorts = _item_names(plan, groups, room)
    whole = (item_sayings(plan.pantry, words_for(plan.rider)), own_names(plan.pantry))
    distances = whole_distances([g.first for g in groups], spans, words_for(plan.rider).units)
    lines = (_line(plan, group, at, shorts, room) for group, at in zip(groups, distances, strict=True))
    return tuple(
        replace(line, clipped=line.clipped or _says_less(group.first, line.text, whole))
        for line, group in zip(lines, groups, strict=True)
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


def _item_names(plan: Plan, groups: list[Group], room: Room) -> dict[str, str]:
    """Return a short name for every item eaten, unlike all others, narrow enough wherever it is eaten."""
    widths: dict[str, float] = {}
    for group in groups:
        row = group.first
        if row.kind == "eat" and row.point is not None:
            left = room.limit_of("eat") - room.least(_amount(plan, row)) - room.least(_laps(plan, group))
            widths[row.point.item] = min(left, widths.get(row.point.item, left))
    sayings, own = item_sayings(plan.pantry, words_for(plan.rider)), own_names(plan.pantry)
    shorts = short_names(
        (sayings[item] for item in widths),
        {sayings[item]: left for item, left in widths.items()},
        room.least,
        {sayings[item]: own[item] for item in widths if item in own},
        {sayings[item]: mark for item, mark in caffeine_marks(plan, widths).items()},
    )
    return {item: shorts[sayings[item]] for item in widths}


def _amount(plan: Plan, row: Row) -> str:
    """Return how much of an item is eaten, with the gap that follows it."""
    if row.point is None:
        return ""
    amount = amount_text(row.point.portions, plan.pantry.item(row.point.item).portions)
    return f"{amount} " if amount else ""


def _line(plan: Plan, group: Group, whole_distance: int, shorts: dict[str, str], room: Room) -> StickerLine:
    row = group.first
    laps = _laps(plan, group)
    wordings = [wording + laps for wording in _wordings(plan, group, shorts)]
    limit = room.limit_of(row.kind)
    fitting = [wording for wording in wordings if room.least(wording) <= limit]
    whole = wordings[-1].removesuffix(laps)
    text = fitting[0] if fitting else fit_text(whole, limit - room.least(laps), room.least) + laps
    return StickerLine(
        distance_m=row.distance_m,
        whole_distance=whole_distance,
        clock="" if group.laps else row.clock,
        kind=row.kind,
        label="" if group.again else row.label,
        numbers=group.numbers,
        text=text,
        with_sip=row.kind == "eat" and len(group.rows) > 1,
        on_crest=row.kind == "eat" and row.landmark is not None and row.landmark.kind in SIGNED,
        window=_window(plan, group),
        narrow=room.measure(text) > limit,
        clipped=not fitting,
    )


def _laps(plan: Plan, group: Group) -> str:
    """Return in which laps something is taken on a lap's sticker, with the gap before; nothing if in all."""
    laps = plan.terrain.laps
    if laps is None or len(group.laps) == laps.count or group.first.kind not in ("eat", "sip", "refill"):
        return ""
    numbers = lap_numbers(group.laps).replace(" ", "")
    return words_for(plan.rider).label("sticker.laps", laps=numbers) if numbers else ""


def _window(plan: Plan, group: Group) -> str:
    """Return the times of day between which a line's fuel points are likely reached."""
    if group.window_s is None:
        return ""
    return "-".join(clock_window(plan.day.start, *group.window_s))


def loses_words(lines: Sequence[StickerLine], others: Sequence[StickerLine]) -> bool:
    """Return whether any line says less than the same line in another place, which may have more room."""
    return any(
        len(line.text) < len(other.text) or (line.clipped and not other.clipped)
        for line, other in zip(lines, others, strict=True)
    )


def _says_less(row: Row, text: str, whole: tuple[dict[str, str], ...]) -> bool:
    """Return whether an item is told by none of its ``whole`` names, its own and the rider's short one."""
    if row.kind != "eat" or row.point is None:
        return False
    told = (names.get(row.point.item) for names in whole)
    return not any(name and name in text for name in told)


def _wordings(plan: Plan, group: Group, shorts: dict[str, str]) -> Iterator[str]:
    """Yield what a line could say, the fullest wording first; the last is cut if it must be."""
    row, words = group.first, words_for(plan.rider)
    if row.kind == "eat" and row.point is not None:
        bite = _amount(plan, row) + shorts[row.point.item]
        if row.landmark is not None and row.landmark.named:
            name = sayable(row.landmark.name, words.label("sticker.here"))
            signed = row.landmark.kind in SIGNED
            yield from (
                f"{bite}, {place}" for place in (place_wordings(name, signed=True) if signed else [name])
            )
        yield bite
    elif row.kind == "sip":
        yield from _sip_wordings(plan, group)
    elif row.kind == "refill":
        yield from _refill_wordings(plan, group)
    elif row.kind == "hands_on":
        yield row.length_text
    elif row.kind == "foot":
        name = sayable(row.name, words.label("row.foot"))
        for place in place_wordings(name, signed=True) if row.named else ():
            yield f"{place} {row.length_text}"
        yield row.length_text
    else:
        name = sayable(row.name, words.label(f"row.{row.kind}"))
        yield from place_wordings(name, signed=row.kind in SIGNED)


def _sip_wordings(plan: Plan, group: Group) -> Iterator[str]:
    stretch, words = plan.terrain.stretches[group.stretch], words_for(plan.rider)
    kind = words.label(f"stretch.{stretch.kind}")
    count = f"{TIMES}{group.mouthfuls}"
    if group.foot:
        length = group.first.length_text
        if stretch.name:
            yield f"{count} {sayable(stretch.name, kind)} {length}"
        yield f"{count} {kind} {length}"
    yield f"{count} {kind}"
    yield f"{count} {words.label(f'stretch.short.{stretch.kind}')}"
    yield count


def _refill_wordings(plan: Plan, group: Group) -> Iterator[str]:
    """Yield where bottles are filled, with which drink, how much of it [ml]."""
    own, words = own_names(plan.pantry), words_for(plan.rider)
    drink = words.label("sticker.drink")
    pours = [
        (own.get(point.item) or sayable(point.item, drink), round(point.fluid_ml, -1))
        for point in group.first.points
    ]
    drinks = ", ".join(f"{drink} +{fluid_ml:.0f}" for drink, fluid_ml in pours)
    amounts = " ".join(f"+{fluid_ml:.0f}" for _, fluid_ml in pours)
    landmark = group.first.landmark
    place = sayable(landmark.name if landmark else "", words.label("sticker.tap"))
    places = list(place_wordings(place, signed=False))
    yield from (f"{place}: {drinks}" for place in places)
    yield from (f"{place} {amounts}" for place in places)
    yield amounts
    yield f"+{sum(fluid_ml for _, fluid_ml in pours):.0f}"
