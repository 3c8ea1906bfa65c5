"""The speed between two rows of a timeline, beside sums done by hand."""

import math

import pytest

from tests.judge.reading import speed_km_h


def rows(*road: tuple[float, float, float]) -> dict[str, dict[str, list[float]]]:
    """Return a timeline of (place [m], time [s], speed [m/s])."""
    along, times, speeds = (list(column) for column in zip(*road, strict=True))
    return {"timeline": {"distance_m": along, "time_s": times, "speed_m_s": speeds}}


def test_even_braking_is_read_as_it_is_half_way() -> None:
    """From 8 to 4 m/s in 100 m: v2 = 64 - 0.48 s, in 2 * 100 / (8 + 4) s (even acceleration, textbook)."""
    plan = rows((0.0, 0.0, 8.0), (100.0, 200.0 / 12.0, 4.0))
    assert speed_km_h(plan, 50.0) == pytest.approx(3.6 * math.sqrt(64.0 - 0.48 * 50.0), rel=0.015)


def test_who_brakes_early_is_slow_sooner_than_a_straight_line_says() -> None:
    """From 6 to 4 m/s in 40 m, then 60 m at 4: 80 / 10 + 60 / 4 = 23 s; half-way 4 m/s, a straight line 5."""
    assert speed_km_h(rows((0.0, 0.0, 6.0), (100.0, 23.0, 4.0)), 50.0) / 3.6 == pytest.approx(4.0, abs=0.35)


def test_a_halt_between_rows_says_nothing_of_the_speed() -> None:
    plan = rows((0.0, 0.0, 6.0), (100.0, 200.0, 4.0), (100.0, 260.0, 4.0), (200.0, 285.0, 4.0))
    assert speed_km_h(plan, 50.0) / 3.6 == pytest.approx(5.0)
    assert speed_km_h(plan, 150.0) / 3.6 == pytest.approx(4.0)
    assert speed_km_h(plan, 100.0) / 3.6 == pytest.approx(4.0)


def test_who_brakes_hard_and_late_was_not_faster_before() -> None:
    """12.4 m/s for 75 m, then to 9.6 in 25: 75 / 12.4 + 25 / 11 = 8.32 s; at 27 m still 12.4."""
    assert speed_km_h(rows((0.0, 0.0, 12.4), (100.0, 8.32, 9.6)), 27.0) / 3.6 == pytest.approx(12.4, abs=0.1)
