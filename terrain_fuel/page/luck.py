"""The plan ridden a thousand times for the page, and advice turned into edits that can be undone."""

from collections.abc import Callable
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import Fact, fact
from terrain_fuel.food.pins import EatHere
from terrain_fuel.luck import Luck
from terrain_fuel.outputs.trust import wrong_rides
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import Plan
from terrain_fuel.rides.edits import AddEntry, Edit, SetValue
from terrain_fuel.simulate import ride_many

RIDES = 1000
LARGER = 1.25
"""By how much a mouthful grows where larger ones are advised."""

LARGEST_SIP_ML = 250.0
BOTTLES = {"more_bottle", "more_bottle_larger_mouthfuls"}
MOUTHFULS = {"larger_mouthfuls", "more_bottle_larger_mouthfuls"}


class Chances:
    """What became of a thousand rides of the plan that was shown when they were asked for."""

    def __init__(self, on_share: Callable[[], None]) -> None:
        self.ridden_share = 0.0
        self._on_share = on_share
        self._found: tuple[Plan, Luck] | None = None

    def ride(self, plan: Plan) -> dict[str, Any]:
        """Ride a plan a thousand times, the same ones each time; return what the page says of them."""
        luck = ride_many(plan, RIDES, on_share=self._told)
        self._told(0.0)
        self._found = plan, luck
        return luck_data(luck, words_for(plan.rider))

    def _told(self, share: float) -> None:
        self.ridden_share = share
        self._on_share()

    def followed(self, number: int) -> tuple[Edit, ...]:
        """Return the edits that follow a piece of advice.

        Raises
        ------
        SettingsError
            If nothing was ridden yet, or there is no such advice.
        """
        if self._found is None:
            raise SettingsError("ride it a thousand times first", fact("refused_not_ridden"))
        plan, luck = self._found
        return advice_edits(luck, number, plan, words_for(plan.rider).label("table.bottle"))


def luck_data(luck: Luck, words: Words) -> dict[str, Any]:
    """Return what the page says of the rides."""
    return {
        "rides": luck.rides,
        "well": round(100.0 * luck.all_well),
        "chances": wrong_rides(luck, words),
        "advice": [words.say(advice.sentence) for advice in luck.advice],
    }


def advice_edits(luck: Luck, number: int, plan: Plan, bottle_name: str) -> tuple[Edit, ...]:
    """Return the edits that follow a piece of advice.

    Raises
    ------
    SettingsError
        If there is no such advice.
    """
    if not 0 <= number < len(luck.advice):
        raise SettingsError("there is no such advice")
    change = luck.advice[number].change
    edits: list[Edit] = []
    if change.code in MOUTHFULS:
        sip_ml = round(min(LARGEST_SIP_ML, LARGER * plan.rider.habits.sip_ml))
        edits.append(SetValue("rider", "habits", "sip_ml", sip_ml))
    if change.code in BOTTLES:
        edits.append(AddEntry("pantry", "container", _bottle(change, plan, bottle_name)))
    if change.code == "more_food":
        edits += _one_more(change, plan)
    return tuple(edits)


def _bottle(change: Fact, plan: Plan, name: str) -> dict[str, Any]:
    taken = {box.name for box in plan.pantry.containers}
    names = [name, *(f"{name} {number}" for number in range(2, len(taken) + 3))]
    free = next(each for each in names if each not in taken)
    return {"name": free, "kind": "bottle", "holds_ml": round(_number(change, "bottle_ml"))}


def _one_more(change: Fact, plan: Plan) -> list[Edit]:
    item, at_km = str(change.values["item"]), round(_number(change, "place_m") / 1000.0, 2)
    names = [each.name for each in plan.pantry.items]
    at = names.index(item)
    pin = EatHere(item, at_km, 1)
    return [
        SetValue("pantry", "item", "count", plan.pantry.items[at].count + 1, at),
        AddEntry("pins", "eat_here", {"item": pin.item, "at_km": pin.at_km, "portions": pin.portions}),
    ]


def _number(change: Fact, key: str) -> float:
    value = change.values[key]
    assert isinstance(value, (int, float))
    return float(value)
