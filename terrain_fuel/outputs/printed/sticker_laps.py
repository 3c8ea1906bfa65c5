"""The sticker of one lap: lines that come again in other laps at the same place are one."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from terrain_fuel.outputs.by_lap import ONE_SPOT_M
from terrain_fuel.outputs.printed.sticker_groups import Group
from terrain_fuel.plan import Plan
from terrain_fuel.terrain.model import Laps

ENDS_M = 500.0
"""With no more other road than this before the first lap and behind the last the whole route is laps."""


def strip_laps(plan: Plan) -> Laps | None:
    """Return the laps that a sticker shows as one; None where other road is ridden too."""
    laps = plan.terrain.laps
    if laps is None or laps.count < 2:
        return None
    before_m, behind_m = laps.bounds_m[0], plan.terrain.length_m - laps.bounds_m[-1]
    return laps if max(before_m, behind_m) <= ENDS_M else None


def groups_of_a_lap(groups: Sequence[Group], laps: Laps) -> list[Group]:
    """Return the groups of all laps on the road of the first, those that say the same at one place joined."""
    found: dict[tuple[object, ...], list[Group]] = {}
    placed = sorted((_on_first_lap(group, laps) for group in groups), key=lambda one: one.first.distance_m)
    for group in placed:
        same = found.setdefault(_says(group), [])
        near = bool(same) and group.first.distance_m - same[-1].first.distance_m <= ONE_SPOT_M
        if near and not set(group.laps) & set(same[-1].laps):
            same[-1] = _joined(same[-1], group)
        else:
            same.append(group)
    ordered = [group for same in found.values() for group in same]
    return sorted(ordered, key=lambda group: (group.first.distance_m, group.laps))


def spans_of_a_lap(spans: Iterable[tuple[float, float]], laps: Laps) -> list[tuple[float, float]]:
    """Return the spans of the first lap [m]."""
    return [(start_m, end_m) for start_m, end_m in spans if end_m <= laps.bounds_m[1]]


def _on_first_lap(group: Group, laps: Laps) -> Group:
    at_m = group.first.distance_m
    lap = laps.lap_at(at_m) or (1 if at_m < laps.bounds_m[0] else laps.count)
    start_m = laps.bounds_m[lap - 1]
    scale = (laps.bounds_m[1] - laps.bounds_m[0]) / (laps.bounds_m[lap] - start_m)

    def shifted(road_m: float) -> float:
        return laps.bounds_m[0] + scale * (road_m - start_m)

    rows = tuple(
        replace(row, distance_m=shifted(row.distance_m), end_m=shifted(row.end_m)) for row in group.rows
    )
    return replace(group, rows=rows, laps=(lap,))


def _says(group: Group) -> tuple[object, ...]:
    """Return what a line says beside its place."""
    row = group.first
    what = tuple((point.item, point.portions) for row in group.rows for point in row.points)
    if row.kind in ("eat", "refill"):
        return row.kind, what
    return row.kind, group.mouthfuls


def _joined(group: Group, later: Group) -> Group:
    numbers = tuple(sorted((*group.again, *later.numbers)))
    return replace(group, again=numbers, laps=tuple(sorted((*group.laps, *later.laps))))
