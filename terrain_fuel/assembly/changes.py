"""What the rider's pins change in the plan made without them."""

from collections.abc import Sequence

from terrain_fuel.demand.model import Notice
from terrain_fuel.demand.places import say_place
from terrain_fuel.food.model import Bite
from terrain_fuel.rider import Rider

MOVED_M = 100.0
TOLD = 4


def change_notices(before: Sequence[Bite], after: Sequence[Bite], rider: Rider) -> tuple[Notice, ...]:
    """Return one notice that says which bites are new, gone or moved, none if nothing changed.

    A bite is the same when the same portions of the same item stand within 100 m.
    """
    gone = [bite for bite in before if not _is_in(bite, after)]
    new = [bite for bite in after if not _is_in(bite, before)]
    if not gone and not new:
        return ()
    told = [f"now {_said(bite, rider)}" for bite in new] + [
        f"no longer {_said(bite, rider)}" for bite in gone
    ]
    more = f" and {len(told) - TOLD} more" if len(told) > TOLD else ""
    kept = len(after) - len(new)
    sentence = f"Your pins: {'; '.join(told[:TOLD])}{more}. {kept} of {len(after)} bites stay as they were."
    return (Notice("pins", sentence),)


def _is_in(bite: Bite, others: Sequence[Bite]) -> bool:
    return any(
        bite.item == other.item
        and bite.portions == other.portions
        and abs(bite.distance_m - other.distance_m) <= MOVED_M
        for other in others
    )


def _said(bite: Bite, rider: Rider) -> str:
    return f"{bite.item} at {say_place(bite.distance_m, rider)}"
