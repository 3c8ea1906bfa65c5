"""Air density against the standard atmosphere and the metrologists' equation; the wind by its direction."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.equations.air import (
    air_density,
    headwind,
    moist_air_density,
    standard_pressure,
    temperature_at,
    wind_chill_c,
)


@pytest.mark.source("ISA", "density at 0 to 3000 m; ratios seen, values computed from them")
def test_density_of_the_standard_atmosphere() -> None:
    heights = [0, 500, 1000, 1500, 2000, 2500, 3000]
    printed = [1.2250, 1.1673, 1.1116, 1.0581, 1.0065, 0.9569, 0.9091]
    assert_allclose(air_density(heights), printed, atol=0.5e-4 + 1e-5)  # printed to four places


@pytest.mark.source("CI08", "CIPM-2007 at four states, 400 ppm, worked out from its coefficients")
@pytest.mark.parametrize(
    ("temperature_c", "pressure_pa", "humidity_pct", "cipm", "ideal"),
    [
        (20.0, 101325.0, 50.0, 1.19931, 1.19887),
        (15.0, 101325.0, 0.0, 1.22552, 1.22501),
        (30.0, 101325.0, 60.0, 1.15368, 1.15333),
        (20.0, 90000.0, 50.0, 1.06464, 1.06429),
    ],
)
def test_moist_air_is_near_the_metrologists_equation(
    temperature_c: float, pressure_pa: float, humidity_pct: float, cipm: float, ideal: float
) -> None:
    density = moist_air_density(temperature_c, pressure_pa, humidity_pct)
    assert_allclose(density, cipm, rtol=0.0005)  # an ideal gas differs by 0.03 to 0.05 %
    assert_allclose(density, ideal, rtol=0.0001)  # the vapour formula differs in the fourth figure


@pytest.mark.source("ISA", "pressure at 0 and 11000 m")
def test_pressure_of_the_standard_atmosphere() -> None:
    assert_allclose(standard_pressure([0.0, 11_000.0]), [101_325.0, 22_632.0], rtol=1e-4)


@pytest.mark.source("ISA", "temperature at 0, 1000, 2000 and 11000 m")
def test_the_air_cools_with_height() -> None:
    assert_allclose(temperature_at([0.0, 1000.0, 2000.0, 11_000.0], 15.0), [15.0, 8.5, 2.0, -56.5], atol=1e-9)
    # measured on a pass, it is warmer in the valley: 20 + 6.5 * 1.2, hand-derived
    assert_allclose(temperature_at(800.0, 20.0, 2000.0), 27.8, atol=1e-9)


def test_warm_damp_and_high_air_is_thin() -> None:
    assert air_density(0.0, 30.0) < air_density(0.0, 10.0)
    assert air_density(0.0, 30.0, 90.0) < air_density(0.0, 30.0, 10.0)
    # a temperature taken at the foot falls by 6.5 K a kilometre: hand-derived
    assert_allclose(
        air_density(1000.0, 20.0, 0.0, measured_at_m=0.0),
        moist_air_density(13.5, standard_pressure(1000.0)),
        rtol=1e-12,
    )


def test_wind_against_behind_and_across() -> None:
    # wind from the north at 5 m/s, riding north, east, south and north-east: 5, 0, -5, 5/sqrt(2)
    assert_allclose(
        headwind(5.0, 0.0, [0.0, 90.0, 180.0, 45.0]), [5.0, 0.0, -5.0, 5.0 / np.sqrt(2.0)], atol=1e-12
    )


@pytest.mark.source("EC01", "published chart, degrees F and miles an hour, whole degrees")
@pytest.mark.parametrize(
    ("air_f", "wind_mph", "chart_f"),
    [
        (40, 5, 36), (30, 15, 19), (20, 25, 3), (10, 30, -12), (5, 40, -22), (0, 20, -22), (-5, 25, -31),
        (-20, 5, -34), (-40, 60, -91), (-45, 45, -93),
    ],
)  # fmt: skip
def test_wind_chill_against_the_chart(air_f: int, wind_mph: int, chart_f: int) -> None:
    chill_c = wind_chill_c((air_f - 32.0) / 1.8, wind_mph * 0.44704)
    assert chill_c is not None
    # one formula was rounded for miles and one for kilometres an hour
    assert abs(1.8 * chill_c + 32.0 - chart_f) < 0.55


def test_wind_chill_is_not_told_outside_its_range() -> None:
    assert wind_chill_c(10.1, 8.0) is None
    assert wind_chill_c(3.0, 1.0) == 3.0
