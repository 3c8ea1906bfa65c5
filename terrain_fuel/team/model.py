"""Who rides which stage on which bicycle, out of which kitchen, and who rides with whom."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from terrain_fuel.pantry import Pantry
from terrain_fuel.rider import Habits, Rider

ROLES: Mapping[str, float] = {"front": 0.3, "turns": 0.6, "sheltered": 0.85}
"""Role in a bunch to the share of the ride behind others: common practice (no source). What that shelter
takes off the drag is `pace.spans.SHELTER`, published [Ky79]_."""

USUAL_ROLE = "turns"


@dataclass(frozen=True, slots=True)
class Start:
    """One rider on one stage: settings with the bicycle of that stage, and the kitchen's name."""

    rider: Rider
    kitchen: str

    @property
    def name(self) -> str:
        """The rider's name."""
        return self.rider.name


@dataclass(frozen=True, slots=True)
class Bunch:
    """Riders who stay together over a stage.

    Its pace is that of the slowest of ``set_by``, or brings it home in ``time_s`` in the saddle.
    """

    riders: tuple[str, ...]
    set_by: tuple[str, ...]
    time_s: float | None = None


@dataclass(frozen=True, slots=True)
class Stage:
    """One day's route. ``day`` holds the tables of its day file, read once its time zone is known."""

    name: str
    route: Path
    track: str | None
    day: Mapping[str, Any]
    day_path: Path
    starts: tuple[Start, ...]
    bunches: tuple[Bunch, ...] = ()


@dataclass(frozen=True, slots=True)
class Team:
    """All that a team's file says; ``habits`` hold the language and the units of the team's sheets."""

    name: str
    habits: Habits
    kitchens: Mapping[str, Pantry]
    stages: tuple[Stage, ...]
    elevation: Path | None = None
