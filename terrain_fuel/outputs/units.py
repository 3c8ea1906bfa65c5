"""Numbers as a rider reads them: kilometres or miles, clock times, durations, parts of an item."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from terrain_fuel.rider import Rider

VULGAR_FRACTIONS = {
    Fraction(1, 2): "½", Fraction(1, 3): "⅓", Fraction(2, 3): "⅔", Fraction(1, 4): "¼", Fraction(3, 4): "¾",
    Fraction(1, 5): "⅕", Fraction(2, 5): "⅖", Fraction(3, 5): "⅗", Fraction(4, 5): "⅘", Fraction(1, 6): "⅙",
    Fraction(5, 6): "⅚", Fraction(1, 8): "⅛", Fraction(3, 8): "⅜", Fraction(5, 8): "⅝", Fraction(7, 8): "⅞",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Units:
    """The lengths a rider thinks in: a long one for the road, a short one for heights.

    ``road_m`` and ``height_m`` are metres in one of each; ``speed`` is the long one an hour.
    """

    road: str
    road_m: float
    height: str
    height_m: float
    speed: str

    def height_text(self, height_m: float, signed: bool = False) -> str:
        """Return a height or a difference of heights with its unit."""
        number = round(height_m / self.height_m)
        return f"{number:+d} {self.height}" if signed else f"{number} {self.height}"


KILOMETRES = Units("km", 1000.0, "m", 1.0, "km/h")
MILES = Units("mi", 1609.344, "ft", 0.3048, "mph")
"""The international mile and foot, exact by definition."""


def rider_units(rider: Rider) -> Units:
    """Return the units a rider has asked for."""
    return MILES if rider.habits.units == "miles" else KILOMETRES


def clock_text(start: datetime, time_s: float) -> str:
    """Return the local time of day, to the nearest minute, some seconds after the start."""
    moment = start + timedelta(seconds=float(time_s))
    rounded = moment + timedelta(seconds=30)
    return f"{rounded:%H:%M}"


def clock_window(start: datetime, *times_s: float) -> tuple[str, str]:
    """Return two local times of day that hold all of some, rounded outward to whole minutes.

    Parameters
    ----------
    start : when the ride begins
    times_s : clock times since the start, at least one, in any order [s]
    """
    early = start + timedelta(seconds=float(min(times_s)))
    late = start + timedelta(seconds=float(max(times_s))) + timedelta(minutes=1, microseconds=-1)
    return f"{early:%H:%M}", f"{late:%H:%M}"


def duration_text(duration_s: float) -> str:
    """Return a duration in hours and minutes, to the nearest minute."""
    minutes = round(duration_s / 60.0)
    hours, minutes = divmod(minutes, 60)
    return f"{hours} h {minutes:02d} min" if hours else f"{minutes} min"


def amount_text(portions: int, portions_in_item: int) -> str:
    """Return how much of an item some of its bites are.

    Parameters
    ----------
    portions : bites taken
    portions_in_item : bites in one whole item

    Returns
    -------
    str such as "½", "1½" or "2×"; empty for exactly one whole item
    """
    amount = Fraction(portions, portions_in_item)
    whole, part = divmod(amount.numerator, amount.denominator)
    rest = Fraction(part, amount.denominator)
    if not rest:
        return "" if whole == 1 else f"{whole}×"
    fraction = VULGAR_FRACTIONS.get(rest, f"{rest.numerator}/{rest.denominator}")
    if not whole:
        return fraction
    return f"{whole}{fraction}" if len(fraction) == 1 else f"{whole} {fraction}"
