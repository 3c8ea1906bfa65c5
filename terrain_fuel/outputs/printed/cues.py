"""What the paper of the ride says, cue by cue: bites, halts, hands on the bars, drink beyond the rhythm.

The rhythm of drinking stands at the head of every section and is a cue of its own there; the sips
that it holds have none. Landmarks are cues too; the sticker takes of them what helps.
"""

from dataclasses import dataclass
from typing import Literal

from terrain_fuel.outputs.hands_told import hands_told_once
from terrain_fuel.outputs.rhythm import Drinking, Extra, Rhythm
from terrain_fuel.outputs.row import Row, RowKind, road_row
from terrain_fuel.outputs.rows import finish_row, plan_rows
from terrain_fuel.plan import Plan

CueKind = Literal["rhythm"] | RowKind


@dataclass(frozen=True, slots=True)
class Cue:
    """One thing that the rider is told at one place.

    Parameters
    ----------
    kind : as of a row; "rhythm" begins a section, "sip" is drink beyond the rhythm
    row : the row it comes from: place, clock, names, fuel points
    rhythm : what a "rhythm" begins
    extra : what a "sip" says
    laps : on the paper of one lap, the laps in which it holds; empty for the whole ride
    again : numbers of the fuel points of other laps that it tells beside its own
    """

    kind: CueKind
    row: Row
    rhythm: Rhythm | None = None
    extra: Extra | None = None
    laps: tuple[int, ...] = ()
    again: tuple[int, ...] = ()

    @property
    def distance_m(self) -> float:
        """Where along the road [m]."""
        return self.row.distance_m

    @property
    def numbers(self) -> tuple[int, ...]:
        """Fuel points that it tells one by one."""
        return (*(point.number for point in self.row.points), *self.again)

    @property
    def needed(self) -> bool:
        """Whether the ride cannot be followed without it: all but landmarks."""
        return self.row.asleep or self.kind in ("rhythm", "eat", "sip", "refill", "hands_on", "finish")

    @property
    def window_s(self) -> tuple[float, float] | None:
        """Clock between which its fuel points are likely reached; None without one, and on laps [s]."""
        points = self.row.points
        if not points or self.laps:
            return None
        return (
            min(min(point.earliest_s, point.time_s) for point in points),
            max(max(point.latest_s, point.time_s) for point in points),
        )


def ride_cues(plan: Plan, drinking: Drinking) -> list[Cue]:
    """Return all cues of a ride in road order."""
    cues: list[Cue] = []
    for row in (*hands_told_once(plan, plan_rows(plan)), finish_row(plan)):
        if row.kind != "sip":
            cues.append(Cue(row.kind, row))
    before = Rhythm()
    for section in drinking.sections:
        for extra in section.extras:
            cues.append(Cue("sip", road_row(plan, extra.at_m, "sip", extra.text), extra=extra))
        if section.rhythm not in (before, Rhythm()):
            start = road_row(plan, section.start_m, "place", "")
            cues.append(Cue("rhythm", start, rhythm=section.rhythm))
        before = section.rhythm
    return sorted(cues, key=_order)


def _order(cue: Cue) -> tuple[float, int]:
    """Return what cues are sorted by: where several stand at one place, what begins there comes last."""
    turns = {"rhythm": 4, "hands_on": 3, "eat": 1, "sip": 1, "refill": 1, "finish": 5}
    return cue.distance_m, 2 if cue.row.asleep else turns.get(cue.kind, 0)
