"""What waits in a bag that is reached only standing, until a halt has it moved into the pockets."""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from terrain_fuel.pantry import Pantry


@dataclass(frozen=True, slots=True)
class Eaten:
    """Portions of a carried item eaten at one time [s]."""

    item: str
    portions: int
    clock_s: float


def waiting_bites(
    eaten: Sequence[Eaten], halts_s: Sequence[float], within_reach: int, standing: int, pantry: Pantry
) -> frozenset[int]:
    """Return which bites wait for a halt, by index; none where that does not make room enough.

    Parameters
    ----------
    eaten : what is planned from what is carried
    halts_s : when the rider stands still with a hand free, rising [s]
    within_reach, standing : slots of what is reached while riding, and only standing
    pantry : into how many bites an item is cut

    Notes
    -----
    The last bites wait, each until the last halt before it. At no halt may more be in the pockets
    than they hold.
    """
    waiting: set[int] = set()
    for index in sorted(range(len(eaten)), key=lambda each: -eaten[each].clock_s):
        if _pieces((bite for at, bite in enumerate(eaten) if at not in waiting), pantry) <= within_reach:
            break
        if not halts_s or eaten[index].clock_s < halts_s[0]:
            return frozenset()
        waiting.add(index)
    if _pieces((eaten[at] for at in waiting), pantry) > standing:
        return frozenset()
    for halt_s, next_s in pairwise([*halts_s, math.inf]):
        kept = (bite for at, bite in enumerate(eaten) if at not in waiting and bite.clock_s >= halt_s)
        moved = (eaten[at] for at in waiting if halt_s <= eaten[at].clock_s < next_s)
        if _pieces(kept, pantry) + _pieces(moved, pantry) > within_reach:
            return frozenset()
    return frozenset(waiting)


def _pieces(bites: Iterable[Eaten], pantry: Pantry) -> int:
    """Return the whole items that some bites come from."""
    portions: Counter[str] = Counter()
    for bite in bites:
        portions[bite.item] += bite.portions
    return sum(math.ceil(count / pantry.item(name).portions) for name, count in portions.items())
