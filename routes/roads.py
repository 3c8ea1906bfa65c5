"""Plan and profile of an invented road: a wiggling ring with climbs and, if wanted, hairpins."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicHermiteSpline, CubicSpline, PchipInterpolator
from scipy.ndimage import gaussian_filter1d

Floats = NDArray[np.float64]
STEP_M = 1.0


@dataclass(frozen=True, slots=True)
class Hairpins:
    """A staircase of hairpins: where it starts along the ring and how it is built."""

    start_m: float
    legs_m: tuple[float, ...]
    radii_m: tuple[float, ...]
    leg_angle_deg: float = 13.0


def ring(radius_m: float, lobes: tuple[tuple[int, float, float], ...]) -> Floats:
    """Return a closed curve about the origin, points a metre apart, shape (n, 2) [m].

    ``lobes`` are (count, share of the radius, phase): what makes the ring no circle. It starts
    and ends in the south.
    """
    angle = np.linspace(-0.5 * np.pi, 1.5 * np.pi, 40_001)
    radius = radius_m * (1.0 + sum(share * np.cos(n * angle + phase) for n, share, phase in lobes))
    return evenly(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]))


def evenly(points: Floats) -> Floats:
    """Return the same curve with points `STEP_M` apart."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    even = np.linspace(0.0, along[-1], round(along[-1] / STEP_M) + 1)
    return np.column_stack([np.interp(even, along, column) for column in points.T])


def wiggle(points: Floats, rng: np.random.Generator, share: Floats) -> Floats:
    """Return a curve with bends added to its sides, ``share`` (n,) of full strength."""
    along = np.arange(points.shape[0]) * STEP_M
    side = np.zeros(points.shape[0])
    for wavelength_m, amplitude_m in ((5300.0, 520.0), (1900.0, 110.0), (700.0, 24.0), (310.0, 7.0)):
        drift = 4.0 * slow_noise(rng, along.size, 2.0 * wavelength_m)
        swing = np.clip(0.6 + 0.5 * slow_noise(rng, along.size, 2.0 * wavelength_m), 0.0, 1.3)
        side += amplitude_m * swing * np.sin(2 * np.pi * along / wavelength_m + drift)
    normal = np.gradient(points, axis=0) @ np.array([[0.0, 1.0], [-1.0, 0.0]])
    normal /= np.hypot(*normal.T)[:, None]
    return evenly(points + normal * (side * share)[:, None])


def slow_noise(rng: np.random.Generator, size: int, width_m: float) -> Floats:
    """Return noise of unit spread that changes over ``width_m``, shape (size,)."""
    knots = rng.normal(size=round(size * STEP_M / width_m) + 8)
    noise = CubicSpline(np.arange(knots.size), knots)(np.arange(size) * STEP_M / width_m + 2.0)
    return np.asarray((noise - noise.mean()) / noise.std())


def staircase(hairpins: Hairpins, heading_rad: float, rng: np.random.Generator) -> Floats:
    """Return a road that zigzags down along a heading, shape (n, 2), from the origin [m]."""
    lean = np.pi / 2 - np.radians(hairpins.leg_angle_deg)
    turns = [(lean, 60.0)]
    turns += [((-1) ** (i + 1) * 2 * lean, radius) for i, radius in enumerate(hairpins.radii_m)]
    turns += [((-1) ** (len(turns)) * lean, 60.0)]
    curvature = []
    for (turn, radius), leg in zip(turns, (*hairpins.legs_m, 0.0), strict=True):
        curvature.append(np.full(round(abs(turn) * radius / STEP_M), np.sign(turn) / radius))
        curvature.append(np.full(round(leg / STEP_M), 0.0) + 0.0008 * rng.normal())
    bend = gaussian_filter1d(np.concatenate(curvature), 3.0)
    heading = heading_rad + np.cumsum(bend) * STEP_M
    return np.cumsum(np.column_stack([np.cos(heading), np.sin(heading)]), axis=0) * STEP_M


def insert(points: Floats, hairpins: Hairpins, rng: np.random.Generator, rejoin_m: float = 3500.0) -> Floats:
    """Return a curve with a staircase laid in at its place and led back to the curve beyond."""
    i = round(hairpins.start_m / STEP_M)
    tangent = points[i + 40] - points[i - 40]
    stairs = points[i] + staircase(hairpins, float(np.arctan2(tangent[1], tangent[0])), rng)
    j = i + round((np.hypot(*(stairs[-1] - points[i])) + rejoin_m) / STEP_M)
    gap = float(np.hypot(*(points[j] - stairs[-1])))
    ends = [stairs[-1] - stairs[-2], points[j + 20] - points[j - 20]]
    slopes = [end / np.hypot(*end) for end in ends]
    back = CubicHermiteSpline([0.0, gap], [stairs[-1], points[j]], slopes)(np.arange(1.0, gap))
    return evenly(np.vstack([points[:i], stairs, back, points[j:]]))


def profile(
    length_m: float, knots_km: list[tuple[float, float]], rollers_m: float, rng: np.random.Generator
) -> Floats:
    """Return heights every `STEP_M` through (km, height) knots, with rollers where it is flat."""
    along = np.arange(round(length_m / STEP_M) + 1) * STEP_M
    km, height = np.array(knots_km).T
    base = PchipInterpolator(km * 1000.0, height)(np.minimum(along, km[-1] * 1000.0))
    base = gaussian_filter1d(base, 120.0, mode="nearest")
    steep = np.abs(np.gradient(base, STEP_M))
    flat = gaussian_filter1d((steep < 0.02).astype(float), 300.0)
    ends = np.clip(np.minimum(along, length_m - along) / 1500.0, 0.0, 1.0)
    waves = 0.8 * slow_noise(rng, along.size, 800.0) + 0.2 * slow_noise(rng, along.size, 330.0)
    return np.asarray(base + rollers_m * waves * flat * ends)
