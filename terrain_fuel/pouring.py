"""What is drunk once the bites stand: as planned before, or mixed otherwise where that brings more."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from terrain_fuel.assembly.plan import Prepared
from terrain_fuel.bottles.drinks import plan_drinks
from terrain_fuel.bottles.model import DrinkPlan
from terrain_fuel.bottles.share import Asked
from terrain_fuel.drink.feedings import over_gaps
from terrain_fuel.drink.sips import BesideBites, SipPlan, beside_bites, place_sips
from terrain_fuel.food.model import Bite
from terrain_fuel.plan import Violation

OTHERWISE = (
    Asked(0.75),
    Asked(1.0, thinned=False),
    Asked(1.25, thinned=False),
    Asked(1.5),
    Asked(1.5, thinned=False),
)
"""What else is asked of drink, thinner or stronger: chosen by trial on twenty made races (no source)."""

MISSED_SHARE = 0.03
"""Bottles are not mixed otherwise for less than this of what is wanted."""

WORTH_SHARE = 0.01
"""What is wanted comes nearer by this, or all stays as it is."""

AS_MUCH_SHARE = 0.98
"""The stronger a mix, the less room to drink it: so much of what was to be drunk counts as all of it."""

SIP_PLACE_NUMBERS, LEG_NUMBERS = 80_000, 1_500_000
"""What a place for a sip, and the filling of bottles for a leg, count as work."""

WORTH_G_PER_ML = 0.02
"""What is drunk too little, in carbohydrate: a litre like a bottle of thin mix (an assumption)."""


@dataclass(frozen=True, slots=True, eq=False)
class Poured:
    """What is drunk, and what was known of a ride with the bottles so filled."""

    ready: Prepared
    sips: SipPlan
    gaps: tuple[Violation, ...]

    @property
    def carbohydrate_g(self) -> float:
        """What the sips bring [g]."""
        return sum(sip.draught.carbohydrate_g for sip in self.sips.sips)

    @property
    def broken(self) -> Counter[str]:
        """How many times which rules are broken by what is drunk, gaps without food with them."""
        violations = (*self.ready.drinks.violations, *self.sips.violations, *self.gaps)
        return Counter(each.name for each in violations)

    def worth_g(self, wanted_g: float, planned_ml: float) -> float:
        """Return what the sips bring of what is wanted, less what is beyond it and left undrunk [g]."""
        drunk_ml = sum(sip.draught.fluid_ml for sip in self.sips.sips)
        undrunk_ml = max(0.0, AS_MUCH_SHARE * planned_ml - drunk_ml)
        return wanted_g - abs(wanted_g - self.carbohydrate_g) - WORTH_G_PER_ML * undrunk_ml


def pour_beside(ready: Prepared, bites: Sequence[Bite]) -> Poured:
    """Return what is drunk beside bites that stand, and how the bottles are filled for it.

    Parameters
    ----------
    ready : what is known before food has its place; its drinks are those the bites were placed beside
    bites : in road order

    Notes
    -----
    Bites are placed beside a smooth curve of drink. Being whole, they leave room in some hours that this mix
    does not fill, or none in hours in which there is only mix to drink. Where food or water is missing
    other mixes are tried, and the one of most worth is poured, if it breaks no rule that was kept.
    """
    beside = beside_bites(ready.demand, ready.hands, ready.road, bites, ready.rider, ready.pantry)
    best = first = _poured(ready, beside)
    demand, planned_ml = ready.demand, float(ready.drinks.fluid_ml[-1])
    target_g = float(demand.carbohydrate_target_g[-1])
    eaten_g = sum(bite.carbohydrate_g for bite in bites)
    wanted_g = max(target_g, demand.carbohydrate_wanted_g_per_h * demand.pace.elapsed_s / 3600.0)
    of_sips_g = max(0.0, wanted_g - eaten_g)
    missing_g = target_g - eaten_g - first.worth_g(of_sips_g, planned_ml)
    if not bites or ready.drinks.spare_powder_g <= 0.0 or missing_g < MISSED_SHARE * target_g:
        return first
    for asked in OTHERWISE:
        tried = _poured(replace(ready, drinks=_drinks(ready, asked)), beside)
        gain_g = tried.worth_g(of_sips_g, planned_ml) - best.worth_g(of_sips_g, planned_ml)
        if gain_g >= WORTH_SHARE * target_g and tried.broken <= first.broken:
            best = tried
    return best


def _drinks(ready: Prepared, asked: Asked) -> DrinkPlan:
    ready.work.add(LEG_NUMBERS * len(ready.drinks.legs))
    mix_share, refills = ready.road.asking.mix_share, ready.drinks.refills
    return plan_drinks(
        ready.demand, refills, ready.rider, ready.pantry, ready.day, mix_share=mix_share, asked=asked
    )


def _poured(ready: Prepared, beside: BesideBites) -> Poured:
    sips = place_sips(beside, ready.drinks)
    ready.work.add(SIP_PLACE_NUMBERS * sips.places)
    gaps, _ = over_gaps(beside.way.bites, sips.sips, ready.road)
    return Poured(ready, sips, gaps)
