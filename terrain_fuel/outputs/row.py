"""One row of a plan: a place on the road, and what is told there."""

from dataclasses import dataclass, replace
from typing import Literal

from terrain_fuel.outputs.place_names import short_place
from terrain_fuel.outputs.units import clock_text
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import FuelPoint, Plan

RowKind = Literal["eat", "sip", "refill", "hands_on", "crest", "foot", "summit", "place", "finish"]

SIGNED: tuple[RowKind, ...] = ("crest", "summit", "foot")
"""Landmarks whose own sign says what they are."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the plan.

    Parameters
    ----------
    distance_m : where along the road [m]
    end_m : end of a span whose hands belong on the bars [m]; ``distance_m`` for all else
    time_s : clock time since the start [s]
    clock : local time of day, "09:04"
    kind : what the row says
    number : the number of its (first) fuel point, None for what is not one
    name : short name, "½ oat square", "R×2 drink mix", "F water 240 · R mix 750", "Alder spring", "crest"
    distance_text : distance in the rider's units, without the unit: "62.7"
    length_text : length of a hands-on span, "4.1 km", of a climb at its foot; empty for all else
    landmark : the row of what the rider sees at a fuel point, to trust the distance again; may be None
    named : whether the name is more than the word for what the row is
    note : what is to be known of a place: that nobody halts at this tap; empty for all else
    points : the fuel points that the row tells: one bite, one sip, or all bottles filled at a halt
    asleep : True where the ride sleeps: always a row of its own
    """

    distance_m: float
    end_m: float
    time_s: float
    clock: str
    kind: RowKind
    number: int | None
    name: str
    distance_text: str
    length_text: str = ""
    landmark: "Row | None" = None
    named: bool = True
    note: str = ""
    points: tuple[FuelPoint, ...] = ()
    asleep: bool = False

    @property
    def point(self) -> FuelPoint | None:
        """The fuel point, at a halt the first, None for what is not one."""
        return self.points[0] if self.points else None

    @property
    def told(self) -> str:
        """The whole name with its note: "Alder spring, no halt"."""
        return f"{self.name}, {self.note}" if self.note else self.name

    @property
    def short(self) -> str:
        """The one short form of a landmark's name."""
        return short_place(self.name, signed=self.kind in SIGNED) if self.named else self.name

    @property
    def label(self) -> str:
        """What people see of it: "7" for a bite, "B" for a halt, nothing for all else."""
        return self.points[0].label if self.points else ""


def road_row(plan: Plan, distance_m: float, kind: RowKind, name: str, **more: object) -> Row:
    """Return a row at a distance, its texts in the rider's units."""
    time_s = plan.pace.clock_at(distance_m)
    plain = Row(
        distance_m=distance_m,
        end_m=distance_m,
        time_s=time_s,
        clock=clock_text(plan.day.start, time_s),
        kind=kind,
        number=None,
        name=name,
        distance_text=words_for(plan.rider).distance(distance_m),
    )
    return replace(plain, **more)  # type: ignore[arg-type]
