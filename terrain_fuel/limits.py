"""The hard rules once: what no plan may break, whatever the rider's wishes, each with its number and source.

Rule 8 is of another kind: a day or an effort that no plan can mend.

Planner and simulation read them here; the checker keeps a copy of its own, so that an error in one of
the two is found. What the rider's own settings say (gut limit, caffeine cap, longest gap) stands there.
"""

from dataclasses import dataclass

NO_RIDE = 8
"""The rule about days and efforts that no plan can mend."""

PRACTICE = "common practice (no source)"


@dataclass(frozen=True, slots=True)
class Limit:
    """One hard limit: ``rule`` is its number among the hard rules, ``source`` a key or common practice."""

    rule: int
    name: str
    value: float
    unit: str
    source: str


HANDS_BACK_M = Limit(2, "hands on the bars", 200.0, "m before a safety flag", PRACTICE)
HANDS_BACK_S = Limit(2, "hands on the bars", 20.0, "s before a safety flag", PRACTICE)
LAST_FOOD_S = Limit(2, "last food", 600.0, "s before the finish", PRACTICE)
DRINK_WITHIN_S = Limit(3, "drink with food", 120.0, "s after a bite", PRACTICE)
HOUR_ML = Limit(4, "too much fluid", 1000.0, "ml in any hour", "textbook, from memory")
OVER_SWEAT_ML = Limit(4, "too much fluid", 500.0, "ml beyond the sweat lost", "HB15")
CAFFEINE_HOUR_MG = Limit(4, "caffeine", 200.0, "mg in any hour", "EF15")
CAFFEINE_HOUR_MG_PER_KG = Limit(4, "caffeine", 3.0, "mg a kilogram in any hour", "EF15")
CAFFEINE_DAY_MG = Limit(4, "caffeine", 400.0, "mg a day", "EF15")
SODIUM_HOUR_MG = Limit(4, "sodium", 2000.0, "mg in any hour", PRACTICE)
SODIUM_DAY_MG = Limit(4, "sodium", 15_000.0, "mg in any 24 hours", PRACTICE)
SINGLE_SUGAR_HOUR_G = Limit(4, "single sugars", 60.0, "g of single sugars in any hour", "J14")
OVER_LOW_SWEAT_ML = Limit(4, "drink beyond doubt", 500.0, "ml beyond the low end of the sweat", "HB15")
LIGHT_KG = Limit(
    4, "light body", 50.0, "kg: a lighter body takes drink and sodium in proportion, children too", PRACTICE
)
YOUNG_HOUR_G = Limit(4, "carbohydrate of the young", 60.0, "g of carbohydrate in any hour", "De14")
YOUNG_HOUR_G_PER_KG = Limit(4, "carbohydrate of the young", 1.0, "g a kilogram in any hour", PRACTICE)
LOSS_SHARE = Limit(5, "water gap", 0.02, "of body mass lost", "ACSM07")
LOSS_MOST_SHARE = Limit(5, "dangerous loss", 0.04, "of body mass lost", PRACTICE)
OVERFULL = Limit(5, "full pockets", 0.0, "items beyond what fits", PRACTICE)
OVER_GAP_MIN = Limit(6, "longest_gap", 2.0, "min beyond the rider's longest gap", PRACTICE)
FEEDS_G = Limit(6, "longest_gap", 8.0, "g of carbohydrate in drink, which end a gap like a bite", PRACTICE)
EFFORT_RATIO = Limit(NO_RIDE, "do not ride", 1.05, "of the effort that the duration allows", PRACTICE)
WIND_M_S = Limit(NO_RIDE, "do not ride", 13.9, "m/s of wind", "WMO8")
GUST_M_S = Limit(NO_RIDE, "do not ride", 18.0, "m/s in gusts", "DWD")
WIND_CHILL_C = Limit(NO_RIDE, "do not ride", -27.0, "degrees C of wind chill", "EC01")
WET_COLD_C = Limit(NO_RIDE, "do not ride", 2.0, "degrees C on a wet road", PRACTICE)
WET_COLD_H = Limit(NO_RIDE, "do not ride", 4.0, "h in the saddle, wet, at 5 degrees C or colder", "TH96")
CHILLS_WET_C = 5.0
"""What walkers in rain and wind bore for so many hours, most of them no longer [TH96]_. A wet road counts as
rain: its spray soaks as well, common practice (no source)."""

HOTTEST_C = Limit(NO_RIDE, "do not ride", 44.4, "degrees C, where the heat scales end", "HI")
WET_BULB_C = Limit(NO_RIDE, "do not ride", 30.0, "degrees C of wet-bulb globe, not used to heat", "WB")
WET_BULB_USED_C = Limit(NO_RIDE, "do not ride", 32.2, "degrees C of wet-bulb globe, used to heat", "WB")
WET_BULB_YOUNG_C = Limit(NO_RIDE, "do not ride", 25.9, "degrees C of wet-bulb globe, young", "AAP00")
WET_BULB_YOUNG_USED_C = Limit(
    NO_RIDE, "do not ride", 29.0, "degrees C of wet-bulb globe, young and used to heat", "AAP00"
)
YOUNG_RIDE_H = Limit(NO_RIDE, "do not ride", 8.0, "h in the saddle under 16", PRACTICE)
YOUTH_RIDE_H = Limit(NO_RIDE, "do not ride", 12.0, "h in the saddle from 16 to 17", PRACTICE)
DARK_S = Limit(NO_RIDE, "do not ride", 0.0, "s in the dark without lights", PRACTICE)

LIMITS = (
    HANDS_BACK_M, HANDS_BACK_S, LAST_FOOD_S, DRINK_WITHIN_S, HOUR_ML, OVER_SWEAT_ML, LOSS_SHARE, OVERFULL,
    OVER_GAP_MIN, FEEDS_G, CAFFEINE_HOUR_MG, CAFFEINE_HOUR_MG_PER_KG, CAFFEINE_DAY_MG, SODIUM_HOUR_MG,
    SODIUM_DAY_MG, LIGHT_KG, SINGLE_SUGAR_HOUR_G, OVER_LOW_SWEAT_ML, YOUNG_HOUR_G, YOUNG_HOUR_G_PER_KG,
    LOSS_MOST_SHARE, EFFORT_RATIO, WIND_M_S, GUST_M_S, WIND_CHILL_C, WET_COLD_C, WET_COLD_H, HOTTEST_C,
    WET_BULB_C, WET_BULB_USED_C, WET_BULB_YOUNG_C, WET_BULB_YOUNG_USED_C, YOUNG_RIDE_H, YOUTH_RIDE_H, DARK_S,
)  # fmt: skip


def for_body(limit: Limit, body_mass_kg: float) -> float:
    """Return a limit of drink or sodium for a body: whole from 50 kg on, in proportion below."""
    return limit.value * min(1.0, body_mass_kg / LIGHT_KG.value)
