"""What the sticker says, line by line: the plan's rows drawn together until a glance is enough.

A bite and the mouthful that goes with it are one line. The other sips of one stretch are one
line with their count, "×3 climb", unless both hands stay on the bars in between. Bottles
filled at one place are one line.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from terrain_fuel.outputs.fonts import sayable
from terrain_fuel.outputs.names import fit_text, short_names
from terrain_fuel.outputs.rows import Row, RowKind, plan_rows
from terrain_fuel.outputs.sayings import item_sayings
from terrain_fuel.outputs.units import amount_text
from terrain_fuel.plan import Plan

Measure = Callable[[str], float]

MOUTHFUL_WITHIN_S = 120.0
"""A sip this soon after a bite goes with it: the plan's own hard rule."""

MOST_SIPS_A_LINE = 4
"""More than this and the rider loses count."""

TIMES = "×"


@dataclass(frozen=True, slots=True)
class StickerLine:
    """One line of the sticker.

    Parameters
    ----------
    distance_m : where along the road [m]
    clock : local time of day
    kind : which mark it carries
    numbers : the plan's fuel points told by this line, in order; empty for landmarks and hands-on
    with_sip : an eat whose mouthful of drink is one of ``numbers``: its disc stands in a ring
    text : what stands behind the mark; for sips it begins with "×" and their count
    landmark : crest, foot or summit whose sign stands before the text, None if there is none or no room
    clipped : True if the text had to be shortened to fit
    """

    distance_m: float
    clock: str
    kind: RowKind
    numbers: tuple[int, ...]
    text: str
    with_sip: bool = False
    landmark: RowKind | None = None
    clipped: bool = False


def sticker_lines(
    plan: Plan, limit: float, measure: Measure, sign_width: float = 0.0
) -> tuple[StickerLine, ...]:
    """Return the sticker's lines in road order, each text no wider than ``limit``.

    Parameters
    ----------
    plan : the finished plan
    limit : width for a text, in the units of ``measure``
    measure : width of a text
    sign_width : width of a landmark's sign with the gap behind it
    """
    rows = plan_rows(plan)
    groups = _joined_with_feet(_grouped(plan, rows))
    shorts = _item_names(plan, groups, limit, measure)
    lines = (_line(plan, group, shorts, limit, measure) for group in groups)
    return tuple(
        line if measure(line.text) + sign_width <= limit else replace(line, landmark=None) for line in lines
    )


@dataclass(frozen=True, slots=True)
class _Group:
    """Rows that share a line, and the stretch that sips belong to."""

    rows: tuple[Row, ...]
    stretch: int = -1
    foot: bool = False

    @property
    def first(self) -> Row:
        return self.rows[0]


def _grouped(plan: Plan, rows: tuple[Row, ...]) -> list[_Group]:
    groups: list[_Group] = []
    with_food = _mouthfuls(rows)
    for row in rows:
        if row.number in with_food:
            continue
        stretch = plan.terrain.stretch_at(row.distance_m)
        if row.kind == "eat":
            mouthful = tuple(sip for sip in rows if with_food.get(sip.number) == row.number)
            groups.append(_Group((row, *mouthful)))
        elif row.kind in ("sip", "refill") and (at := _open_group(groups, row, stretch)) is not None:
            groups[at] = replace(groups[at], rows=(*groups[at].rows, row))
        else:
            groups.append(_Group((row,), stretch))
    return groups


def _mouthfuls(rows: tuple[Row, ...]) -> dict[int | None, int | None]:
    """Return the number of each sip that goes with a bite, with the bite's number."""
    with_food: dict[int | None, int | None] = {}
    bites = [row for row in rows if row.kind == "eat"]
    sips = [row for row in rows if row.kind == "sip"]
    for bite in bites:
        for sip in sips:
            if sip.number not in with_food and 0.0 <= sip.time_s - bite.time_s <= MOUTHFUL_WITHIN_S:
                with_food[sip.number] = bite.number
                break
    return with_food


def _open_group(groups: list[_Group], row: Row, stretch: int) -> int | None:
    """Return the index of the line that a sip or refill can still join."""
    for index in range(len(groups) - 1, -1, -1):
        group = groups[index]
        if row.kind == "refill":
            same_place = group.first.kind == "refill" and row.distance_m == group.first.distance_m
            return index if same_place else None
        if group.first.kind in ("refill", "hands_on"):
            return None
        if group.first.kind == "sip":
            room = len(group.rows) < MOST_SIPS_A_LINE
            return index if room and group.stretch == stretch else None
    return None


def _joined_with_feet(groups: list[_Group]) -> list[_Group]:
    """Return the lines with the foot of a climb and the climb's sips told in one."""
    joined: list[_Group] = []
    for group in groups:
        foot = joined[-1].first if joined else None
        if group.first.kind == "sip" and foot is not None and foot.kind == "foot":
            joined[-1] = _Group(
                (replace(foot, kind="sip", number=None), *group.rows), group.stretch, foot=True
            )
        else:
            joined.append(group)
    return joined


def _item_names(plan: Plan, groups: list[_Group], limit: float, measure: Measure) -> dict[str, str]:
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


def _line(plan: Plan, group: _Group, shorts: dict[str, str], limit: float, measure: Measure) -> StickerLine:
    row = group.first
    wordings = list(_wordings(plan, group, shorts))
    text = next((wording for wording in wordings if measure(wording) <= limit), None)
    clipped = text is None
    if text is None:
        text = fit_text(wordings[-1], limit, measure)
    if row.kind == "eat" and row.point is not None:
        whole = item_sayings(plan.pantry).get(row.point.item, "")
        clipped = clipped or (whole != "" and whole not in text)
    return StickerLine(
        distance_m=row.distance_m,
        clock=row.clock,
        kind=row.kind,
        numbers=tuple(part.number for part in group.rows if part.number is not None),
        text=text,
        with_sip=row.kind == "eat" and len(group.rows) > 1,
        landmark=_landmark(group),
        clipped=clipped,
    )


def _landmark(group: _Group) -> RowKind | None:
    """Return the landmark that a bite's sign shows; other lines say it in words or need none."""
    row = group.first
    if row.kind == "eat" and row.landmark_kind in ("crest", "foot", "summit"):
        return row.landmark_kind
    return None


def _wordings(plan: Plan, group: _Group, shorts: dict[str, str]) -> Iterator[str]:
    """Yield what a line could say, the fullest wording first; the last is cut if it must be."""
    row = group.first
    if row.kind == "eat" and row.point is not None:
        bite = _amount(plan, row) + shorts[row.point.item]
        if row.landmark and row.landmark not in ("crest", "foot"):
            yield f"{bite}, {sayable(row.landmark, 'here')}"
        yield bite
    elif row.kind == "sip":
        count = sum(part.number is not None for part in group.rows)
        stretch = plan.terrain.stretches[group.stretch]
        if group.foot and stretch.name:
            yield f"{TIMES}{count} {sayable(stretch.name, stretch.kind)}"
        yield f"{TIMES}{count} {stretch.kind}"
        yield f"{TIMES}{count} {stretch.kind[:4]}."
        yield f"{TIMES}{count}"
    elif row.kind == "refill":
        yield from _refill_wordings(group)
    elif row.kind == "hands_on":
        yield row.length_text
    elif row.kind == "foot":
        yield f"{sayable(row.name, 'foot')} {row.length_text}"
        yield sayable(row.name, "foot")
    else:
        yield sayable(row.name, "crest" if row.kind in ("crest", "summit") else "place")


def _refill_wordings(group: _Group) -> Iterator[str]:
    fluid_ml = sum(part.point.fluid_ml for part in group.rows if part.point is not None)
    place = sayable(group.first.landmark, "tap")
    words = place.split()
    while words:
        yield f"{' '.join(words)} +{fluid_ml:.0f}"
        words = words[:-1]
    yield f"+{fluid_ml:.0f}"
