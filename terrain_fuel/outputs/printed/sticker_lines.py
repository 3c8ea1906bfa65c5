"""The lines of the sticker: a distance, a mark, and of what it could say the fullest that fits."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from terrain_fuel.outputs.names import fit_text, short_names
from terrain_fuel.outputs.printed.cues import Cue, CueKind
from terrain_fuel.outputs.printed.sayings import item_sayings, own_names
from terrain_fuel.outputs.printed.sticker_pours import in_one_line, pours_of
from terrain_fuel.outputs.printed.sticker_wordings import (
    amount_before,
    cue_wordings,
    halt_places,
    laps_behind,
)
from terrain_fuel.outputs.row import Row
from terrain_fuel.outputs.rows import caffeine_marks
from terrain_fuel.outputs.units import Units, clock_window
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

Measure = Callable[[str], float]

LineKind = Literal["pour", "turn", "passed"] | CueKind
"""A pour is one bottle of a halt on a line of its own; a turn ends a strip; at a place that is passed water
is to be had, and nobody halts."""


@dataclass(frozen=True, slots=True)
class StickerLine:
    """One line of the sticker.

    Parameters
    ----------
    distance_m : where along the road [m]
    distance_text : the same in the rider's units, a whole number, never misleading into a span where both
        hands belong on the bars; empty where the line before says it
    clock : local time of day
    kind : which mark it carries
    label : the bite's number or the halt's letter; empty for all else, and for laps that differ in it
    numbers : the plan's bites and pours told by this line, in order
    text : what stands behind the mark
    window : local times of day between which its fuel points are likely reached, "09:31-09:46";
        empty without fuel points
    clipped : True if the text says less than the rider's own words for it
    with_disc : whether a bite's disc is drawn behind the text: "with every bite", in signs
    """

    distance_m: float
    distance_text: str
    clock: str
    kind: LineKind
    label: str
    numbers: tuple[int, ...]
    text: str
    window: str = ""
    clipped: bool = False
    with_disc: bool = False

    @property
    def likely(self) -> str:
        """When the rider is there: the window of a fuel point, else about when."""
        return self.window or self.clock


@dataclass(frozen=True, slots=True)
class Room:
    """The width that a text may have, and how wide texts are.

    Parameters
    ----------
    limit : width for the text of a line with distance and mark, in the units of the measures
    whole : width for a text that takes the whole line
    large : width of a text as it is read best
    least : width of a text in the smallest and narrowest type there is
    beside_bite : width that stays free beside a bite, for where it is taken from
    """

    limit: float
    whole: float
    large: Measure
    least: Measure
    beside_bite: float = 0.0

    def limit_of(self, kind: LineKind) -> float:
        """Return the width that the text of one kind of line may have."""
        if kind in ("rhythm", "pour", "turn"):
            return self.whole
        return self.limit - (self.beside_bite if kind == "eat" else 0.0)


def sticker_lines(
    plan: Plan,
    cues: Sequence[Cue],
    spans: Sequence[tuple[float, float]],
    room: Room,
    shorts: Mapping[str, str] | None = None,
) -> list[list[StickerLine]]:
    """Return the lines of each cue, each text narrow enough for its ``room``; a halt may take several.

    Parameters
    ----------
    plan : the finished plan
    cues : in road order
    spans : where both hands stay on the bars [m]
    room : width for each text
    shorts : what items are called, from `item_names`; without, by these cues alone
    """
    if shorts is None:
        shorts = item_names(plan, cues, room)
    distances = whole_distances([cue.row for cue in cues], spans, words_for(plan.rider).units)
    whole = _whole_names(plan)
    lines: list[list[StickerLine]] = []
    told = None
    for cue, distance in zip(cues, distances, strict=True):
        block = _lines(plan, cue, "" if distance == told else str(distance), shorts, whole, room)
        told = told if cue.kind == "rhythm" else distance
        lines.append(block)
    return lines


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


def item_names(plan: Plan, cues: Sequence[Cue], room: Room) -> dict[str, str]:
    """Return a short name for every item eaten, unlike all others, narrow enough wherever it is eaten.

    A name that stands whole in large type comes before a fuller one in small type.
    """
    before: dict[str, list[str]] = {}
    for cue in cues:
        if cue.kind == "eat" and cue.row.point is not None:
            before.setdefault(cue.row.point.item, []).append(
                amount_before(plan, cue.row) + laps_behind(plan, cue)
            )
    sayings, own = item_sayings(plan.pantry, words_for(plan.rider)), own_names(plan.pantry)
    marks = {sayings[item]: mark for item, mark in caffeine_marks(plan, before).items()}
    named = {sayings[item]: own[item] for item in before if item in own}
    found = {}
    for measure in (room.least, room.large):
        limits = {
            sayings[item]: room.limit_of("eat") - max(map(measure, texts)) for item, texts in before.items()
        }
        found[measure] = short_names(limits, limits, measure, named, marks)
    small, large = found[room.least], found[room.large]
    chosen = {
        saying: small[saying] if name.endswith((".", "…")) and name not in saying else name
        for saying, name in large.items()
    }
    unlike = len(set(chosen.values())) == len(chosen)
    return {item: (chosen if unlike else small)[sayings[item]] for item in before}


def _lines(
    plan: Plan,
    cue: Cue,
    distance_text: str,
    shorts: Mapping[str, str],
    whole: Mapping[str, Sequence[str]],
    room: Room,
) -> list[StickerLine]:
    """Return the lines of one cue; ``whole`` as `_whole_names` returns it."""
    row, kind = cue.row, cue.kind
    line = StickerLine(
        distance_m=row.distance_m,
        distance_text="" if kind == "rhythm" else distance_text,
        clock="" if cue.laps or kind == "rhythm" else row.clock,
        kind="passed" if kind == "place" and row.note else kind,
        label="" if cue.again else row.label,
        numbers=cue.numbers,
        text="",
        window="-".join(clock_window(plan.day.start, *cue.window_s)) if cue.window_s else "",
    )
    text, clipped = _fitted(list(cue_wordings(plan, cue, shorts)), room, kind)
    if kind == "refill" and clipped:
        return _halt_lines(plan, cue, line, room)
    with_food = cue.rhythm is not None and bool(cue.rhythm.bite_bottle)
    in_signs = with_food and text != next(cue_wordings(plan, cue, shorts))
    return [replace(line, text=text, clipped=clipped or _says_less(row, text, whole), with_disc=in_signs)]


def _fitted(wordings: list[str], room: Room, kind: LineKind) -> tuple[str, bool]:
    """Return the fullest wording that fits, and whether the last had to be cut."""
    limit = room.limit_of(kind)
    for wording in wordings:
        if room.least(wording) <= limit:
            return wording, False
    return fit_text(wordings[-1], limit, room.least), True


def _halt_lines(plan: Plan, cue: Cue, line: StickerLine, room: Room) -> list[StickerLine]:
    """Return a halt told on several lines: its place, then each bottle with its drink and how much."""
    place, clipped = _fitted(
        [wording + laps_behind(plan, cue) for wording in halt_places(plan, cue)], room, "refill"
    )
    lines = [replace(line, text=place, clipped=clipped)]
    pours = pours_of(plan, cue)
    limit = room.limit_of("pour")
    in_one = next((text for text in in_one_line(pours) if room.least(text) <= limit), None)
    for wordings in [pour.wordings for pour in pours] if in_one is None else [[in_one]]:
        text, clipped = _fitted(wordings, room, "pour")
        lines.append(
            replace(
                line, kind="pour", text=text, clipped=clipped, distance_text="", label="", numbers=(),
                clock="", window="",
            )
        )  # fmt: skip
    return lines


def _whole_names(plan: Plan) -> dict[str, list[str]]:
    """Return the whole names of each item: its own, and the short one that the rider gave."""
    sayings, own = item_sayings(plan.pantry, words_for(plan.rider)), own_names(plan.pantry)
    return {item: [name for name in (saying, own.get(item)) if name] for item, saying in sayings.items()}


def _says_less(row: Row, text: str, whole: Mapping[str, Sequence[str]]) -> bool:
    """Return whether an item is told by none of its whole names."""
    if row.kind != "eat" or row.point is None:
        return False
    return not any(name in text for name in whole.get(row.point.item, ()))


def says_as_much(lines: Sequence[Sequence[StickerLine]], others: Sequence[Sequence[StickerLine]]) -> bool:
    """Return whether all cues say as much as others that may have more room; a halt may take more lines."""
    return all(
        all(line.clipped <= other[0].clipped for line in one)
        for one, other in zip(lines, others, strict=True)
    )
