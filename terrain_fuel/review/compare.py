"""Planned beside ridden: points, climbs, halts, and how late from where on."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from terrain_fuel.facts import fact
from terrain_fuel.frozen import FloatArray
from terrain_fuel.review.intake import Intake
from terrain_fuel.review.matching import Match
from terrain_fuel.review.model import ClimbMet, HaltMade, Lateness, PointMet
from terrain_fuel.review.planned import Planned, PlannedPoint
from terrain_fuel.review.ridden import Halt, Ridden, work_by_clock_j

AT_HALT_M = 15.0
"""A place so near to a halt was reached when the halt began [m]."""
STOOD_S = 45.0
"""So much longer than it takes to ride on from a halt one has stood at it: common practice (no source)."""

AT_FEED_M = 400.0
"""A halt so near to a planned one is that one [m]."""

SHORT_HALT_S = 180.0
"""Up to here a halt is a short one [s]: common practice (no source)."""

LATE_S = 60.0
"""Less is neither early nor late [s]."""

STEP_M = 500.0


def arrivals(planned: Planned, match: Match | None, halts: tuple[Halt, ...]) -> dict[int, float | None]:
    """Return when each fuel point was reached [s], None where the ride did not come by."""
    if match is None or not match.forward:
        return dict.fromkeys(point.number for point in planned.points)
    stood = [(match.stood_m(halt.start_s, halt.start_s + halt.lasts_s), halt) for halt in halts]
    found: dict[int, float | None] = {}
    for point in planned.points:
        arrival_s = match.arrival_s(point.distance_m)
        near = [
            halt
            for place, halt in stood
            if place is not None and place[0] - AT_HALT_M <= point.distance_m <= place[1] + AT_HALT_M
        ]
        if arrival_s is None:
            found[point.number] = None
        elif near and _comes_at_the_end(planned, point):
            found[point.number] = max(arrival_s, *(halt.start_s + halt.lasts_s for halt in near))
        else:
            found[point.number] = min((*(halt.start_s for halt in near), arrival_s))
    return found


def _comes_at_the_end(planned: Planned, point: PlannedPoint) -> bool:
    """Return whether a point is planned once one has stood at its halt: well after others of its place."""
    same_place = (
        each.time_s for each in planned.points if 0.0 <= point.distance_m - each.distance_m <= AT_HALT_M
    )
    return point.time_s - min(same_place) > STOOD_S


def meet_points(
    planned: Planned,
    arrivals_s: Mapping[int, float | None],
    intake: Intake,
    joined: tuple[float, float],
    stores: Mapping[int, tuple[float, float, float]],
) -> tuple[PointMet, ...]:
    """Return the fuel points as they were met.

    Parameters
    ----------
    planned : the plan
    arrivals_s : by number, when each point was reached [s], None where it was not
    intake : what was taken
    joined : when the ride joined the road, ridden and planned [s]
    stores : by number, glycogen and its bounds when the point was passed [g]
    """
    met = []
    for point in planned.points:
        ridden_s = arrivals_s[point.number]
        late_s = None if ridden_s is None else (ridden_s - joined[0]) - (point.time_s - joined[1])
        window = None
        if ridden_s is not None:
            shifted_s = ridden_s - joined[0] + joined[1]
            window = point.earliest_s <= shifted_s <= point.latest_s
        glycogen = stores.get(point.number, (None, None, None))
        met.append(
            PointMet(
                point.number,
                point.label,
                point.action,
                point.item,
                point.portions,
                point.distance_m,
                point.time_s,
                ridden_s,
                late_s,
                window,
                intake.was.get(point.number, "not_said"),
                intake.taken_s.get(point.number),
                *glycogen,
            )
        )
    return tuple(met)


def meet_climbs(planned: Planned, match: Match, ridden: Ridden) -> tuple[ClimbMet, ...]:
    """Return the planned climbs as they were ridden."""
    climbs = []
    for climb in planned.climbs:
        span = match.arrival_s(climb.start_m), match.arrival_s(climb.end_m)
        planned_w = planned.mean_power_w(climb.start_m, climb.end_m)
        planned_s = climb.end_s - climb.start_s
        met = ClimbMet(
            climb.name, climb.start_m, climb.end_m, climb.gain_m, planned_s, None, planned_w, None, None
        )
        if span[0] is not None and span[1] is not None and match.forward:
            stood_s = sum(halt.lasts_s for halt in ridden.halts if span[0] <= halt.start_s < span[1])
            met = replace(
                met,
                ridden_s=span[1] - span[0] - stood_s,
                ridden_w=mean_power_w(ridden, span[0], span[1]),
                heart_bpm=mean_heart_bpm(ridden, span[0], span[1]),
            )
        climbs.append(met)
    return tuple(climbs)


def free_climbs(ridden: Ridden, least_gain_m: float = 40.0) -> tuple[ClimbMet, ...]:
    """Return the climbs of a ride without a plan."""
    if ridden.terrain is None:
        return ()
    climbs = []
    for stretch in ridden.terrain.stretches:
        if stretch.kind != "climb" or stretch.gain_m < least_gain_m:
            continue
        since_s, until_s = ridden.arrival_s(stretch.start_m), ridden.arrival_s(stretch.end_m)
        stood_s = sum(halt.lasts_s for halt in ridden.halts if since_s <= halt.start_s < until_s)
        climbs.append(
            ClimbMet(
                stretch.name,
                stretch.start_m,
                stretch.end_m,
                stretch.gain_m,
                None,
                until_s - since_s - stood_s,
                None,
                mean_power_w(ridden, since_s, until_s),
                mean_heart_bpm(ridden, since_s, until_s),
            )
        )
    return tuple(climbs)


def mean_power_w(ridden: Ridden, since_s: float, until_s: float) -> float | None:
    """Return the mean power over a part of the clock, halts left out [W]; None if not measured."""
    recorded = ridden.recorded
    if recorded.power_w is None or until_s <= since_s:
        return None
    work_j = work_by_clock_j(recorded.time_s, recorded.power_w)
    done_j = float(np.diff(np.interp((since_s, until_s), recorded.time_s, work_j))[0])
    moving_s = float(np.diff(np.interp((since_s, until_s), ridden.clock_s, ridden.moving_s))[0])
    return done_j / moving_s if moving_s > 0.0 else None


def mean_heart_bpm(ridden: Ridden, since_s: float, until_s: float) -> float | None:
    """Return the mean heart rate over a part of the clock; None if not recorded."""
    recorded = ridden.recorded
    if recorded.heart_bpm is None:
        return None
    inside = recorded.heart_bpm[(recorded.time_s >= since_s) & (recorded.time_s <= until_s)]
    known = inside[np.isfinite(inside)]
    return float(known.mean()) if known.size else None


def meet_halts(ridden: Ridden, planned: Planned | None, match: Match | None) -> tuple[HaltMade, ...]:
    """Return the halts, those at a planned place told apart."""
    refills = (
        {point.distance_m: point.label for point in planned.points if point.action == "refill"}
        if planned
        else {}
    )
    made = []
    for halt in ridden.halts:
        place = match.stood_m(halt.start_s, halt.start_s + halt.lasts_s) if match is not None else None
        along_m = None if place is None else 0.5 * (place[0] + place[1])
        near = [] if along_m is None else [at_m for at_m in refills if abs(at_m - along_m) <= AT_FEED_M]
        at = refills[min(near, key=lambda at_m: abs(at_m - (along_m or 0.0)))] if near else ""
        kind = "planned" if near else "short" if halt.lasts_s <= SHORT_HALT_S else "long"
        made.append(HaltMade(halt.start_s, halt.lasts_s, halt.ridden_m, along_m, at, kind))  # type: ignore[arg-type]
    return tuple(made)


def late_by(planned: Planned, match: Match) -> tuple[FloatArray, FloatArray]:
    """Return places of the road [m] and how much later than planned each was reached [s], shapes (k,)."""
    places = np.arange(float(match.along_m[0]), float(match.along_m[-1]), STEP_M)
    reached = [(at_m, match.arrival_s(float(at_m))) for at_m in (*places, float(match.along_m[-1]))]
    at_m = np.array([at for at, when_s in reached if when_s is not None])
    when_s = np.array([when_s for _, when_s in reached if when_s is not None])
    meant_s = np.interp(at_m, planned.distance_m, planned.time_s)
    return at_m, (when_s - when_s[0]) - (meant_s - meant_s[0])


def find_lateness(planned: Planned, match: Match, halts: tuple[HaltMade, ...]) -> Lateness:
    """Return how late the ride was at its end, and from where on it stayed so."""
    at_m, late_s = late_by(planned, match)
    final_s = float(late_s[-1])
    first_s, last_s = planned.clock_at(float(at_m[0])), planned.clock_at(float(at_m[-1]))
    halted_s = sum(halt.lasts_s for halt in halts)
    # what the plan's clock stands still for: where its speed is none
    meant_halts_s = _planned_halts_s(planned, first_s, last_s)
    halts_s = halted_s - meant_halts_s
    if abs(final_s) < LATE_S:
        return Lateness(final_s, None, final_s - halts_s, halts_s, fact("on_time"))
    on_side = np.sign(final_s) * late_s >= LATE_S
    before = np.flatnonzero(~on_side)
    from_m = float(at_m[min(int(before[-1]) + 1, at_m.size - 1)] if before.size else at_m[0])
    code = {"amount_s": abs(final_s), "from_m": from_m}
    sentence = fact("late_from", **code) if final_s > 0 else fact("early_from", **code)
    return Lateness(final_s, from_m, final_s - halts_s, halts_s, sentence)


def _planned_halts_s(planned: Planned, since_s: float, until_s: float) -> float:
    """Return how long the plan stands between two moments [s], seen from its clock along the road."""
    step_m, step_s = np.diff(planned.distance_m), np.diff(planned.time_s)
    usual_s = step_m / np.maximum(np.median(step_m / step_s), 0.1)
    inside = (planned.time_s[:-1] >= since_s) & (planned.time_s[1:] <= until_s)
    stands = inside & (step_s > 60.0 + 5.0 * usual_s)
    return float((step_s - usual_s)[stands].sum())
