"""One honest sentence instead of watts: so many kilometres of such a country in so many hours."""

from collections.abc import Mapping
from typing import Any

from terrain_fuel.calibrate.sentence import COUNTRIES, calibrate_sentence
from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.rides.edits import Edit, SetValue
from terrain_fuel.rides.ride_folder import RideSettings


def sentence_edits(asked: Mapping[str, Any], settings: RideSettings) -> tuple[Edit, ...]:
    """Return the efforts that a sentence tells, as edits of the day.

    Raises
    ------
    SettingsError
        If it says something that cannot be.
    """
    country = str(asked.get("of"))
    if country not in COUNTRIES:
        raise SettingsError(f"the country is one of {', '.join(COUNTRIES)}; choose one")
    told = calibrate_sentence(
        _number(asked.get("km")), _number(asked.get("hours")), settings.rider, settings.day, country
    )
    ftp_w = settings.rider.ftp_w
    return (
        SetValue("day", "day", "effort_flat", round(told.flat_w / ftp_w, 2)),
        SetValue("day", "day", "effort_climb", round(told.climb_w / ftp_w, 2)),
    )


def _number(asked: Any) -> float:
    if isinstance(asked, bool) or not isinstance(asked, (int, float)) or not 0 < asked < 10_000:
        raise SettingsError("say how many kilometres, in how many hours", fact("refused_sentence"))
    return float(asked)
