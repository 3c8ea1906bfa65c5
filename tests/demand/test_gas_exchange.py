"""Gas-exchange formulas against rows worked out from their published coefficients."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from terrain_fuel.demand import gas_exchange as gas
from terrain_fuel.demand.gas_exchange import burned_from_gas

QUOTIENT = np.array([0.85, 0.90, 0.95, 1.00])
OXYGEN = np.full(4, 3.0)
PRINTED = 0.00006  # half a unit in the last place of the computed rows


@pytest.mark.source("PM91", "coefficients from memory; rows computed at 3 l/min")
def test_peronnet_massicotte() -> None:
    burned = burned_from_gas(OXYGEN, OXYGEN * QUOTIENT, gas.PERONNET_MASSICOTTE)
    assert_allclose(burned.carbohydrate_g_per_min, [2.0138, 2.7015, 3.3893, 4.0770], atol=PRINTED)
    # -0.0180 at a quotient of 1 is cut off
    assert_allclose(burned.fat_g_per_min, [0.7475, 0.4923, 0.2372, 0.0], atol=PRINTED)


@pytest.mark.source("Fr83", "coefficients from memory; rows computed at 3 l/min")
def test_frayn() -> None:
    burned = burned_from_gas(OXYGEN, OXYGEN * QUOTIENT, gas.FRAYN)
    assert_allclose(burned.carbohydrate_g_per_min, [1.9725, 2.6550, 3.3375, 4.0200], atol=PRINTED)
    assert_allclose(burned.fat_g_per_min, [0.7515, 0.5010, 0.2505, 0.0], atol=PRINTED)


@pytest.mark.source("JW05", "coefficients from memory; rows computed at 3 l/min")
def test_jeukendrup_wallis() -> None:
    low = burned_from_gas(OXYGEN, OXYGEN * QUOTIENT, gas.JEUKENDRUP_WALLIS_LOW)
    high = burned_from_gas(OXYGEN, OXYGEN * QUOTIENT, gas.JEUKENDRUP_WALLIS_HIGH)
    assert_allclose(low.carbohydrate_g_per_min, [1.8942, 2.5458, 3.1974, 3.8490], atol=PRINTED)
    assert_allclose(high.carbohydrate_g_per_min, [1.8495, 2.4810, 3.1125, 3.7440], atol=PRINTED)


@pytest.mark.source("MFO", "glucose 0.746 l O2 and CO2 a gram; fat 2.03 l O2 and 1.43 l CO2")
def test_the_stoichiometry_solves_to_frayns_coefficients() -> None:
    solved = np.linalg.inv(np.array([[0.746, 2.03], [0.746, 1.43]]))  # rows: oxygen, carbon dioxide
    (carbon_dioxide, oxygen), (fat_dioxide, fat_oxygen) = gas.FRAYN
    assert_allclose(solved[0], [oxygen, carbon_dioxide], rtol=0.006)  # 4.535 and 3.195 printed
    assert_allclose(solved[1], [fat_oxygen, fat_dioxide], atol=0.005)


@pytest.mark.source("Lu", "table of quotient, share and kJ a litre")
def test_lusks_table_agrees_with_the_formulas() -> None:
    quotient = np.array([0.75, 0.80, 0.85, 0.90, 0.95])
    burned = burned_from_gas(1.0, quotient, gas.FRAYN)
    carbohydrate_kj = 15.6 * burned.carbohydrate_g_per_min  # glucose, textbook (from memory)
    fat_kj = 39.4 * burned.fat_g_per_min
    assert_allclose(carbohydrate_kj + fat_kj, gas.energy_kj_per_l(quotient), rtol=0.03)
    share = carbohydrate_kj / (carbohydrate_kj + fat_kj)
    assert_allclose(share, gas.share_from_quotient(quotient), atol=0.03)
    assert gas.share_from_quotient(1.0) == 1.0
