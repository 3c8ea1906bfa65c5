"""Riders who would have to be on two stages at once."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from terrain_fuel.team.takings import Takings


@dataclass(frozen=True, slots=True)
class Clash:
    """Two stages that are ridden at the same time by some riders.

    ``first`` and ``second`` are the plans, by their start, of whom that holds longest.
    """

    first: Takings
    second: Takings
    riders: tuple[str, ...]

    @property
    def stages(self) -> tuple[str, str]:
        """The names of both stages, the one that begins first before the other."""
        return self.first.stage, self.second.stage


def find_clashes(takings: Sequence[Takings]) -> tuple[Clash, ...]:
    """Return which stages cannot both be ridden, each pair once, in the order of the stages.

    Parameters
    ----------
    takings : one of each rider and stage; who comes in just when the next stage begins rides both
    """
    found: dict[tuple[str, str], list[tuple[Takings, Takings]]] = {}
    for first, second in _at_once(takings):
        found.setdefault((first.stage, second.stage), []).append((first, second))
    return tuple(
        Clash(*max(pairs, key=lambda pair: pair[0].ends_s), tuple(first.rider for first, _ in pairs))
        for pairs in found.values()
    )


def _at_once(takings: Sequence[Takings]) -> Iterator[tuple[Takings, Takings]]:
    """Yield two plans of one rider of which the second begins before the first is over."""
    by_rider: dict[str, list[Takings]] = {}
    for each in takings:
        by_rider.setdefault(each.rider, []).append(each)
    for own in by_rider.values():
        for first, second in combinations(sorted(own, key=lambda each: each.begins_s), 2):
            if second.begins_s < first.ends_s:
                yield first, second
