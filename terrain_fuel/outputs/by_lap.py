"""The plan told by laps: what is taken at one place of the lap, and in which laps."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import Plan
from terrain_fuel.terrain.model import Laps

ONE_SPOT_M = 300.0
"""Places of two laps no farther apart than this are one for the rider."""


ENDS_M = 500.0
"""With no more other road than this before the first lap and behind the last the whole route is laps."""


def whole_laps(plan: Plan) -> Laps | None:
    """Return the laps where the whole route is laps of one road; None where other road is ridden too."""
    laps = plan.terrain.laps
    if laps is None or laps.count < 2:
        return None
    before_m, behind_m = laps.bounds_m[0], plan.terrain.length_m - laps.bounds_m[-1]
    return laps if max(before_m, behind_m) <= ENDS_M else None


@dataclass(frozen=True, slots=True)
class Spot:
    """One place of the lap [m into it], and the places on the road that are this one."""

    along_m: float
    places_m: tuple[float, ...]


def spots_of(laps: Laps, places_m: Iterable[float]) -> tuple[Spot, ...]:
    """Return the spots of a lap that some places on the road are, in the order of the lap.

    Places before the first lap and behind the last are none.
    """
    on_lap = sorted((laps.along_m(at_m), at_m) for at_m in places_m if laps.lap_at(at_m))
    spots: list[list[tuple[float, float]]] = []
    for along_m, at_m in on_lap:
        if spots and along_m - spots[-1][0][0] <= ONE_SPOT_M:
            spots[-1].append((along_m, at_m))
        else:
            spots.append([(along_m, at_m)])
    return tuple(Spot(spot[0][0], tuple(sorted(at_m for _, at_m in spot))) for spot in spots)


def laps_text(words: Words, laps: Sequence[int], count: int) -> str:
    """Return laps as they are told: "every lap", "lap 3", "laps 3, 5-7"."""
    if len(set(laps)) == count > 1:
        return words.label("lap.every")
    numbers = sorted(set(laps))
    return words.label("lap.one" if len(numbers) == 1 else "lap.some", laps=lap_numbers(numbers))


def lap_numbers(numbers: Sequence[int]) -> str:
    """Return rising numbers, three and more in a row as a span: "3, 5-7"."""
    parts = []
    for _, run in groupby(enumerate(numbers), lambda pair: pair[1] - pair[0]):
        row = [number for _, number in run]
        parts += [f"{row[0]}-{row[-1]}"] if len(row) > 2 else [str(number) for number in row]
    return ", ".join(parts)
