"""Distances and directions on the WGS 84 ellipsoid."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from terrain_fuel.errors import ModelRangeError

SEMI_MAJOR_M = 6378137.0  # WGS 84, defining constant
FLATTENING = 1.0 / 298.257223563  # WGS 84, defining constant
SEMI_MINOR_M = SEMI_MAJOR_M * (1.0 - FLATTENING)
ECCENTRICITY_SQUARED = FLATTENING * (2.0 - FLATTENING)

SPHERE_DEGREE_M = 111_195.0
"""A degree of a great circle on a sphere of 6371 km [m]: enough for what is laid on a plane near the road."""

CONVERGED_RAD = 1e-12  # 6 micrometres on the ground
MOST_ROUNDS = 100
AT_ONCE = 16_384

Floats = NDArray[np.float64]


def geodesic_m(
    lat1_deg: ArrayLike, lon1_deg: ArrayLike, lat2_deg: ArrayLike, lon2_deg: ArrayLike
) -> tuple[Floats, Floats]:
    """Return the length and the first direction of the shortest line between points.

    Parameters
    ----------
    lat1_deg, lon1_deg, lat2_deg, lon2_deg : array_like, shapes that broadcast
        WGS 84 positions [degrees]. Any longitude; the date line is no border.

    Returns
    -------
    distance_m : ndarray
        Length of the geodesic [m].
    azimuth_deg : ndarray
        Its direction at the first point, clockwise from north [degrees, 0 to 360);
        0 where the points coincide.

    Raises
    ------
    ModelRangeError
        If two points lie so nearly opposite each other on the globe that the iteration
        does not settle (within about 0.6 degrees of the antipode).

    Notes
    -----
    Inverse formula of [Vi75]_, all pairs at once; rounds stop for the pairs that have settled.
    """
    lat1, lon1, lat2, lon2 = np.broadcast_arrays(
        *(np.asarray(angle, dtype=np.float64) for angle in (lat1_deg, lon1_deg, lat2_deg, lon2_deg))
    )
    shape, pairs = lat1.shape, lat1.size
    ends = [angle.ravel() for angle in (lat1, lon1, lat2, lon2)]
    if pairs <= AT_ONCE:
        distance, azimuth = _inverse(*ends)
    else:  # so many at a time that what lies in between stays small
        distance, azimuth = np.empty(pairs), np.empty(pairs)
        for first in range(0, pairs, AT_ONCE):
            part = slice(first, first + AT_ONCE)
            distance[part], azimuth[part] = _inverse(*(angle[part] for angle in ends))
    return distance.reshape(shape), azimuth.reshape(shape)


def _inverse(lat1: Floats, lon1: Floats, lat2: Floats, lon2: Floats) -> tuple[Floats, Floats]:
    """Return length [m] and first direction [degrees] of the lines between pairs of points, shape (n,)."""
    # reduced latitudes, as sine and cosine; no tangent, so that the poles need no care
    sin_u1, cos_u1 = _reduced(lat1)
    sin_u2, cos_u2 = _reduced(lat2)
    difference = np.radians((lon2 - lon1 + 180.0) % 360.0 - 180.0)
    lam, open_pairs = difference.copy(), np.arange(difference.size)
    for _ in range(MOST_ROUNDS):
        if open_pairs.size == 0:
            break
        pair = open_pairs
        new = _next_lambda(
            lam[pair], difference[pair], sin_u1[pair], cos_u1[pair], sin_u2[pair], cos_u2[pair]
        )
        settled = np.abs(new - lam[pair]) < CONVERGED_RAD
        lam[pair] = new
        open_pairs = pair[~settled]
    if open_pairs.size:
        i = int(open_pairs[0])
        raise ModelRangeError(
            f"geodesic: points {lat1[i]:.4f}, {lon1[i]:.4f} and {lat2[i]:.4f}, {lon2[i]:.4f} lie opposite"
            " each other on the globe; allowed are points closer than half way round; split the line"
        )
    sin_s, cos_s, cos2_alpha, cos_2m, _ = _auxiliary(lam, sin_u1, cos_u1, sin_u2, cos_u2)
    u2 = cos2_alpha * (SEMI_MAJOR_M**2 - SEMI_MINOR_M**2) / SEMI_MINOR_M**2
    # series in u2: [Vi75]_, equations 3, 4 and 6
    a = 1.0 + u2 / 16384.0 * (4096.0 + u2 * (-768.0 + u2 * (320.0 - 175.0 * u2)))
    b = u2 / 1024.0 * (256.0 + u2 * (-128.0 + u2 * (74.0 - 47.0 * u2)))
    inner = cos_s * (-1.0 + 2.0 * cos_2m**2) - b / 6.0 * cos_2m * (-3.0 + 4.0 * sin_s**2) * (
        -3.0 + 4.0 * cos_2m**2
    )
    sigma = np.arctan2(sin_s, cos_s)
    distance = SEMI_MINOR_M * a * (sigma - b * sin_s * (cos_2m + b / 4.0 * inner))
    azimuth = np.degrees(np.arctan2(cos_u2 * np.sin(lam), cos_u1 * sin_u2 - sin_u1 * cos_u2 * np.cos(lam)))
    return distance, np.where(distance > 0.0, azimuth % 360.0, 0.0)


def earth_centred_m(lat_deg: ArrayLike, lon_deg: ArrayLike) -> Floats:
    """Return positions on the ellipsoid as x, y, z from the centre of the earth.

    Parameters
    ----------
    lat_deg, lon_deg : array_like, shape (...) [degrees]

    Returns
    -------
    ndarray, shape (..., 3) [m]

    Notes
    -----
    X towards latitude 0, longitude 0; Z towards the north pole. Straight distances between
    near points are free of any chart: 1 mm short of the geodesic at 10 km, hardly more.
    """
    lat, lon = (
        np.radians(np.asarray(lat_deg, dtype=np.float64)),
        np.radians(np.asarray(lon_deg, dtype=np.float64)),
    )
    across = SEMI_MAJOR_M / np.sqrt(1.0 - ECCENTRICITY_SQUARED * np.sin(lat) ** 2)
    return np.stack(
        [
            across * np.cos(lat) * np.cos(lon),
            across * np.cos(lat) * np.sin(lon),
            across * (1.0 - ECCENTRICITY_SQUARED) * np.sin(lat),
        ],
        axis=-1,
    )


def _reduced(lat_deg: Floats) -> tuple[Floats, Floats]:
    """Return sine and cosine of the reduced latitude."""
    lat = np.radians(lat_deg)
    y, x = (1.0 - FLATTENING) * np.sin(lat), np.cos(lat)
    length = np.hypot(x, y)
    return y / length, x / length


def _auxiliary(
    lam: Floats, sin_u1: Floats, cos_u1: Floats, sin_u2: Floats, cos_u2: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Return sin and cos of sigma, cos^2 and sin of alpha, cos of 2 sigma_m: [Vi75]_, equations 14 to 18."""
    sin_l, cos_l = np.sin(lam), np.cos(lam)
    sin_s = np.hypot(cos_u2 * sin_l, cos_u1 * sin_u2 - sin_u1 * cos_u2 * cos_l)
    cos_s = sin_u1 * sin_u2 + cos_u1 * cos_u2 * cos_l
    sin_alpha = np.divide(cos_u1 * cos_u2 * sin_l, sin_s, out=np.zeros_like(sin_s), where=sin_s > 0.0)
    cos2_alpha = 1.0 - sin_alpha**2
    on_equator = cos2_alpha < 1e-15
    cos_2m = np.where(on_equator, 0.0, cos_s - 2.0 * sin_u1 * sin_u2 / np.where(on_equator, 1.0, cos2_alpha))
    return sin_s, cos_s, cos2_alpha, cos_2m, sin_alpha


def _next_lambda(
    lam: Floats, difference: Floats, sin_u1: Floats, cos_u1: Floats, sin_u2: Floats, cos_u2: Floats
) -> Floats:
    """Return the next longitude difference on the auxiliary sphere: [Vi75]_, equations 10 and 11."""
    sin_s, cos_s, cos2_alpha, cos_2m, sin_alpha = _auxiliary(lam, sin_u1, cos_u1, sin_u2, cos_u2)
    sigma = np.arctan2(sin_s, cos_s)
    c = FLATTENING / 16.0 * cos2_alpha * (4.0 + FLATTENING * (4.0 - 3.0 * cos2_alpha))
    inner = cos_2m + c * cos_s * (-1.0 + 2.0 * cos_2m**2)
    return difference + (1.0 - c) * FLATTENING * sin_alpha * (sigma + c * sin_s * inner)
