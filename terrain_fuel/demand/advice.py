"""Standing cautions that go with every plan, or with plans of one kind; outputs print them as they are."""

from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand, Notice

WARM_C = 25.0  # from here the signs of heat illness are worth a line: common practice (no source)
LONG_RIDE_S = 4.0 * 3600.0

NOT_MEDICAL = Notice(
    "not_medical",
    "This plan is information, not medical advice; its figures are ranges. Try it in training first.",
)
# [Rd17]_
ILLNESS = Notice(
    "illness",
    "With diabetes, kidney, heart or blood-pressure disease, or if you are pregnant, ask your doctor first;"
    " insulin and long rides need a plan of their own.",
)
ALLERGY = Notice("allergy", "Check every food for allergies, coeliac disease and fructose intolerance.")
EATING = Notice("eating", "The amounts are there to keep you riding well; they are no target to stay below.")
# [HB15]_
THIRST = Notice(
    "thirst",
    "Drink to thirst and never so much that you gain mass. Headache, nausea, confusion or swelling: stop"
    " drinking and get help.",
)
CHOKING = Notice("choking", "Nothing hard while you breathe hard: chew and swallow before the effort.")
HANDS = Notice(
    "hands",
    "Both hands on the bars on descents, in bends, traffic, groups and tunnels, on wet or rough road. The"
    " plan sees neither traffic nor surface: if unsure, stop to eat.",
)
LAW = Notice("law", "Local law comes first: hand signals, phones, where you may stop.")
# [UCI]_ for races
LITTER = Notice("litter", "Keep wrappers and bottles with you; a dropped bottle brings riders down.")
# [EF15]_
CAFFEINE = Notice(
    "caffeine",
    "Caffeine: at most 200 mg at once and 400 mg a day for a healthy adult, less in pregnancy and under"
    " 18; with medicines or a heart condition ask a doctor.",
)
HEAT = Notice(
    "heat",
    "Confusion, shivering in the heat or a stumbling walk are signs of heat stroke: stop, cool down at once"
    " and call for help.",
)
COLD = Notice(
    "cold_hands", "Cold hands open nothing: unwrap and cut up beforehand, and eat before you chill."
)
BONK = Notice(
    "bonk",
    "If the lights go out: ease off, eat something quick, drink, and keep eating; turn for home"
    " if it does not pass.",
)
RARE_SALT = Notice(
    "salt", "More salt than the plan brings is rarely needed, and none makes overdrinking safe."
)


def standing_advice(demand: Demand, day: Day) -> tuple[Notice, ...]:
    """Return the cautions that belong to this ride, the general ones first.

    Parameters
    ----------
    demand : caffeine allowed, length and rate of intake
    day : weather
    """
    always = (NOT_MEDICAL, ILLNESS, ALLERGY, THIRST, HANDS, CHOKING, LAW, LITTER, EATING)
    long_ride = demand.pace.elapsed_s >= LONG_RIDE_S
    chosen = (
        (CAFFEINE, demand.caffeine_mg_max > 0),
        (HEAT, day.temperature_c >= WARM_C),
        (COLD, day.temperature_c <= 5.0),
        (BONK, demand.pace.elapsed_s >= 2.0 * 3600.0),
        (RARE_SALT, long_ride),
    )
    return always + tuple(notice for notice, applies in chosen if applies)
