"""Heat scales: the published chart, and rows and bands worked out from [HI], [BoM] and [WB]."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from terrain_fuel.demand.heat import (
    beyond_scale,
    heat_band,
    heat_index_f,
    wet_bulb_band,
    wet_bulb_globe_c,
)

PRINTED = 0.0006  # half a unit in the last place of the computed rows


@pytest.mark.parametrize(
    ("temperature_f", "humidity_pct", "index_f"),
    [
        (90, 60, 99.678),
        (100, 40, 109.256),
        (96, 65, 121.032),
        (110, 40, 135.657),
        (88, 60, 95.149),
        (86, 90, 105.394),  # humid adjustment
        (95, 10, 89.450),  # dry adjustment
        (82, 100, 96.039),  # humid adjustment
        (80, 40, 79.790),  # the simple form
        (70, 50, 69.525),  # the simple form
    ],
)
def test_heat_index(temperature_f: float, humidity_pct: float, index_f: float) -> None:
    assert_allclose(heat_index_f(temperature_f, humidity_pct), index_f, atol=PRINTED)


@pytest.mark.source("HI", "published chart, whole degrees")
@pytest.mark.parametrize(
    ("temperature_f", "humidity_pct", "chart_f"),
    [(90, 60, 100), (96, 65, 121), (88, 60, 95), (100, 40, 109), (110, 40, 136)],
)
def test_heat_index_against_the_chart(temperature_f: float, humidity_pct: float, chart_f: int) -> None:
    assert round(heat_index_f(temperature_f, humidity_pct)) == chart_f


@pytest.mark.parametrize(
    ("index_f", "band"),
    [(79.9, "none"), (80, "caution"), (90, "extreme_caution"), (103, "danger"), (125, "extreme_danger")],
)
def test_heat_bands(index_f: float, band: str) -> None:
    assert heat_band(index_f) == band


@pytest.mark.parametrize(
    ("temperature_c", "humidity_pct", "globe_c"),
    [(20, 50, 19.863), (25, 50, 24.321), (30, 50, 29.259), (30, 70, 32.583), (35, 40, 32.591)],
)
def test_wet_bulb_globe(temperature_c: float, humidity_pct: float, globe_c: float) -> None:
    assert_allclose(wet_bulb_globe_c(temperature_c, humidity_pct), globe_c, atol=PRINTED)


@pytest.mark.parametrize(
    ("globe_c", "fresh", "used", "young", "young_used"),
    [
        (23.9, "normal", "normal", "normal", "normal"),
        (24.0, "normal", "normal", "discretion", "discretion"),
        (26.0, "normal", "normal", "cancel", "limit"),
        (27.8, "normal", "normal", "cancel", "limit"),
        (27.9, "limit", "discretion", "cancel", "limit"),
        (29.1, "limit", "discretion", "cancel", "cancel"),
        (30.0, "limit", "discretion", "cancel", "cancel"),
        (30.1, "cancel", "limit", "cancel", "cancel"),
        (32.2, "cancel", "limit", "cancel", "cancel"),
        (32.3, "cancel", "cancel", "cancel", "cancel"),
    ],
)
def test_wet_bulb_bands(globe_c: float, fresh: str, used: str, young: str, young_used: str) -> None:
    """[WB] both columns, [AAP00] both rules."""
    assert wet_bulb_band(globe_c) == fresh
    assert wet_bulb_band(globe_c, acclimatised=True) == used
    assert wet_bulb_band(globe_c, minor=True) == young
    assert wet_bulb_band(globe_c, acclimatised=True, minor=True) == young_used


@pytest.mark.source("HI", "the end of the published chart, 137 F")
def test_the_heat_index_is_not_told_beyond_its_chart() -> None:
    assert not beyond_scale(110.0, heat_index_f(110.0, 40.0))  # the chart's last entry, 136 F
    assert beyond_scale(111.2, heat_index_f(111.2, 60.0))  # 44 degrees C: 189 F by the equation
    assert beyond_scale(113.0, heat_index_f(113.0, 15.0))
    assert not beyond_scale(60.0, heat_index_f(60.0, 90.0))


@settings(deadline=None, derandomize=True, max_examples=100)
@given(temperature=st.floats(80.0, 110.0), humidity=st.floats(13.0, 80.0))
def test_more_damp_never_feels_much_cooler(temperature: float, humidity: float) -> None:
    # the regression's own fit is good to about 1.3 F
    assert heat_index_f(temperature, humidity + 5.0) >= heat_index_f(temperature, humidity) - 1.3
