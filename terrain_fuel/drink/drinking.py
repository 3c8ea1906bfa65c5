"""Drinking as the ride goes on: at each place how much, and from which bottle."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from terrain_fuel.bottles.filling import LAST_MOUTHFULS_ML
from terrain_fuel.bottles.model import DrinkPlan, Leg
from terrain_fuel.demand.model import Demand
from terrain_fuel.drink.hunger import EARLY_S, Hunger
from terrain_fuel.drink.levels import BottleLevels
from terrain_fuel.drink.model import Sip
from terrain_fuel.drink.prompts import Prompts
from terrain_fuel.drink.room import HOUR_S, DrinkLimits
from terrain_fuel.drink.sip_places import OpenRoad, SipPlace, find_sip_places
from terrain_fuel.frozen import value_at
from terrain_fuel.rider import Rider

# Common practice (no source), all of it.
LEAST_MOUTHFUL_ML = 15.0
"""Below this a mouthful is none."""
LAST_SIP_WAITS_S = 300.0
"""After the last sip of a leg the next comes about so long after the halt."""
DRAUGHT_ML = 180.0
"""The most drunk at one place while riding."""
INTO_THE_HALT_M = 20.0
MOST_TO_FEED_ML = 250.0
"""So much is drunk at one place where it has to end a gap between food."""
SPARE_POWDER_G, SHORT_SHARE = 20.0, 0.75
"""Less powder at home than this is none; less to eat than this share of what is wanted is far too little."""
SPARE_G = 0.5
"""So much more room is kept for it in the hour than it needs."""
TWO_APART_S = 150.0
"""Where that is not enough a second draught follows within this time."""
MUCH_MORE = 1.6
"""Another bottle is taken where it gives so many times what the first would."""


@dataclass(frozen=True, slots=True)
class _Thirst:
    """What one place asks for.

    ``wanted_ml`` brings the drink up to the planned curve, ``most_ml`` is allowed, ``food_g`` ends a gap
    between food, ``behind_g`` would bring what is eaten and drunk up to what is wanted, ``drops`` are the
    last of a bottle that should be empty before it is filled, and so many ``bites_ahead`` come before then.
    """

    wanted_ml: float
    most_ml: float
    food_g: float
    behind_g: float
    drops: tuple[str, float, float] | None
    bites_ahead: int


@dataclass(slots=True)
class Drinking:
    """The drinking of a ride, leg by leg in road order: the one mutable account of its sips."""

    demand: Demand
    way: OpenRoad
    drinks: DrinkPlan
    rider: Rider
    levels: BottleLevels
    limits: DrinkLimits
    hunger: Hunger
    prompts: Prompts
    fills_hours: bool
    sips: list[Sip] = field(default_factory=list)
    places: int = 0

    def ride(self, leg: Leg) -> None:
        """Fill the bottles for a leg and drink along it."""
        poured = len(self.levels.pours)
        self.levels.fill(leg)
        self._say_what_is_finished({pour.container for pour in self.levels.pours[poured:]}, leg)
        ahead = find_sip_places(self.way, leg, self.drinks, self._draught_ml, fills_hours=self._fills_hours)
        for place in ahead:
            if place.kind == "refill":
                self.prompts.add(place.clock_s)
        ration_ml = self._ration_ml(ahead, leg)
        until_s = self.way.clock_at(leg.end_m)
        self.hunger.share_out(self.levels.carbohydrate_g, until_s, is_last=self._stock_is_short)
        self._start(ahead, leg)
        while ahead:
            place = ahead.pop(0)
            self.places += 1
            between = self._hold_out(ahead, place.clock_s, leg)
            thirst = self._thirst(place, ahead, leg, ration_ml)
            if self._may_ask(place, thirst):
                self._note(self._take(place, thirst))
            if between and self._due_s(place.clock_s, ahead[1:], leg) is None:
                ahead.pop(0)
        if leg is not self.drinks.legs[-1]:
            self._empty_for_the_halt(leg)

    @property
    def _stock_is_short(self) -> bool:
        """Whether there is no more powder at home, and far less of everything than is wanted."""
        eaten_g = sum(bite.carbohydrate_g for bite in self.way.bites)
        planned_g = eaten_g + float(self.drinks.carbohydrate_g[-1])
        short = planned_g < SHORT_SHARE * float(self.demand.carbohydrate_target_g[-1])
        return short and self.drinks.spare_powder_g < SPARE_POWDER_G

    @property
    def _fills_hours(self) -> bool:
        """Whether sips bring what the bites leave of each hour.

        Only in a race that fills the hours, beside bites: drink that is all the food, or far too little, is
        shared out.
        """
        return self.fills_hours and bool(self.way.bites) and not self._stock_is_short

    @property
    def _draught_ml(self) -> float:
        return max(DRAUGHT_ML, self.rider.habits.sip_ml)

    def _ration_ml(self, places: Sequence[SipPlace], leg: Leg) -> float:
        """Return the mouthful each bite is sure of: the habit, or an equal share of the last drops [ml].

        The last drops are those in the bottles, or those that may be drunk to the finish.
        """
        bites = sum(place.kind == "bite" for place in places)
        if not bites:
            return 0.0
        may_ml = self.limits.left_ml / max(self._bites_after(self.way.clock_at(leg.start_m)), bites)
        return max(0.0, min(self.rider.habits.sip_ml, self.levels.in_reach_ml / bites, may_ml))

    def _bites_after(self, clock_s: float) -> int:
        return self.hunger.bites_between(clock_s, math.inf)

    def _next_s(self, ahead: Sequence[SipPlace], leg: Leg) -> float:
        """Return when the next sip may come: the first place ahead, or open road some time after the halt."""
        if ahead:
            return ahead[0].clock_s
        return self.way.open_from_s(self.way.clock_at(leg.end_m) + LAST_SIP_WAITS_S)

    def _start(self, ahead: list[SipPlace], leg: Leg) -> None:
        """Drink at the halt where food must come before the first place ahead, unless there is one sooner.

        Where the halt stands in a place for both hands nothing is drunk at it either.
        """
        since_s = self.way.clock_at(leg.start_m)
        if self._due_s(since_s, ahead, leg) is None or self._hold_out(ahead, since_s, leg):
            return
        if leg.refill is None:
            return
        place = self.way.at_the_halt(leg.start_m, "refill")
        if self.way.is_clear(place.distance_m):
            ahead.insert(0, place)

    def _may_ask(self, place: SipPlace, thirst: _Thirst) -> bool:
        """Return whether a sip may stand at a place: with a bite, for a halt, to end a gap, or if few are."""
        is_due = place.kind in ("bite", "refill") or thirst.food_g > 0.0
        if place.only_mix and not is_due and not self._may_fill(place.clock_s, thirst):
            return False
        return is_due or self.prompts.leave_room(place.clock_s)

    def _may_fill(self, at_s: float, thirst: _Thirst) -> bool:
        """Return whether a mouthful of mix is missing, in a bottle and has room in the hour."""
        mixed = [g_per_ml for _, _, g_per_ml in self.levels.choices(False) if g_per_ml > 0.0]
        least_g = LEAST_MOUTHFUL_ML * min(mixed, default=math.inf)
        return thirst.behind_g > 0.0 and self.limits.carbohydrate_room_g(at_s) >= least_g

    def _note(self, sip: Sip | None) -> None:
        if sip is not None:
            self.sips.append(sip)
            self.prompts.add(sip.place.clock_s)
            self.hunger.add(sip.place.clock_s, sip.draught.carbohydrate_g)

    def _hold_out(self, ahead: list[SipPlace], since_s: float, leg: Leg) -> bool:
        """Put a place before those ahead where food must come sooner than the first of them; say whether."""
        due_s = self._due_s(since_s, ahead, leg)
        if due_s is None:
            return False
        place = self.way.last_open(since_s, min(due_s, self.way.clock_at(leg.end_m)))
        if place is None or not self._may_feed(place.clock_s):
            return False
        ahead.insert(0, place)
        return True

    def _may_feed(self, at_s: float) -> bool:
        """Return whether drink may end a gap at a moment, from one bottle or from several."""
        food_g = self.hunger.missing_g
        return self.levels.carbohydrate_g >= food_g and self.limits.carbohydrate_room_g(at_s) >= food_g

    def _early_s(self) -> float:
        """Return how long before a gap is too long drink ends it [s]: sooner where that takes two."""
        most_g = self.levels.strongest_g(MOST_TO_FEED_ML)
        return EARLY_S if most_g >= self.hunger.missing_g else EARLY_S + TWO_APART_S

    def _due_s(self, since_s: float, ahead: Sequence[SipPlace], leg: Leg) -> float | None:
        """Return by when drink must end the gap, None where the first place ahead or a bite will [s]."""
        return self.hunger.due_s(since_s, self._next_s(ahead, leg), self._early_s())

    def _thirst(self, place: SipPlace, ahead: Sequence[SipPlace], leg: Leg, ration_ml: float) -> _Thirst:
        is_bite = place.kind == "bite"
        wanted_ml = self._wanted_ml(place, ahead, leg)
        if is_bite:
            wanted_ml = max(wanted_ml, ration_ml)
        # Of what the bites ahead need for their mouthfuls, nothing ends a gap.
        bites_ahead = sum(other.kind == "bite" for other in ahead)
        kept_ml = ration_ml * bites_ahead
        free_ml = max(self.levels.in_reach_ml - kept_ml, ration_ml if is_bite else 0.0)
        # Between bites the next bite's mouthful stays allowed, by the hour and by the sweat.
        room_ml = self.limits.fluid_room_ml(place.clock_s)
        if not is_bite:
            room_ml -= max(ration_ml, self._soon_ml(place.clock_s))
        # To the finish every bite's mouthful stays allowed.
        left_ml = self.limits.left_ml - ration_ml * self._bites_after(place.clock_s)
        most_ml = min(room_ml, free_ml, max(left_ml, ration_ml if is_bite else 0.0))
        is_last = not ahead and leg is not self.drinks.legs[-1]
        return _Thirst(
            wanted_ml=min(wanted_ml, most_ml),
            most_ml=most_ml,
            food_g=self.hunger.wanted_g(place.clock_s, self._next_s(ahead, leg), self._early_s()),
            behind_g=self._behind_g(place, ahead),
            drops=self.levels.last_drops() if is_last else None,
            bites_ahead=bites_ahead,
        )

    def _soon_ml(self, now_s: float) -> float:
        """Return the least mouthful of a bite within the hour, on this leg or the next [ml]."""
        return LEAST_MOUTHFUL_ML if self.hunger.bites_between(now_s, now_s + HOUR_S) else 0.0

    def _behind_g(self, place: SipPlace, ahead: Sequence[SipPlace]) -> float:
        """Return what is missing on the curve of carbohydrate until the next sip, bites counted [g]."""
        if not self._fills_hours:
            return 0.0
        pace = self.demand.pace
        upto_s = ahead[0].clock_s if ahead else place.clock_s + LAST_SIP_WAITS_S
        wanted_g = value_at(upto_s, pace.clock_s, self.demand.carbohydrate_target_g)
        return max(0.0, wanted_g - self.limits.taken_g(upto_s))

    def _wanted_ml(self, place: SipPlace, ahead: Sequence[SipPlace], leg: Leg) -> float:
        """Return what brings the drink up to the planned curve half-way to the next sip [ml]."""
        pace = self.demand.pace
        if ahead:
            upto_s = 0.5 * (place.clock_s + ahead[0].clock_s)
            due_ml = value_at(upto_s, pace.clock_s, self.drinks.fluid_ml)
        else:
            due_ml = value_at(leg.end_m, pace.distance_m, self.drinks.fluid_ml)
        wanted_ml = min(due_ml - self.limits.drunk_ml(place.clock_s), self._draught_ml)
        mouthful_ml = self.rider.habits.sip_ml
        whole_ml = max(0.0, math.floor(wanted_ml / mouthful_ml + 0.5) * mouthful_ml)
        # The last sip of a leg takes what is left, unless that is less than half a mouthful.
        return wanted_ml if whole_ml > 0.0 and not ahead else whole_ml

    def _take(self, place: SipPlace, thirst: _Thirst) -> Sip | None:
        """Drink from the bottle that gives most of what is wanted; less than a mouthful is nothing.

        The gut's room for carbohydrate is shared with the least mouthfuls of the bites of the next hour,
        unless there is water for them; beside mix, water is left for those before it is filled.
        Where drink has to end a gap it comes from the bottle with carbohydrate, more than was wanted if
        need be.
        """
        wanted_ml, choices = thirst.wanted_ml, self._choices(place, thirst)
        if thirst.drops is not None and choices == [thirst.drops]:
            wanted_ml = min(max(wanted_ml, thirst.drops[1]), thirst.most_ml)
        room_g = self.limits.carbohydrate_room_g(place.clock_s)
        if self.hunger.is_fed_by_drink(place.clock_s):
            # What ends the next gap has its room in the hour too.
            kept_g = self.limits.room_left_g(place.clock_s, self.hunger.gap_s) - self.hunger.whole_g - SPARE_G
            room_g = min(room_g, max(kept_g, thirst.food_g))
        kept_ml = self._kept_for_bites_ml(place.clock_s)
        own_ml = LEAST_MOUTHFUL_ML if place.kind == "bite" else 0.0
        best: tuple[str, float] | None = None
        for name, held_ml, g_per_ml in choices:
            given_ml = min(wanted_ml, held_ml)
            if thirst.food_g > 0 and g_per_ml > 0:
                fed_ml = max(thirst.food_g / g_per_ml, self.rider.habits.sip_ml)
                given_ml = min(fed_ml, thirst.most_ml, held_ml, max(wanted_ml, MOST_TO_FEED_ML))
            elif thirst.behind_g > 0.0 and g_per_ml > 0.0:
                fill_ml = min(thirst.behind_g / g_per_ml, thirst.most_ml, held_ml, self._draught_ml)
                given_ml = max(given_ml, fill_ml)
            if g_per_ml > 0:
                room_ml = room_g / g_per_ml
                given_ml = min(given_ml, max(room_ml - kept_ml, min(room_ml, own_ml)))
            elif self.levels.carbohydrate_g > 0.0:
                given_ml = min(given_ml, self.levels.water_ml - LEAST_MOUTHFUL_ML * thirst.bites_ahead)
            if best is None or given_ml > MUCH_MORE * best[1]:
                best = (name, given_ml)
        if best is None or best[1] < LEAST_MOUTHFUL_ML - 1e-9:
            return None
        return self._sip(place, *best)

    def _sip(self, place: SipPlace, container: str, fluid_ml: float) -> Sip:
        """Take a draught at a place; it is told in the rider's mouthfuls."""
        draught = self.levels.take(container, fluid_ml)
        self.limits.add(place.clock_s, draught)
        mouthfuls = max(1, round(draught.fluid_ml / self.rider.habits.sip_ml))
        return Sip(place, draught, mouthfuls, emptied=self.levels.is_empty(container))

    def _kept_for_bites_ml(self, now_s: float) -> float:
        """Return the mix that the bites of the next hour want with them: none where there is water [ml]."""
        least_ml = LEAST_MOUTHFUL_ML * self.hunger.bites_between(now_s, now_s + HOUR_S)
        return 0.0 if self.levels.water_ml >= least_ml else least_ml

    def _choices(self, place: SipPlace, thirst: _Thirst) -> list[tuple[str, float, float]]:
        """Return the bottles that may be drunk from, what is in them [ml] and how strong [g/ml]."""
        choices = self.levels.choices(place.kind == "bite")
        drops, food_g = thirst.drops, thirst.food_g
        if drops is not None and food_g <= drops[1] * drops[2] <= self.limits.carbohydrate_room_g(
            place.clock_s
        ):
            return [drops]
        if food_g <= 0:
            if thirst.behind_g > 0.0:
                return sorted(choices, key=lambda choice: choice[2] <= 0.0)
            return sorted(choices, key=lambda choice: choice[2] > 0.0) if self.hunger.is_scarce else choices
        strong = [choice for choice in choices if min(choice[1], MOST_TO_FEED_ML) * choice[2] >= food_g]
        strong.sort(key=lambda choice: -round(choice[2], 3))
        mixed = [choice for choice in choices if choice[2] > 0 and choice[1] >= LEAST_MOUTHFUL_ML]
        mixed.sort(key=lambda choice: -round(min(choice[1], MOST_TO_FEED_ML) * choice[2], 3))
        return strong or mixed or choices

    def _empty_for_the_halt(self, leg: Leg) -> None:
        """Empty a bottle on the way into a halt, where powder wants an empty one."""
        drops = self.levels.last_drops()
        at_m = leg.end_m - INTO_THE_HALT_M
        if drops is None or self.levels.is_empty(drops[0]) or not self.way.is_clear(at_m):
            return
        if at_m <= max(leg.start_m, self.sips[-1].place.distance_m if self.sips else 0.0):
            return
        place = SipPlace(at_m, self.way.clock_at(at_m), "refill")
        room_ml = self.limits.fluid_room_ml(place.clock_s) - self._soon_ml(place.clock_s)
        room_ml = min(room_ml, LAST_MOUTHFULS_ML)
        if drops[1] > room_ml or drops[1] * drops[2] > self.limits.carbohydrate_room_g(place.clock_s):
            return
        self._note(self._sip(place, drops[0], drops[1]))

    def _say_what_is_finished(self, filled: set[str], leg: Leg) -> None:
        """Mark the last sip before a halt where it has emptied a bottle that is filled there."""
        if not self.sips or leg.refill is None or leg.refill.kind != "tap":
            return
        last = self.sips[-1]
        if last.place.kind == "refill" and last.emptied and last.draught.container in filled:
            self.sips[-1] = replace(last, finishes=True)
