"""Published sweat equations for marching in still air, kept to show why riding needs another.

Riding airflow lies outside their wind domain (0.4 to 2.5 m/s), and the newer one turns negative there.
"""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray


def shapiro_g_per_h_m2(required: ArrayLike, possible: ArrayLike) -> FloatArray:
    """Return ``27.9 Ereq Emax^-0.455`` [g/h m2], the older equation as given in [G09]_."""
    required, possible = np.asarray(required, dtype=np.float64), np.asarray(possible, dtype=np.float64)
    return np.asarray(27.9 * required * possible**-0.455)


def corrected_g_per_h_m2(required: ArrayLike, possible: ArrayLike) -> FloatArray:
    """Return ``147 exp(0.0012 OSE)`` of the older equation's value OSE [g/h m2] [G09]_."""
    return np.asarray(147.0 * np.exp(0.0012 * shapiro_g_per_h_m2(required, possible)))


def gonzalez_g_per_h_m2(required: ArrayLike, possible: ArrayLike) -> FloatArray:
    """Return ``147 + 1.527 Ereq - 0.87 Emax`` [g/h m2] [G09]_; negative outside its domain."""
    required, possible = np.asarray(required, dtype=np.float64), np.asarray(possible, dtype=np.float64)
    return np.asarray(147.0 + 1.527 * required - 0.87 * possible)
