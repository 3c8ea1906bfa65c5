"""Everything to mind along a ride, joined once: every later stage reads this list."""

from terrain_fuel.day import Day
from terrain_fuel.flags.daylight import dark_stretches
from terrain_fuel.flags.descents import technical_descents
from terrain_fuel.flags.exposure import exposed_places
from terrain_fuel.flags.mapped_road import mapped_cautions
from terrain_fuel.flags.model import Caution
from terrain_fuel.flags.road import hidden_bends, mark_cautions, tunnel_cautions
from terrain_fuel.flags.weather import cold_tops
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider


def find_cautions(pace: Pace, rider: Rider, day: Day) -> tuple[Caution, ...]:
    """Return every caution and safety flag of a ride in road order.

    Parameters
    ----------
    pace : the road and when it is ridden
    rider : whose ``descending`` habit grades technical descents
    day : wet surface, temperature, wind, and the start for the daylight
    """
    terrain = pace.terrain
    found = (
        *technical_descents(terrain, rider, day),
        *mark_cautions(terrain),
        *tunnel_cautions(terrain),
        *mapped_cautions(terrain),
        *hidden_bends(terrain.profile),
        *cold_tops(pace, day),
        *exposed_places(terrain, day),
        *dark_stretches(pace, day),
    )
    return tuple(sorted(found, key=lambda caution: (caution.start_m, caution.end_m, caution.kind)))
