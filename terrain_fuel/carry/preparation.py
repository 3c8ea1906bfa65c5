"""What is done beforehand: shopping against stock, mixing, wrapping, freezing, packing, checks."""

from collections.abc import Sequence

from terrain_fuel.day import Day
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import BottleFill, Packed, Preparation


def list_preparation(
    packing: Sequence[Packed], pours: Sequence[BottleFill], pantry: Pantry, day: Day
) -> tuple[Preparation, ...]:
    """Return the evening's and the morning's list, in the order in which things are done."""
    steps = [
        Preparation(
            "evening", "wrap", row.item, f"wrap {row.portions_planned + row.portions_reserve} bites in foil"
        )
        for row in packing
        if row.form == "bites in foil"
    ]
    for pour in pours:
        if pour.at_m == 0.0:
            mix = f"{pour.powder_g:.0f} g in " if pour.powder_g > 0 else ""
            steps.append(
                Preparation("morning", "mix", pour.item, f"{pour.container}: {mix}{pour.fluid_ml:.0f} ml")
            )
    return tuple(steps)
