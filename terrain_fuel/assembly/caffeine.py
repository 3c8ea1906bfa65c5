"""What is to be said of caffeine once it is planned."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from terrain_fuel.day import Day
from terrain_fuel.demand.caffeine import DISTURBS_SLEEP_MG, SLOW_HALF_LIFE_H, caffeine_left_mg
from terrain_fuel.facts import Fact, fact
from terrain_fuel.plan import FuelPoint
from terrain_fuel.rider import Rider


def caffeine_notices(
    points: Sequence[FuelPoint], elapsed_s: float, rider: Rider, day: Day
) -> tuple[Fact, ...]:
    """Return a warning if a slow body may still hold 100 mg of what is planned at bedtime.

    Parameters
    ----------
    points : the numbered points of the plan
    elapsed_s : clock time of the ride [s]
    rider, day : bedtime and start

    Notes
    -----
    100 mg near bedtime may disturb sleep [EF15]_; the half-life of slow bodies is 9.5 h [IOM]_.
    """
    doses = [(day.start + timedelta(seconds=each.time_s), each.caffeine_mg) for each in points]
    doses = [(at, dose_mg) for at, dose_mg in doses if dose_mg > 0.0]
    if not doses:
        return ()
    bed = _to_bed(day.start, day.start + timedelta(seconds=elapsed_s), rider.habits.bedtime)
    left_mg = sum(
        caffeine_left_mg(dose_mg, (bed - at).total_seconds() / 3600.0, SLOW_HALF_LIFE_H)
        for at, dose_mg in doses
    )
    if left_mg < DISTURBS_SLEEP_MG:
        return ()
    return (fact("caffeine_sleep", last=doses[-1][0], bed=bed, left_mg=left_mg),)


def _to_bed(start: datetime, finish: datetime, bedtime: str) -> datetime:
    """Return when the rider goes to bed: the first bedtime after the start, or the finish if it is later."""
    hour, minute = map(int, bedtime.split(":"))
    bed = start.replace(hour=hour, minute=minute, second=0, microsecond=0)
    if bed <= start:
        bed += timedelta(days=1)
    return max(bed, finish)
