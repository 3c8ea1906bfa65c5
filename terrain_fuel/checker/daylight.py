"""Clock and light: the start, the sun and the cautions for the dark tell of one day."""

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from terrain_fuel.checker.fault import Fault, rule_fault, sum_fault
from terrain_fuel.checker.plan_file import PlanFile

NEAR_START_S = 120.0
NEAR_FINISH_S = 1800.0  # the finish may lie some degrees off, and a day or two on
END_M = 1.0


def check_daylight(plan: PlanFile) -> Iterator[Fault]:
    """Start and finish are dark where the sun says so, and then there is a caution for the dark."""
    light, start = plan.data.get("daylight"), plan.data["day"]["day"].get("start")
    if light is None or start is None:
        return
    texts = {"day.day.start": start, "daylight.sunrise": light["sunrise"], "daylight.sunset": light["sunset"]}
    clocks = {name: _clock(text) for name, text in texts.items() if text is not None}
    for name, clock in clocks.items():
        if clock is None:
            yield sum_fault(
                name, f"is {texts[name]!r}; a time with its zone is needed, as 2027-05-08T08:30:00+02:00"
            )
    told = {name: clock for name, clock in clocks.items() if clock is not None}
    if len(told) == len(texts):
        yield from _check_sun(plan, light, *(told[name] for name in texts))
    yield from _check_dark(plan, light)


def _clock(text: str) -> datetime | None:
    try:
        clock = datetime.fromisoformat(text)
    except ValueError:
        return None
    return clock if clock.tzinfo is not None else None


def _check_sun(
    plan: PlanFile, light: Mapping[str, Any], start: datetime, sunrise: datetime, sunset: datetime
) -> Iterator[Fault]:
    if sunrise.date() != start.date() and sunset.date() != start.date():
        yield sum_fault("daylight", f"sunrise is of {sunrise.date()}, the start of {start.date()}")
        return
    if sunset < sunrise:  # by the clock of a zone far off
        sunset += timedelta(days=1)
    finish = start + timedelta(seconds=plan.finish_s)
    for end, clock, near_s in (("start", start, NEAR_START_S), ("finish", finish, NEAR_FINISH_S)):
        days = round((clock - sunrise - (sunset - sunrise) / 2) / timedelta(days=1))
        rises, sets = sunrise + timedelta(days=days), sunset + timedelta(days=days)
        off_s = min(abs((clock - rises).total_seconds()), abs((clock - sets).total_seconds()))
        dark = not rises <= clock <= sets
        if off_s > near_s and dark != light[f"{end}_dark"]:
            told = "dark" if light[f"{end}_dark"] else "light"
            said = f"the {end} at {clock:%H:%M} is said to be {told}"
            sun = f"the sun is up from {rises:%H:%M} to {sets:%H:%M}"
            yield sum_fault("daylight", f"{said}; {sun}", 0.0 if end == "start" else plan.length_m)


def _check_dark(plan: PlanFile, light: Mapping[str, Any]) -> Iterator[Fault]:
    """Who starts or ends in the dark is told so."""
    dark = [caution for caution in plan.data["cautions"] if caution["kind"] == "dark"]
    at_start = any(caution["start_m"] <= END_M for caution in dark)
    at_finish = any(caution["end_m"] >= plan.length_m - END_M for caution in dark)
    for end, told, at_m in (("start", at_start, 0.0), ("finish", at_finish, plan.length_m)):
        if light[f"{end}_dark"] != told:
            there = "a caution for the dark is there" if told else "no caution for the dark is there"
            written = str(light[f"{end}_dark"]).lower()
            yield rule_fault(8, at_m, 0.0, "", f"{end}_dark is {written}, {there}")
