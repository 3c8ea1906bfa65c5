"""The height profile: ground hachured by grade, hands-on stretches hatched, fuel points above it."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np

from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import FloatArray
from terrain_fuel.outputs.attribution import terrain_attribution
from terrain_fuel.outputs.drawing.hachure import grade_band, stroke_places
from terrain_fuel.outputs.drawing.hatching import hatch_under
from terrain_fuel.outputs.drawing.lanes import place_in_lanes
from terrain_fuel.outputs.drawing.likely_clock import likely_clock
from terrain_fuel.outputs.drawing.profile_frame import (
    CLOCK_FOOT,
    FOOT,
    LEAST_SPAN_M,
    Frame,
    height_for,
    lanes_for,
    nice_step,
)
from terrain_fuel.outputs.drawing.shapes import Area, Drawing, Label, Line, Mark, Shape, Strokes, Triangle
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.rows import joined_spans
from terrain_fuel.outputs.units import Units
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.plan import FuelPoint, Plan
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Laps, Terrain

Labelled = tuple[float, FuelPoint]

ONE_SPOT_M = 150.0
"""Places nearer to each other than this are one spot of a lap."""

SAMPLES = 8.0
"""Places of the ground that are drawn on a height of the lettering."""

BAND_WINDOW_M = 200.0
BAND_WINDOW = 0.9
"""The ramp shows the grade over this length of road, or of drawing in heights of its lettering, whichever
is longer, so that it changes no faster than the eye follows."""


def draw_terrain_profile(
    terrain: Terrain,
    cautions: Sequence[Caution],
    rider: Rider,
    *,
    width: float = 1040.0,
    height: float | None = None,
) -> str:
    """Return a road's profile as an SVG file of its own, before anything is planned on it."""
    drawing = profile_shapes(terrain, cautions=cautions, rider=rider, width=width, height=height)
    label = words_for(rider).label("drawing.road", name=terrain.track.name)
    if credit := terrain_attribution(terrain, rider):
        label = f"{label}; {credit}"
    return svg_text(drawing, label, own_file=True)


def profile_shapes(
    terrain: Terrain,
    plan: Plan | None = None,
    *,
    cautions: Sequence[Caution] = (),
    rider: Rider | None = None,
    width: float,
    height: float | None = None,
    text: float = 13.0,
    with_stores: bool = False,
    span_m: tuple[float, float] | None = None,
    with_clock: bool = False,
) -> Drawing:
    """Return the profile as shapes.

    Parameters
    ----------
    terrain : the road
    plan : the plan on it, for fuel points, hands-on stretches and stores; None for the road alone
    cautions : what to mind on a road without a plan
    rider : who reads it; the plan's rider if not given, else one with all defaults
    width, height, text : size of the drawing and of its lettering, in any one unit; without a
        height, as high as the marks need
    with_stores : draw glycogen and bottle level as thin lines over the ground
    span_m : the part of the road to draw; all of it if not given
    with_clock : draw under the distances where the ride likely is at whole hours
    """
    words = words_for(rider or (plan.rider if plan else Rider()))
    units = words.units
    start_m, end_m = span_m or (0.0, terrain.length_m)
    labelled = _labelled(plan, start_m, end_m) if plan else []
    lanes = lanes_for(len(labelled), width, text)
    elevation = terrain.profile.elevation_m
    low, high = float(elevation.min()), float(elevation.max())
    foot = FOOT + CLOCK_FOOT * with_clock
    height = height or height_for(lanes, text) + (foot - FOOT) * text
    frame = Frame(width, height, text, lanes, start_m, end_m, low, max(high, low + LEAST_SPAN_M), foot)
    shapes: list[Shape] = [
        *_land(frame, terrain, units),
        *_hands_on(frame, terrain, joined_spans(plan.cautions if plan else cautions)),
        *_axis(frame, units),
    ]
    if plan is not None:
        if with_stores:
            shapes.extend(_stores(frame, plan, words))
        if with_clock:
            shapes.extend(likely_clock(frame, plan))
        shapes.extend(_marks(frame, plan, labelled))
    return Drawing(width, height, tuple(shapes))


def _line(x: FloatArray, y: FloatArray) -> Line:
    return tuple(zip(np.ravel(x).tolist(), np.ravel(y).tolist(), strict=True))


@lru_cache(maxsize=32)
def _land(frame: Frame, terrain: Terrain, units: Units) -> tuple[Shape, ...]:
    """Return what of a profile is the same whatever is planned on the road, kept from plan to plan."""
    return (*_height_lines(frame, units), *_ground(frame, terrain))


def _ground(frame: Frame, terrain: Terrain) -> list[Shape]:
    """Return the ramp under the ridge, the hachures down from it and the ridge itself."""
    profile = terrain.profile
    x = np.linspace(frame.left, frame.right, _samples(frame))
    road_m = np.interp(x, frame.x(profile.distance_m), profile.distance_m)
    ridge = frame.y(np.interp(road_m, profile.distance_m, profile.elevation_m))
    half = 0.5 * max(BAND_WINDOW_M, BAND_WINDOW * frame.text * frame.length_m / (frame.right - frame.left))
    rise = np.interp(road_m + half, profile.distance_m, profile.elevation_m) - np.interp(
        road_m - half, profile.distance_m, profile.elevation_m
    )
    run = np.minimum(road_m + half, terrain.length_m) - np.maximum(road_m - half, 0.0)
    grade = rise / run
    band = grade_band(grade)
    shapes: list[Shape] = []
    changes = [0, *(np.flatnonzero(np.diff(band)) + 1).tolist(), x.size - 1]
    for start, end in pairwise(changes):
        top = _line(x[start : end + 1], ridge[start : end + 1])
        if len(top) > 1:
            shapes.append(
                Area(f"grade-{band[start]}", (*top, (top[-1][0], frame.base), (top[0][0], frame.base)))
            )
    shapes.append(Strokes("hachure", _hachures(frame, x, ridge, grade)))
    shapes.append(Strokes("ridge", (_line(x, ridge),)))
    shapes.append(Strokes("base", (((frame.left, frame.base), (frame.right, frame.base)),)))
    return shapes


def _samples(frame: Frame) -> int:
    return max(4, round((frame.right - frame.left) * SAMPLES / frame.text))


def _hachures(frame: Frame, x: FloatArray, ridge: FloatArray, grade: FloatArray) -> tuple[Line, ...]:
    """Return strokes that hang from the ridge."""
    at = stroke_places(x, grade, 0.12 * frame.text)
    steep = np.interp(at, x, grade)
    top = np.interp(at, x, ridge)
    length = np.minimum(frame.text * (0.6 + 9.0 * np.minimum(np.abs(steep), 0.12)), 0.85 * (frame.base - top))
    return tuple(
        ((x0, y0), (x0, y0 + dy))
        for x0, y0, dy in zip(at.tolist(), top.tolist(), length.tolist(), strict=True)
    )


@lru_cache(maxsize=32)
def _hands_on(frame: Frame, terrain: Terrain, spans: tuple[tuple[float, float], ...]) -> tuple[Shape, ...]:
    """Return hatch and triangle of every stretch on which both hands stay on the bars, kept like the land."""
    profile = terrain.profile
    shapes: list[Shape] = []
    last = -np.inf
    for start_m, end_m in spans:
        if end_m <= frame.start_m or start_m >= frame.end_m:
            continue
        ends = float(frame.x(max(start_m, frame.start_m))), float(frame.x(min(end_m, frame.end_m)))
        x = np.linspace(*ends, 40)
        ridge = frame.y(np.interp(x, frame.x(profile.distance_m), profile.elevation_m))
        outline = (*_line(x, ridge), (float(x[-1]), frame.base), (float(x[0]), frame.base))
        shapes.append(Area("hands", outline))
        shapes.append(Strokes("hatch", hatch_under(x, ridge, frame.base, 0.42 * frame.text)))
        middle = 0.5 * float(x[0] + x[-1])
        if middle - last > 1.6 * frame.text:
            shapes.append(Triangle(middle, frame.base - 0.75 * frame.text, 0.62 * frame.text))
            last = middle
    return tuple(shapes)


def _height_lines(frame: Frame, units: Units) -> list[Shape]:
    low, high = frame.low_m / units.height_m, frame.high_m / units.height_m
    step = nice_step(high - low, max(2, int((frame.base - frame.top) / (2.2 * frame.text))))
    shapes: list[Shape] = []
    for height in range(-(-int(np.ceil(low)) // step) * step, int(high) + 1, step):
        y = float(frame.y(height * units.height_m))
        shapes.append(Strokes("grid", (((frame.left, y), (frame.right, y)),)))
        label = f"{height} {units.height}" if height + step > high else str(height)
        shapes.append(
            Label(
                "quiet", frame.left - 0.4 * frame.text, y + 0.35 * frame.text, label, 0.85 * frame.text, "end"
            )
        )
    return shapes


def _axis(frame: Frame, units: Units) -> list[Shape]:
    first, last = frame.start_m / units.road_m, frame.end_m / units.road_m
    step = nice_step(last - first, max(2, int((frame.right - frame.left) / (4.2 * frame.text))))
    ticks, shapes = [], list[Shape]()
    y = frame.base + 1.1 * frame.text
    for distance in range(-int(-first // step) * step, int(last) + 1, step):
        x = float(frame.x(distance * units.road_m))
        ticks.append(((x, y), (x, y + 0.35 * frame.text)))
        label = f"{distance} {units.road}" if not shapes else str(distance)
        shapes.append(Label("quiet", x, frame.base + 2.45 * frame.text, label, 0.92 * frame.text, "middle"))
    return [Strokes("tick", tuple(ticks)), *shapes]


def _marks(frame: Frame, plan: Plan, big: list[Labelled]) -> list[Shape]:
    """Return sips as small rings under the ground, eats and halts as labelled marks above it."""
    profile = plan.terrain.profile
    sips = [
        Mark(
            "sip",
            point.number,
            "",
            float(frame.x(at_m)),
            frame.base + 0.6 * frame.text,
            0.3 * frame.text,
        )
        for point in plan.fuel_points
        if point.action == "sip"
        and frame.start_m <= (at_m := _on_first_lap(plan.terrain.laps, point.distance_m)) <= frame.end_m
    ]
    big_m = np.array([at_m for at_m, _ in big])
    at, ridge = frame.x(big_m), frame.y(np.interp(big_m, profile.distance_m, profile.elevation_m))
    x, lane = place_in_lanes(at, frame.pitch, frame.lanes, frame.radius, frame.width - frame.radius)
    y = 0.2 * frame.text + frame.radius + lane * frame.pitch
    leaders = tuple(
        ((x0, y0 + frame.radius), (x1, y1))
        for x0, y0, x1, y1 in zip(x.tolist(), y.tolist(), at.tolist(), ridge.tolist(), strict=True)
    )
    marks = [
        Mark(point.action, point.number, point.label, x0, y0, frame.radius)
        for (_, point), x0, y0 in zip(big, x.tolist(), y.tolist(), strict=True)
    ]
    return [Strokes("leader", leaders), *sips, *marks]


def _labelled(plan: Plan, start_m: float, end_m: float) -> list[Labelled]:
    """Return the bites and, of every halt, the first point, with where each stands on the drawing's road.

    Of laps one is drawn: what is taken in another one stands where that place is on the first, and
    what is taken at one spot stands there in the order of its numbers.
    """
    first: dict[str, FuelPoint] = {}
    for point in plan.fuel_points:
        if point.label:
            first.setdefault(point.label, point)
    places = [(_on_first_lap(plan.terrain.laps, point.distance_m), point) for point in first.values()]
    inside = [(at_m, point) for at_m, point in places if start_m <= at_m < end_m or at_m == end_m]
    inside.sort(key=lambda place: (place[0], place[1].number))
    spots: list[Labelled] = []
    for at_m, point in inside:
        near = bool(spots) and at_m - spots[-1][0] < ONE_SPOT_M
        spots.append((spots[-1][0] if near else at_m, point))
    return sorted(spots, key=lambda place: (place[0], place[1].number))


def _on_first_lap(laps: Laps | None, distance_m: float) -> float:
    if laps is None or laps.lap_at(distance_m) < 2:
        return distance_m
    return laps.bounds_m[0] + laps.along_m(distance_m)


def _stores(frame: Frame, plan: Plan, words: Words) -> list[Shape]:
    """Return glycogen and bottle level as thin lines, full at the top of the ground and empty at its foot."""
    timeline = plan.timeline
    x = np.linspace(frame.left, frame.right, _samples(frame) // 2)
    at_m = np.interp(x, [frame.left, frame.right], [frame.start_m, frame.end_m])
    known = np.maximum(np.searchsorted(timeline.distance_m, at_m, side="right") - 1, 0)
    poured = np.zeros(timeline.distance_m.size)
    for fill in plan.bottles:
        poured[timeline.distance_m >= fill.at_m] += fill.fluid_ml
    shapes: list[Shape] = []
    for role, level in (
        ("glycogen", timeline.glycogen_g),
        ("bottle", np.maximum(0.0, poured - timeline.fluid_drunk_ml)),
    ):
        share = level / max(float(level.max()), 1.0)
        y = frame.base - (frame.base - frame.top) * share[known]
        shapes.append(Strokes(role, (_line(x, y),)))
        label_y = float(y[-1]) - 0.35 * frame.text
        name = words.label(f"drawing.{role}")
        shapes.append(Label("store", frame.right, label_y, name, 0.92 * frame.text, "end"))
    return shapes
