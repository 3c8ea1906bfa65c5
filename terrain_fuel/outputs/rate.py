"""How much carbohydrate an hour a plan brings, beside what is wanted."""

from terrain_fuel.outputs.words import Words
from terrain_fuel.plan import Plan


def carbohydrate_rate(plan: Plan, words: Words, place: str) -> str:
    """Return the line for ``place``, the start of its labels; a short ride wants nothing."""
    totals = plan.totals
    return words.label(
        f"{place}.{'of_wanted' if totals.carbohydrate_wanted_g_per_h else 'unwanted'}",
        planned_g_per_h=totals.carbohydrate_g_per_h,
        wanted_g_per_h=totals.carbohydrate_wanted_g_per_h,
    )
