"""The whole need of a ride, and what it warns of."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from terrain_fuel.day import DEFAULT_START, Day
from terrain_fuel.demand.advice import standing_advice
from terrain_fuel.demand.balance import balance_fuel
from terrain_fuel.demand.carbohydrate import carbohydrate_g_per_h
from terrain_fuel.demand.estimate import estimate_demand
from terrain_fuel.demand.model import Demand
from terrain_fuel.pace.model import Pace
from terrain_fuel.rider import Rider

MakePace = Callable[..., Pace]


def codes(demand: Demand) -> list[str]:
    """Return the codes of a demand's notices."""
    return [notice.code for notice in demand.notices]


def test_burned_is_summed_along_the_road(make_pace: MakePace) -> None:
    effort = np.where(np.arange(2001) < 1000, 0.5, 0.9)
    demand = estimate_demand(make_pace(effort, hours=4.0), Rider(), Day())
    by_hand = sum(2.0 * float(carbohydrate_g_per_h(e * 220.0, 220.0, 0.20, 70.0)) for e in (0.5, 0.9))
    assert_allclose(demand.carbohydrate_burned_g[-1], by_hand, rtol=1e-3)


def test_halts_burn_only_what_rest_burns(make_pace: MakePace) -> None:
    ridden = estimate_demand(make_pace(), Rider(), Day()).carbohydrate_burned_g[-1]
    halted = estimate_demand(make_pace(halt_s=3600.0), Rider(), Day()).carbohydrate_burned_g[-1]
    assert_allclose(halted - ridden, 5.169, atol=0.001)  # as coasting: 5.17 g/h


@pytest.mark.slow
@settings(deadline=None, derandomize=True, max_examples=80)
@given(
    effort=st.floats(0.0, 1.5),
    hours=st.floats(0.05, 30.0),
    mass=st.floats(30.0, 200.0),
    efficiency=st.floats(0.14, 0.28),
    limit=st.floats(20.0, 90.0),
    measured=st.none() | st.floats(100.0, 3000.0),
    temperature=st.floats(-20.0, 45.0),
    humidity=st.floats(0.0, 100.0),
    halt_s=st.floats(0.0, 3600.0),
)
def test_any_legal_rider_and_day(
    make_pace: MakePace, effort: float, hours: float, mass: float, efficiency: float, limit: float,
    measured: float | None, temperature: float, humidity: float, halt_s: float,
) -> None:  # fmt: skip
    rider = Rider(
        body_mass_kg=mass,
        gross_efficiency=efficiency,
        carbohydrate_limit_g_per_h=limit,
        sweat_rate_ml_per_h=measured,
        caffeine_mg_max=400.0,
    )
    day = Day(temperature_c=temperature, humidity_pct=humidity)
    demand = estimate_demand(make_pace(effort, hours=hours, nodes=301, halt_s=halt_s), rider, day)
    for name in (
        "carbohydrate_burned_g", "carbohydrate_target_g", "sweat_ml", "fluid_target_ml", "sodium_target_mg",
    ):  # fmt: skip
        column = getattr(demand, name)
        assert np.all(np.isfinite(column)), name
        assert column[0] == 0.0, name
        assert np.all(np.diff(column) >= 0.0), name
    assert np.all(demand.fluid_target_ml <= demand.sweat_ml + 200.0)
    assert demand.carbohydrate_target_g[-1] <= 0.8 * demand.carbohydrate_burned_g[-1] + 1e-9
    balance = balance_fuel(demand, rider, demand.pace.distance_m[::20], np.full(16, 12.0))
    for stores in (balance.glycogen_low_g, balance.glycogen_g, balance.glycogen_high_g):
        assert np.all(np.isfinite(stores) & (stores >= 0.0))
    assert np.all(balance.glycogen_low_g <= balance.glycogen_g + 1e-9)
    assert np.all(balance.glycogen_g <= balance.glycogen_high_g + 1e-9)
    assert np.all(balance.absorbed_g <= 16 * 12.0 + 1e-9)


def test_a_short_ride_needs_nothing(make_pace: MakePace) -> None:
    demand = estimate_demand(make_pace(hours=0.7), Rider(), Day())
    assert demand.carbohydrate_target_g[-1] == 0.0
    assert "short_ride" in codes(demand)


def test_warnings_of_intake(make_pace: MakePace) -> None:
    hard = make_pace(0.85, hours=5.0)
    assert "mixed_sugars" in codes(estimate_demand(hard, Rider(carbohydrate_limit_g_per_h=90.0), Day()))
    opted = Rider(carbohydrate_limit_g_per_h=120.0, limit_above_90=True)
    assert "above_90" in codes(estimate_demand(hard, opted, Day()))
    modest = Rider(carbohydrate_limit_g_per_h=60.0)
    assert not {"mixed_sugars", "above_90"} & set(codes(estimate_demand(make_pace(), modest, Day())))


def test_warnings_of_sweat(make_pace: MakePace) -> None:
    assert "sweat_estimated" in codes(estimate_demand(make_pace(), Rider(), Day()))
    heavy = estimate_demand(make_pace(hours=6.0), Rider(sweat_rate_ml_per_h=1800.0), Day())
    assert "sweat_estimated" not in codes(heavy)


@pytest.mark.parametrize(
    ("hours", "sweat_ml_per_h", "told"), [(4.2, 390.0, True), (3.8, 390.0, False), (4.2, 450.0, False)]
)
def test_on_long_rides_with_little_sweat_thirst_decides(
    make_pace: MakePace, hours: float, sweat_ml_per_h: float, told: bool
) -> None:
    rider = Rider(sweat_rate_ml_per_h=sweat_ml_per_h)
    assert ("thirst_decides" in codes(estimate_demand(make_pace(hours=hours), rider, Day()))) == told


@pytest.mark.parametrize(
    ("hours", "age_y", "told"),
    [
        (3.1, 15.0, True),
        (2.9, 15.0, False),
        (5.1, 16.0, True),
        (4.9, 17.5, False),
        (9.0, 18.0, False),
        (8.1, 15.0, False),
    ],
)
def test_a_long_ride_of_the_young_is_told_to_their_parents(
    make_pace: MakePace, hours: float, age_y: float, told: bool
) -> None:
    found = codes(estimate_demand(make_pace(hours=hours), Rider(age_y=age_y), Day()))
    assert ("long_for_the_young" in found) == told
    assert ("for_parent" in found) == (age_y < 18.0)


@pytest.mark.parametrize(
    ("temperature_c", "humidity_pct", "expected"),
    [
        (18.0, 60.0, set()),
        (28.0, 50.0, {"heat_caution"}),
        (29.0, 50.0, {"heat_caution", "wet_bulb_limit"}),
        (33.0, 50.0, {"heat_extreme_caution", "wet_bulb_cancel"}),
        (38.0, 50.0, {"heat_danger", "wet_bulb_cancel"}),
        (38.0, 56.0, {"heat_extreme_danger", "wet_bulb_cancel"}),
        (44.0, 60.0, {"heat_beyond_scale", "wet_bulb_cancel"}),
        (3.0, 60.0, {"cold"}),
        (-4.0, 60.0, {"freezing"}),
    ],
)
def test_warnings_of_weather(
    make_pace: MakePace, temperature_c: float, humidity_pct: float, expected: set[str]
) -> None:
    day = Day(temperature_c=temperature_c, humidity_pct=humidity_pct)
    found = {
        code
        for code in codes(estimate_demand(make_pace(), Rider(), day))
        if code.startswith(("heat", "wet_bulb", "cold", "freez"))
    }
    assert found == expected


def test_the_need_says_nothing_of_caffeine(make_pace: MakePace) -> None:
    late = Day(start=DEFAULT_START.replace(hour=20))
    told = codes(estimate_demand(make_pace(), Rider(caffeine_mg_max=200.0), late))
    assert not {code for code in told if "caffeine" in code}


def test_minors_are_told_of_to_a_parent(make_pace: MakePace) -> None:
    assert "for_parent" in codes(estimate_demand(make_pace(), Rider(age_y=17.0), Day()))
    assert "for_parent" not in codes(estimate_demand(make_pace(), Rider(age_y=18.0), Day()))


def test_advice_follows_the_ride(make_pace: MakePace) -> None:
    plain = {n.code for n in standing_advice(estimate_demand(make_pace(), Rider(), Day()), Day())}
    hot_day = Day(temperature_c=30.0)
    hot = {
        n.code
        for n in standing_advice(estimate_demand(make_pace(), Rider(), hot_day), hot_day, caffeine_mg=50.0)
    }
    assert {"not_medical", "thirst", "hands", "law", "allergy"} <= plain
    assert hot - plain == {"caffeine", "heat"}


def test_every_source_is_a_key_of_the_references(make_pace: MakePace) -> None:
    import re
    from pathlib import Path

    text = (Path(__file__).parents[2] / "REFERENCES.md").read_text(encoding="utf-8")
    known = set(re.findall(r"^- \*\*\[([^\]]+)\]\*\*", text, flags=re.MULTILINE))
    for rider in (Rider(caffeine_mg_max=100.0), Rider(sweat_rate_ml_per_h=700.0)):
        sources = estimate_demand(make_pace(), rider, Day()).sources
        assert set(sources) <= known
        assert len(set(sources)) == len(sources)


def test_only_the_models_that_were_used_are_named(make_pace: MakePace) -> None:
    """[EF15] for caffeine, [ISO7933] for a modelled sweat, [AAP00] for riders under 18."""

    def used(rider: Rider) -> set[str]:
        return {"EF15", "ISO7933", "AAP00"} & set(estimate_demand(make_pace(nodes=301), rider, Day()).sources)

    assert used(Rider()) == {"ISO7933"}
    assert used(Rider(caffeine_mg_max=100.0, sweat_rate_ml_per_h=700.0)) == {"EF15"}
    assert used(Rider(age_y=17.0)) == {"ISO7933", "AAP00"}


def test_how_finely_the_road_is_cut_does_not_matter(make_pace: MakePace) -> None:
    coarse, fine = (estimate_demand(make_pace(nodes=nodes), Rider(), Day()) for nodes in (301, 12_000))
    for name in ("carbohydrate_burned_g", "carbohydrate_target_g", "sweat_ml", "fluid_target_ml"):
        assert_allclose(getattr(coarse, name)[-1], getattr(fine, name)[-1], rtol=1e-3)


@pytest.mark.source("Pf12", "100 to 150 km of cycling: 53 +- 22 g/h taken in the field")
@pytest.mark.source("No03", "abstract: by thirst, no more than 400 to 800 ml/h")
def test_an_ordinary_day_asks_for_what_riders_take(make_pace: MakePace) -> None:
    demand = estimate_demand(make_pace(0.68, hours=4.5), Rider(), Day())
    assert abs(demand.carbohydrate_target_g[-1] / 4.5 - 53.0) <= 22.0
    assert 400.0 <= demand.fluid_target_ml[-1] / 4.5 <= 800.0
