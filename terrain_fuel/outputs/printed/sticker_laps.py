"""The paper of one lap: cues that come again in other laps at the same place are one."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from terrain_fuel.outputs.by_lap import ONE_SPOT_M
from terrain_fuel.outputs.printed.cues import Cue
from terrain_fuel.terrain.model import Laps


def cues_of_a_lap(cues: Sequence[Cue], laps: Laps) -> list[Cue]:
    """Return the cues of all laps on the road of the first, those that say the same at one place joined."""
    found: dict[tuple[object, ...], list[Cue]] = {}
    placed = sorted((_on_first_lap(cue, laps) for cue in cues), key=lambda one: one.distance_m)
    for cue in placed:
        same = found.setdefault(_says(cue), [])
        near = bool(same) and cue.distance_m - same[-1].distance_m <= ONE_SPOT_M
        if near and not set(cue.laps) & set(same[-1].laps):
            same[-1] = _joined(same[-1], cue)
        else:
            same.append(cue)
    ordered = [cue for same in found.values() for cue in same]
    return sorted(ordered, key=lambda cue: (cue.kind != "rhythm", cue.distance_m, cue.laps))


def spans_of_a_lap(spans: Iterable[tuple[float, float]], laps: Laps) -> list[tuple[float, float]]:
    """Return the spans of the first lap [m]."""
    return [(start_m, end_m) for start_m, end_m in spans if end_m <= laps.bounds_m[1]]


def _on_first_lap(cue: Cue, laps: Laps) -> Cue:
    at_m = cue.distance_m
    lap = laps.lap_at(at_m) or (1 if at_m < laps.bounds_m[0] else laps.count)
    start_m = laps.bounds_m[lap - 1]
    scale = (laps.bounds_m[1] - laps.bounds_m[0]) / (laps.bounds_m[lap] - start_m)

    def shifted(road_m: float) -> float:
        return laps.bounds_m[0] + scale * (road_m - start_m)

    row = replace(cue.row, distance_m=shifted(at_m), end_m=shifted(cue.row.end_m))
    return replace(cue, row=row, laps=(lap,))


def _says(cue: Cue) -> tuple[object, ...]:
    """Return what a cue says beside its place."""
    what = tuple((point.item, point.portions) for point in cue.row.points)
    return cue.kind, what, cue.extra.text if cue.extra else ""


def _joined(cue: Cue, later: Cue) -> Cue:
    again = tuple(sorted((*cue.again, *later.numbers)))
    return replace(cue, again=again, laps=tuple(sorted((*cue.laps, *later.laps))))
