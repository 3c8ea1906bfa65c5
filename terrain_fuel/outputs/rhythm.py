"""Drinking told as a rhythm: a mouthful every so many minutes or with every bite, and where more is drunk."""

from collections.abc import Iterable
from dataclasses import dataclass

from terrain_fuel.plan import FuelPoint, Plan


@dataclass(frozen=True, slots=True)
class Extra:
    """A place [m], and its clock [s], where more is drunk than the rhythm says: mouthfuls by bottle."""

    at_m: float
    at_s: float
    mouthfuls: tuple[tuple[str, int], ...]

    @property
    def text(self) -> str:
        """What is drunk, as it is printed: "F×2 R×1"."""
        return drinks_text(self.mouthfuls)


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How is drunk: a mouthful of ``bottle`` every so many minutes, ``each_bite`` of another with every bite.

    Signs are "" and minutes 0 where there is no such part.
    """

    bottle: str = ""
    every_min: int = 0
    bite_bottle: str = ""
    each_bite: int = 1

    def with_bites(self, bites: int) -> int:
        """Return the mouthfuls that go with so many bites."""
        return self.each_bite * bites if self.bite_bottle else 0


@dataclass(frozen=True, slots=True)
class Section:
    """The ride from one filling of the bottles to the next: its road [m], clock [s], rhythm and extras.

    ``surplus`` is what it leaves undrunk of the plan, in mouthfuls; less than 0 where it drinks more.
    """

    start_m: float
    end_m: float
    start_s: float
    end_s: float
    rhythm: Rhythm
    extras: tuple[Extra, ...]
    surplus: float = 0.0


@dataclass(frozen=True, slots=True)
class Drinking:
    """The drinking of a whole ride: its sections and how large one mouthful is [ml]."""

    sections: tuple[Section, ...]
    mouthful_ml: float


def mouthfuls_of(plan: Plan, section: Section) -> int:
    """Return how many mouthfuls are drunk by whoever follows a section to the letter."""
    rhythm = section.rhythm
    with_bites = rhythm.with_bites(len(bites_between(plan, section.start_m, section.end_m)))
    extras = sum(count for extra in section.extras for _, count in extra.mouthfuls)
    return by_clock(rhythm, section.start_s, section.end_s) + with_bites + extras


def drinks_text(mouthfuls: Iterable[tuple[str, int]]) -> str:
    """Return mouthfuls as they are printed: "F×2 R×1"."""
    return " ".join(f"{sign}×{count}" for sign, count in mouthfuls)


def by_clock(rhythm: Rhythm, start_s: float, end_s: float) -> int:
    """Return the mouthfuls of a rhythm's minutes between two clock times [s]."""
    return int((end_s - start_s) / 60.0 // rhythm.every_min) if rhythm.every_min else 0


def bites_between(plan: Plan, start_m: float, end_m: float) -> list[FuelPoint]:
    """Return the bites of a stretch of road [m]; one at its start is none of it."""
    return [p for p in plan.fuel_points if p.action == "eat" and start_m < p.distance_m <= end_m]
