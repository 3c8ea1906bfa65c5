"""What the rider has set to be in a bottle: checked against pantry and road, and kept by the plan."""

from collections.abc import Mapping, Sequence

from terrain_fuel.bottles.model import Refill
from terrain_fuel.bottles.places import SAME_PLACE_M
from terrain_fuel.day import Day, Fill
from terrain_fuel.errors import SettingsError
from terrain_fuel.pantry import WATER_NAME, Pantry


def own_fillings(day: Day, at_m: float) -> Mapping[str, Fill]:
    """Return what is set for a place [m], 0 being the start, by the bottle's name."""
    return {
        fill.container: fill
        for fill in day.fills
        if abs(fill.at_km * 1000.0 - at_m) < (SAME_PLACE_M if fill.at_km > 0.0 else 1.0)
    }


def set_halts(places: Sequence[Refill], pantry: Pantry, day: Day) -> frozenset[int]:
    """Return the indices of the places where a filling is set: the ride halts there.

    Raises
    ------
    SettingsError
        For a bottle or a drink that the pantry does not have, or a place without water.
    """
    halts = set()
    for number, fill in enumerate(day.fills, start=1):
        where = f"[[fill]] number {number}:"
        _check(fill, pantry, where)
        if fill.at_km > 0.0:
            near = [i for i, place in enumerate(places) if _is_near(fill, place)]
            if not near:
                known = ", ".join(f"{place.at_m / 1000.0:.1f}" for place in places) or "none on this road"
                raise SettingsError(
                    f"{where} at_km is {fill.at_km:g}; allowed is 0 for the start or a place with water:"
                    f" {known}; correct it, or add a [[feed]] there"
                )
            halts.add(near[0])
    return frozenset(halts)


def _is_near(fill: Fill, place: Refill) -> bool:
    return abs(fill.at_km * 1000.0 - place.at_m) < SAME_PLACE_M


def _check(fill: Fill, pantry: Pantry, where: str) -> None:
    bottles = {bottle.name: bottle for bottle in pantry.bottles if bottle.reach == "riding"}
    if fill.container not in bottles:
        raise SettingsError(
            f"{where} container is {fill.container!r}; allowed is a bottle within reach:"
            f" {', '.join(bottles) or 'none'}; correct the name"
        )
    holds_ml = bottles[fill.container].holds_ml
    if fill.fluid_ml is not None and fill.fluid_ml > holds_ml:
        raise SettingsError(
            f"{where} fluid_ml is {fill.fluid_ml:g}; the {fill.container} holds {holds_ml:g} ml; lower it"
        )
    drinks = [item.name for item in pantry.items if item.traits.brings_energy]
    if fill.item not in (WATER_NAME, *drinks):
        raise SettingsError(
            f"{where} item is {fill.item!r}; allowed is {', '.join((WATER_NAME, *drinks))}; correct the name"
        )
