"""Riders who come to one helper so close together that one pair of hands is too few."""

from collections.abc import Sequence

from terrain_fuel.team.sums import Handing

TOGETHER_S, TOO_MANY = 120.0, 3
"""So many riders within so long are more than one person hands bottles to one by one, taking the empty ones
back: common practice (no source)."""


def most_together(handings: Sequence[Handing]) -> tuple[Handing, ...]:
    """Return the most riders of a feed who are planned within two minutes, none where one can serve them."""
    coming = sorted(handings, key=lambda each: each.about_s)
    groups = (
        tuple(other for other in coming if 0.0 <= other.about_s - first.about_s <= TOGETHER_S)
        for first in coming
    )
    most = max(groups, key=len, default=())
    return most if len(most) >= TOO_MANY else ()
