"""What the rider's pins change in the plan made without them."""

from collections.abc import Sequence

from terrain_fuel.facts import NOTHING, Fact, fact
from terrain_fuel.food.model import Bite

MOVED_M = 100.0
TOLD = 4


def change_notices(before: Sequence[Bite], after: Sequence[Bite]) -> tuple[Fact, ...]:
    """Return one notice that says which bites are new, gone or moved, none if nothing changed.

    A bite is the same when the same portions of the same item stand within 100 m.
    """
    gone = [bite for bite in before if not _is_in(bite, after)]
    new = [bite for bite in after if not _is_in(bite, before)]
    if not gone and not new:
        return ()
    told = [fact("now_eaten", item=bite.item, at_m=bite.distance_m) for bite in new]
    told += [fact("no_longer_eaten", item=bite.item, at_m=bite.distance_m) for bite in gone]
    more = fact("and_more", count=len(told) - TOLD) if len(told) > TOLD else NOTHING
    kept = len(after) - len(new)
    return (fact("pins", changes=tuple(told[:TOLD]), more=more, kept=kept, bites=len(after)),)


def _is_in(bite: Bite, others: Sequence[Bite]) -> bool:
    return any(
        bite.item == other.item
        and bite.portions == other.portions
        and abs(bite.distance_m - other.distance_m) <= MOVED_M
        for other in others
    )
