"""What the rider is warned of once the need is known: one function a matter, one sentence a warning."""

from datetime import datetime, timedelta

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.demand.caffeine import ADULT_AGE_Y, DISTURBS_SLEEP_MG, SLOW_HALF_LIFE_H, caffeine_left_mg
from terrain_fuel.demand.heat import heat_band, heat_index_f, wet_bulb_band, wet_bulb_globe_c
from terrain_fuel.demand.model import Demand, Notice
from terrain_fuel.demand.places import say_place
from terrain_fuel.demand.sugars import split_mix
from terrain_fuel.demand.sweat import MODELLED_SPREAD
from terrain_fuel.limits import LOSS_SHARE
from terrain_fuel.rider import OPT_IN_ABOVE_G_PER_H, SINGLE_SUGAR_MAX_G_PER_H, Rider

BEDTIME_HOUR = 23
EVENING_HOUR, MORNING_HOUR = 18, 6
FREEZING_C = 0.0
STIFF_CHEWS_C = 5.0


def demand_notices(demand: Demand, rider: Rider, day: Day) -> tuple[Notice, ...]:
    """Return every warning about the need itself, in a fixed order."""
    return (
        *carbohydrate_notices(demand, rider),
        *fluid_notices(demand, rider),
        *weather_notices(day),
        *caffeine_notices(demand, rider, day),
    )


def carbohydrate_notices(demand: Demand, rider: Rider) -> tuple[Notice, ...]:
    """Return warnings about how much carbohydrate is asked for."""
    total_g = float(demand.carbohydrate_target_g[-1])
    rate = total_g * 3600.0 / demand.pace.elapsed_s
    if total_g <= 0:
        return (Notice("short_ride", "A ride this short needs nothing to eat; start fed and carry a bite."),)
    if rate > OPT_IN_ABOVE_G_PER_H:
        return (
            Notice(
                "above_90",
                f"{rate:.0f} g of carbohydrate an hour is only for a gut trained to it over weeks;"
                " rehearse it, and cut back at the first discomfort.",
            ),
        )
    if rate > SINGLE_SUGAR_MAX_G_PER_H:
        glucose, fructose = split_mix(rate)
        return (
            Notice(
                "mixed_sugars",
                f"{rate:.0f} g of carbohydrate an hour needs mixed sugars: about {glucose:.0f} g glucose"
                f" kinds and {fructose:.0f} g fructose; rehearse it in training.",
            ),
        )
    return ()


def fluid_notices(demand: Demand, rider: Rider) -> tuple[Notice, ...]:
    """Return warnings about sweat, how sure it is, and what the planned drink leaves uncovered."""
    notices = []
    hours = demand.pace.elapsed_s / 3600.0
    rate = float(demand.sweat_ml[-1]) / hours
    if rider.sweat_rate_ml_per_h is None:
        low, high = rate * (1.0 - MODELLED_SPREAD), rate * (1.0 + MODELLED_SPREAD)
        notices.append(
            Notice(
                "sweat_estimated",
                f"Your sweat rate is an estimate, likely {low:.0f} to {high:.0f} ml an hour; weigh"
                " yourself before and after a ride to know it.",
            )
        )
    lost_kg = (demand.sweat_ml - demand.fluid_target_ml) / 1000.0
    beyond = np.flatnonzero(lost_kg > LOSS_SHARE.value * rider.body_mass_kg)
    if beyond.size:
        place = say_place(float(demand.pace.distance_m[beyond[0]]), rider)
        share = float(lost_kg[-1]) / rider.body_mass_kg
        notices.append(
            Notice(
                "fluid_loss",
                f"From about {place} you will have lost more than 2 % of your mass, {share:.1%} by the end:"
                " ride easier, shorten the ride or stop to drink; do not gulp it all at once.",
            )
        )
    return tuple(notices)


def weather_notices(day: Day) -> tuple[Notice, ...]:
    """Return warnings about heat, by two published scales, and about cold."""
    notices = []
    index_f = heat_index_f(1.8 * day.temperature_c + 32.0, day.humidity_pct)
    band = heat_band(index_f)
    if band != "none":
        feels_c = (index_f - 32.0) / 1.8
        notices.append(Notice(f"heat_{band}", _HEAT_SENTENCES[band].format(feels=feels_c)))
    advised = wet_bulb_band(wet_bulb_globe_c(day.temperature_c, day.humidity_pct))
    if advised != "normal":
        notices.append(Notice(f"wet_bulb_{advised}", _WET_BULB_SENTENCES[advised]))
    if day.temperature_c <= FREEZING_C:
        notices.append(
            Notice(
                "freezing", "Below freezing: bottles and tubes freeze; carry drink warm and inside a jersey."
            )
        )
    elif day.temperature_c <= STIFF_CHEWS_C:
        notices.append(Notice("cold", "In this cold chews and bars turn hard; keep them close to the body."))
    return tuple(notices)


def caffeine_notices(demand: Demand, rider: Rider, day: Day) -> tuple[Notice, ...]:
    """Return warnings about caffeine: a lowered cap, and sleep."""
    if demand.caffeine_mg_max <= 0:
        return ()
    notices = []
    if rider.age_y is not None and rider.age_y < ADULT_AGE_Y:
        notices.append(
            Notice(
                "caffeine_under_18",
                f"Under 18, caffeine is held to 3 mg a kilogram a day, here {demand.caffeine_mg_max:.0f} mg;"
                " better none.",
            )
        )
    finish = day.start + timedelta(seconds=demand.pace.elapsed_s)
    if _late_enough_to_mind(finish, demand.caffeine_mg_max):
        notices.append(
            Notice(
                "caffeine_sleep",
                f"You finish about {finish:%H:%M}: caffeine late in this ride may keep you awake tonight.",
            )
        )
    return tuple(notices)


def _late_enough_to_mind(finish: datetime, dose_mg: float) -> bool:
    """Return True if the ride ends late, or a slow body may still hold 100 mg at bedtime."""
    if not MORNING_HOUR <= finish.hour < EVENING_HOUR:
        return True
    bedtime = finish.replace(hour=BEDTIME_HOUR, minute=0, second=0, microsecond=0)
    hours = (bedtime - finish).total_seconds() / 3600.0
    return caffeine_left_mg(dose_mg, hours, SLOW_HALF_LIFE_H) >= DISTURBS_SLEEP_MG


_HEAT_SENTENCES = {
    "caution": (
        "It will feel like {feels:.0f} degrees C in the shade: tiring; drink to thirst, ride easier uphill."
    ),
    "extreme_caution": (
        "It will feel like {feels:.0f} degrees C in the shade, more in the sun: cramp and heat exhaustion"
        " are possible; start earlier, ride easier, seek shade."
    ),
    "danger": (
        "It will feel like {feels:.0f} degrees C in the shade, more in the sun: heat stroke is possible;"
        " shorten the ride or move it."
    ),
    "extreme_danger": (
        "It will feel like {feels:.0f} degrees C in the shade, more in the sun: heat stroke is likely;"
        " do not ride."
    ),
}

_WET_BULB_SENTENCES = {
    "discretion": "Wet-bulb heat is high: use discretion, above all if you are not used to heat.",
    "limit": "Wet-bulb heat is in the band where hard exercise should be limited; ride easy, and short.",
    "cancel": "Wet-bulb heat is in the band where events are called off; do not ride hard today.",
}
