"""Where a ride left the planned road: late starts, early ends, detours, shortcuts, ways off and back."""

from collections.abc import Iterator

import numpy as np

from terrain_fuel.facts import fact
from terrain_fuel.review.matching import Match, pieces_between
from terrain_fuel.review.model import PartRidden, RoadEvent
from terrain_fuel.track import Track

LEAST_M = 300.0
"""Less road left out, or ridden beside it, is not told [m]."""

SAME_PLACE_M = 120.0
"""Left and joined again so near: the rider went off and came back [m]."""

SHORTER_SHARE = 0.9

GAP_S = 60.0
"""Without a point for longer nothing is known of the road between."""


def part_ridden(match: Match | None, planned_m: float) -> PartRidden:
    """Return how much of the planned road was ridden; nothing, if the ride was elsewhere."""
    if match is None or match.matched_m < LEAST_M:
        return PartRidden("elsewhere", planned_m, 0.0, ())
    spans = match.spans_m
    if not match.forward:
        spans = tuple((planned_m - until, planned_m - since) for since, until in reversed(spans))
    return PartRidden("planned" if match.forward else "other_way", planned_m, match.matched_m, spans)


def find_events(match: Match, track: Track) -> tuple[RoadEvent, ...]:
    """Return where a ride left the road, in its order; the road is counted as the ride met it."""
    return (*_at_the_start(match), *_between(match, track), *_at_the_end(match))


def _at_the_start(match: Match) -> Iterator[RoadEvent]:
    first_m = float(match.along_m[0])
    if first_m >= LEAST_M:
        yield RoadEvent(
            "started_late", 0.0, first_m, float(match.ridden_m[0]), 0.0, float(match.clock_s[0]),
            fact("event_started_late", at_m=first_m),
        )  # fmt: skip


def _at_the_end(match: Match) -> Iterator[RoadEvent]:
    last_m = float(match.along_m[-1])
    if match.length_m - last_m >= LEAST_M:
        yield RoadEvent(
            "stopped_early", last_m, match.length_m, 0.0, float(match.clock_s[-1]), 0.0,
            fact("event_stopped_early", at_m=last_m, left_m=match.length_m - last_m),
        )  # fmt: skip


def _between(match: Match, track: Track) -> Iterator[RoadEvent]:
    assert track.time_s is not None
    for before, after in pieces_between(match):
        start_m, end_m = float(match.along_m[before]), float(match.along_m[after])
        passed_m = end_m - start_m
        went_m = float(match.ridden_m[after] - match.ridden_m[before])
        since_s, until_s = float(match.clock_s[before]), float(match.clock_s[after])
        if max(passed_m, went_m) < LEAST_M:
            continue
        inside = (track.time_s >= since_s) & (track.time_s <= until_s)
        longest_s = float(np.diff(track.time_s[inside]).max(initial=0.0))
        more = (start_m, end_m, went_m, since_s, until_s - since_s)
        if longest_s > GAP_S and longest_s > 0.8 * (until_s - since_s):
            yield RoadEvent("not_recorded", *more, fact("event_not_recorded", from_m=start_m, to_m=end_m))
        elif passed_m < SAME_PLACE_M:
            yield RoadEvent("turned_off", *more, fact("event_turned_off", at_m=start_m, ridden_m=went_m))
        elif went_m < SHORTER_SHARE * passed_m:
            saved_m = passed_m - went_m
            yield RoadEvent(
                "shortcut", *more, fact("event_shortcut", from_m=start_m, to_m=end_m, saved_m=saved_m)
            )
        else:
            yield RoadEvent(
                "detour", *more, fact("event_detour", from_m=start_m, to_m=end_m, ridden_m=went_m)
            )
