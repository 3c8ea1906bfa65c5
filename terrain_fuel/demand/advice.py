"""Standing cautions that go with every plan, or with plans of one kind."""

from terrain_fuel.day import Day
from terrain_fuel.demand.model import Demand
from terrain_fuel.facts import Fact, fact

WARM_C = 25.0  # from here the signs of heat illness are worth a line: common practice (no source)
LONG_RIDE_S = 4.0 * 3600.0

NOT_MEDICAL = fact("not_medical")
# [Rd17]_
ILLNESS = fact("illness")
ALLERGY = fact("allergy")
EATING = fact("eating")
# [HB15]_
THIRST = fact("thirst")
CHOKING = fact("choking")
HANDS = fact("hands")
LAW = fact("law")
# [UCI]_ for races
LITTER = fact("litter")
# [EF15]_
CAFFEINE = fact("caffeine")
HEAT = fact("heat")
COLD = fact("cold_hands")
BONK = fact("bonk")
RARE_SALT = fact("salt")


def standing_advice(demand: Demand, day: Day, caffeine_mg: float = 0.0) -> tuple[Fact, ...]:
    """Return the cautions that belong to this ride, the general ones first.

    Parameters
    ----------
    demand : length and rate of intake
    day : weather
    caffeine_mg : what the plan brings [mg]
    """
    always = (NOT_MEDICAL, ILLNESS, ALLERGY, THIRST, HANDS, CHOKING, LAW, LITTER, EATING)
    long_ride = demand.pace.elapsed_s >= LONG_RIDE_S
    chosen = (
        (CAFFEINE, caffeine_mg > 0),
        (HEAT, day.temperature_c >= WARM_C),
        (COLD, day.temperature_c <= 5.0),
        (BONK, demand.pace.elapsed_s >= 2.0 * 3600.0),
        (RARE_SALT, long_ride),
    )
    return always + tuple(notice for notice, applies in chosen if applies)
