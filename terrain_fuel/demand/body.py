"""The body's surface and the heat it sets free."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.demand.carbohydrate import energy_kj_per_min
from terrain_fuel.frozen import FloatArray
from terrain_fuel.rider import Rider


def body_surface_m2(mass_kg: float, height_m: float) -> float:
    """Return the body's surface [m2].

    Notes
    -----
    ``0.007184 W^0.425 H^0.725`` with mass in kg and height in cm [DB16]_.
    """
    return float(0.007184 * mass_kg**0.425 * (100.0 * height_m) ** 0.725)


def turnover_w(power_w: ArrayLike, rider: Rider) -> FloatArray:
    """Return the energy the body turns over at a power at the pedals, same shape [W]."""
    return energy_kj_per_min(power_w, rider.gross_efficiency, rider.body_mass_kg) * 1000.0 / 60.0


def body_heat_w(power_w: ArrayLike, rider: Rider) -> FloatArray:
    """Return the heat the body must lose: turnover less work, same shape [W]."""
    return turnover_w(power_w, rider) - np.asarray(power_w, dtype=np.float64)
