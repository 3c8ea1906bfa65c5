"""How much better another plan could be, in words."""

import math

from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import Optimality

NOT_KNOWN_FROM = 0.9
"""A bound this far off says nothing."""

AS_GOOD = 0.05
"""Another choice that costs less than this more is as good."""

MUCH_WORSE = 10.0
"""From here on a figure says no more than that."""


def at_best(words: Words, found: Optimality, place: str) -> str:
    """Return the line for ``place``, the start of its labels; shares are rounded up to per cents.

    No bound is sought for a plan with pins, but the plan without them is known: what they cost is said.
    """
    if found.pins_share is not None:
        share = _per_cents_up(found.pins_share)
        return words.label(f"{place}.{'without_pins' if share else 'pins_free'}", share=share)
    if found.gap_share >= NOT_KNOWN_FROM:
        return words.label(f"{place}.not_known")
    return words.label(f"{place}.at_most_better", gap_share=_per_cents_up(found.gap_share))


def how_much_worse(words: Words, extra_cost: float, found: Optimality) -> str:
    """Return what another choice costs the plan, as a share of what the plan costs, in words."""
    if extra_cost < AS_GOOD:
        return words.label("at_best.as_good")
    if extra_cost >= MUCH_WORSE:
        return words.label("at_best.much_worse")
    return words.label(
        "at_best.worse", share=_per_cents_up(extra_cost / max(abs(found.objective), extra_cost))
    )


def _per_cents_up(share: float) -> float:
    return math.ceil(100.0 * share - 1e-6) / 100.0
