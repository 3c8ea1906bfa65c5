"""Which rows of the plan share a line of the sticker, so that a glance is enough.

A bite and the mouthful that goes with it are one line. The other sips of one stretch and half an
hour are one line, unless both hands stay on the bars in between; where there is room for more
reminders, only sips with no other line between them share one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from terrain_fuel.limits import DRINK_WITHIN_S
from terrain_fuel.outputs.rows import Row, plan_rows
from terrain_fuel.plan import Plan

MOST_SIPS_A_LINE = 4
"""More than this and the rider loses count."""

SIPS_WITHIN_S = 1800.0
"""Sips further apart than this need a reminder of their own."""

RESYNC_M = 4000.0
"""A village or shop is named only where nothing else within this distance tells where the rider is."""


@dataclass(frozen=True, slots=True)
class Group:
    """Rows that share a line, the stretch that sips belong to, and whether it begins at a climb's foot.

    On a sticker of one lap ``laps`` are those in which the line holds, and ``again`` the numbers of the fuel
    points that it tells beside its own.
    """

    rows: tuple[Row, ...]
    stretch: int = -1
    foot: bool = False
    again: tuple[int, ...] = ()
    laps: tuple[int, ...] = ()

    @property
    def first(self) -> Row:
        """The row that stands for the line."""
        return self.rows[0]

    @property
    def numbers(self) -> tuple[int, ...]:
        """Fuel points told by the line."""
        return (*(point.number for row in self.rows for point in row.points), *self.again)

    @property
    def mouthfuls(self) -> int:
        """Mouthfuls of all its own sips."""
        return sum(point.portions for row in self.rows for point in row.points if point.action == "sip")

    @property
    def window_s(self) -> tuple[float, float] | None:
        """Clock from the earliest at its first fuel point to the latest at its last; None without one [s]."""
        points = [point for row in self.rows for point in row.points]
        if not points or self.laps:
            return None
        return (
            min(min(point.earliest_s, point.time_s) for point in points),
            max(max(point.latest_s, point.time_s) for point in points),
        )


def group_rows(plan: Plan, *, often: bool = False) -> list[Group]:
    """Return the plan's rows in groups, in road order; every fuel point is in exactly one.

    Parameters
    ----------
    plan : the finished plan
    often : remind of sips more often: no other line stands between those that share one
    """
    rows = plan_rows(plan)
    groups: list[Group] = []
    with_food = _mouthfuls(rows)
    for row in rows:
        if row.number in with_food:
            continue
        stretch = plan.terrain.stretch_at(row.distance_m)
        if row.kind == "eat":
            mouthful = tuple(sip for sip in rows if with_food.get(sip.number) == row.number)
            groups.append(Group((row, *mouthful)))
        elif row.kind == "sip" and (at := _open_group(groups, row, stretch, often)) is not None:
            groups[at] = replace(groups[at], rows=(*groups[at].rows, row))
        else:
            groups.append(Group((row,), stretch))
    return _without_idle_places(_joined_with_feet(groups))


def _mouthfuls(rows: Sequence[Row]) -> dict[int | None, int | None]:
    """Return the number of each sip that goes with a bite, with the bite's number."""
    with_food: dict[int | None, int | None] = {}
    sips = [row for row in rows if row.kind == "sip"]
    for bite in (row for row in rows if row.kind == "eat"):
        for sip in sips:
            if sip.number not in with_food and 0.0 <= sip.time_s - bite.time_s <= DRINK_WITHIN_S.value:
                with_food[sip.number] = bite.number
                break
    return with_food


def _open_group(groups: list[Group], row: Row, stretch: int, often: bool) -> int | None:
    """Return the index of the group that a sip can still join."""
    for index in range(len(groups) - 1, -1, -1):
        group = groups[index]
        if group.first.kind in ("refill", "hands_on"):
            return None
        if group.first.kind == "sip":
            room = len(group.rows) < MOST_SIPS_A_LINE
            soon = row.time_s - group.first.time_s <= SIPS_WITHIN_S
            return index if room and soon and group.stretch == stretch else None
        if often:
            return None
    return None


def _joined_with_feet(groups: list[Group]) -> list[Group]:
    """Return the groups with the foot of a climb and the climb's sips told in one."""
    joined: list[Group] = []
    for group in groups:
        foot = joined[-1].first if joined else None
        if group.first.kind == "sip" and foot is not None and foot.kind == "foot":
            start = replace(foot, kind="sip")
            joined[-1] = Group((start, *group.rows), group.stretch, foot=True)
        else:
            joined.append(group)
    return joined


def _without_idle_places(groups: list[Group]) -> list[Group]:
    """Return the groups without the places that stand near something else the rider can see."""
    seen_m = [
        group.first.distance_m
        for group in groups
        if group.foot or group.first.landmark or group.first.kind in ("crest", "foot", "summit", "refill")
    ]
    kept: list[Group] = []
    for group in groups:
        if group.first.kind == "place":
            if any(abs(group.first.distance_m - at_m) < RESYNC_M for at_m in seen_m):
                continue
            seen_m.append(group.first.distance_m)
        kept.append(group)
    return kept
