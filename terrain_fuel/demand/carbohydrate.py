"""Carbohydrate burned at a given power: a share of energy that rises with effort."""

import numpy as np
from numpy.typing import ArrayLike

from terrain_fuel.frozen import FloatArray

SOURCES = ("vL01", "A03", "MJ01", "EU1169")

BURNED_SPREAD = 0.20
"""Standard deviation of what is burned, as a share of it: an assumption. Duration, effort and what is
eaten before and during explain 36 % of how riders differ in the fuel they burn, with all that was
measured 59 % [R22]_."""

VO2MAX_SHARE_AT_FTP = 0.83
"""FTP as a fraction of maximal oxygen uptake. An assumption, plausible from 0.75 to 0.90."""

KNOT_INTENSITY = np.array([0.25, 0.44, 0.57, 0.72, 0.86])
"""Fractions of maximal oxygen uptake at which the share from carbohydrate is known."""

KNOT_SHARE = np.array([0.30, 0.45, 0.51, 0.76, 1.00])
"""The share of energy from carbohydrate there. 0.44, 0.57, 0.72: three trials of [vL01]_ (shares from
memory); 0.86: no fat is burned any more [A03]_; 0.25: an assumption. Over 5000 tests of all kinds of people
the crossover, where more than 70 % is carbohydrate, lies at 0.55 with wide scatter [Cr22]_; these riders
reach 70 % at 0.68."""

CARBOHYDRATE_KJ_PER_G = 17.0  # [EU1169]_, annex XIV
REST_KJ_PER_KG_H = 4.184  # one kilocalorie a kilogram and hour, textbook (from memory)


def energy_kj_per_min(
    power_w: ArrayLike, gross_efficiency: float, body_mass_kg: ArrayLike = 0.0
) -> FloatArray:
    """Return the body's energy turnover at a power at the pedals.

    Parameters
    ----------
    power_w : array_like, any shape [W], 0 or more
    gross_efficiency : work out over energy turned over, 0.18 to 0.23 in trials [MJ01]_ [Ho10]_
    body_mass_kg : sets the floor at rest [kg]; 0 for none

    Returns
    -------
    ndarray, same shape [kJ/min]

    Notes
    -----
    ``EE = 0.06 P / GE``, and never less than rest.
    """
    riding = np.asarray(power_w, dtype=np.float64) * 0.06 / gross_efficiency
    return np.maximum(riding, np.asarray(body_mass_kg) * REST_KJ_PER_KG_H / 60.0)


def carbohydrate_share(effort: ArrayLike) -> FloatArray:
    """Return the share of energy that comes from carbohydrate, 0.30 to 1.

    Parameters
    ----------
    effort : array_like, any shape; power as a fraction of FTP

    Notes
    -----
    Linear between the knots, flat outside. The share is not linear in effort, so a ride's
    carbohydrate is summed along the road and never taken from mean power.
    """
    intensity = VO2MAX_SHARE_AT_FTP * np.asarray(effort, dtype=np.float64)
    return np.asarray(np.interp(intensity, KNOT_INTENSITY, KNOT_SHARE))


def carbohydrate_g_per_h(
    power_w: ArrayLike, ftp_w: ArrayLike, gross_efficiency: float, body_mass_kg: ArrayLike = 0.0
) -> FloatArray:
    """Return carbohydrate burned at a power, same shape [g/h].

    Parameters
    ----------
    power_w : array_like, any shape [W]
    ftp_w : power held for about an hour [W]
    gross_efficiency, body_mass_kg : as in `energy_kj_per_min`
    """
    power_w = np.asarray(power_w, dtype=np.float64)
    energy = energy_kj_per_min(power_w, gross_efficiency, body_mass_kg)
    return energy * carbohydrate_share(power_w / np.asarray(ftp_w)) * 60.0 / CARBOHYDRATE_KJ_PER_G
