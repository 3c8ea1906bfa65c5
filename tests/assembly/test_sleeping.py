"""The hour at which everybody is sleepiest: told of whoever rides then and has been riding for a while."""

from datetime import UTC, datetime

import pytest

from terrain_fuel.assembly.sleeping import sleep_notices
from terrain_fuel.day import Day
from terrain_fuel.plan import Sleep


@pytest.mark.parametrize(
    ("starts", "hours", "sleep", "told"),
    [
        ("2027-05-08T20:00", 10.0, None, ["small_hours"]),
        ("2027-05-08T20:00", 7.9, None, []),  # home at five to four
        ("2027-05-08T01:59", 4.0, None, ["small_hours"]),
        ("2027-05-08T02:01", 4.0, None, []),  # just set out
        ("2027-05-08T08:00", 15.0, None, []),
        ("2027-05-08T08:00", 19.9, None, []),
        ("2027-05-08T08:30", 19.9, None, ["small_hours"]),
        ("2027-05-08T08:00", 21.0, None, ["long_awake"]),
        ("2027-05-08T20:00", 14.0, (7.0, 9.0), ["sleep_here"]),
        ("2027-05-08T20:00", 14.0, (9.0, 11.0), ["sleep_here", "small_hours"]),
        ("2027-05-08T14:00", 40.0, (12.0, 18.0), ["sleep_here", "long_awake"]),
        ("2027-05-08T20:00", 37.0, (13.0, 19.0), ["sleep_here", "small_hours"]),
    ],
)
def test_riding_in_the_small_hours_is_told_once(
    starts: str, hours: float, sleep: tuple[float, float] | None, told: list[str]
) -> None:
    day = Day(start=datetime.fromisoformat(starts).replace(tzinfo=UTC))
    sleeps = () if sleep is None else (Sleep(1000.0, 3600.0 * sleep[0], 3600.0 * sleep[1], "hut"),)
    assert [each.code for each in sleep_notices(sleeps, (), 3600.0 * hours, day)] == told
