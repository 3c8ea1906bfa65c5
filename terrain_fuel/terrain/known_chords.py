"""Bridges and tunnels that the map knows: their heights are drawn straight, whatever the heights say."""

from collections.abc import Sequence

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.mapped.model import MappedRoad
from terrain_fuel.terrain.chords import STEEPEST_ROAD, Chord

SHORTEST_M = {"bridge": 25.0, "tunnel": 40.0}
"""A shorter one is within what heights are smoothed by anyway [m]: common practice (no source)."""

ABUTMENT_M = 20.0
"""The ground falls away or rises already so far before its end in heights a cell wide [m]."""


def with_known(
    found: Sequence[Chord], road: MappedRoad | None, distance_m: FloatArray, height_m: FloatArray
) -> tuple[Chord, ...]:
    """Return the chords that the heights give away, those of the map in the place of any that they touch.

    Parameters
    ----------
    found : from the heights
    road : what the map says; None without one
    distance_m, height_m : the nodes, shape (n,) [m]
    """
    known: list[Chord] = []
    for section in () if road is None else road.sections_of("bridge", "tunnel"):
        if section.length_m < SHORTEST_M[section.kind]:
            continue
        ends_m = [section.start_m - ABUTMENT_M, section.end_m + ABUTMENT_M]
        first, last = np.clip(np.searchsorted(distance_m, ends_m), 0, distance_m.size - 1).tolist()
        rise_m = abs(float(height_m[last] - height_m[first]))
        over = known and known[-1].last >= first
        if last - first > 1 and not over and rise_m <= STEEPEST_ROAD * (distance_m[last] - distance_m[first]):
            known.append(Chord("bridge" if section.kind == "bridge" else "tunnel", first, last))
    kept = [
        chord
        for chord in found
        if not any(chord.first <= each.last and each.first <= chord.last for each in known)
    ]
    return tuple(sorted((*kept, *known), key=lambda chord: chord.first))
