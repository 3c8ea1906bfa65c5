"""The review as one page: planned beside ridden, stores, signs, and the form for what no device knows."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from terrain_fuel.after_keys import BOTTLE, ITEM, LINE, SCALE, SCALE_STEPS, SCALES, numbered_keys
from terrain_fuel.outputs.after.kept_form import kept_form
from terrain_fuel.outputs.after.page_frame import at_both_widths, render_page
from terrain_fuel.outputs.after.review_drawings import late_picture, local_start, stores_picture
from terrain_fuel.outputs.drawing.profile import profile_shapes
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.units import amount_text, clock_text, duration_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.review.after import After
from terrain_fuel.review.model import ClimbMet, HourMet, PointMet, Review
from terrain_fuel.review.planned import Planned
from terrain_fuel.rider import Rider

WAS = ("eaten", "later", "left")
LINES = (1, 2, 3)
"""Lines for what is to be changed, as on the printed form."""


@dataclass(frozen=True, slots=True)
class Beside:
    """What a review was made beside: the plan and the form, None without; and who reads it."""

    rider: Rider
    planned: Planned | None
    after: After | None


def write_review_page(review: Review, beside: Beside, path: Path) -> None:
    """Write the page.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_text(path, review_page(review, beside))


def review_page(review: Review, beside: Beside) -> str:
    """Return the page of a review."""
    words, start = words_for(beside.rider), _start(review, beside)
    pictures = {
        "profile": at_both_widths(lambda width: profile_picture(review, beside.rider, width)),
        "stores": at_both_widths(lambda width: stores_picture(review, words, start, width)),
        "late": at_both_widths(lambda width: late_picture(review, words, width)),
    }
    return render_page("review.html.j2", words, "review.js", {**review_values(review, beside), **pictures})


def profile_picture(review: Review, rider: Rider, width: float) -> str:
    """Return the ridden road's profile as SVG; "" without a road."""
    if review.terrain is None:
        return ""
    drawing = profile_shapes(review.terrain, rider=rider, width=width)
    return svg_text(drawing, words_for(rider).label("drawing.road", name=review.ride.name))


def _start(review: Review, beside: Beside) -> datetime:
    return local_start(review, beside.planned.day.start if beside.planned else None)


def review_values(review: Review, beside: Beside) -> dict[str, Any]:
    """Return all that a page shows of a review but its pictures: texts, rows, and facts to be said."""
    words = words_for(beside.rider)
    start = _start(review, beside)
    items, bottles = _items_left(beside), _bottles_left(beside)
    asked = {*(key for key, *_ in (*items, *bottles)), *(f"{LINE}{number}" for number in LINES)}
    told = [fact for fact in (review.lateness.sentence if review.lateness else None,) if fact is not None]
    return {
        "name": beside.rider.titled(review.plan_name or review.ride.name),
        "day": start.strftime(words.label("date")),
        "totals": _totals(review, words),
        "told": [*told, *(event.sentence for event in review.events), *review.notes],
        "points": [_point(point, beside, start) for point in review.points if point.action != "sip"],
        "climbs": [_climb(climb, words) for climb in review.climbs],
        "halts": [
            (
                clock_text(start, halt.clock_s),
                words.place(halt.ridden_m, 1),
                duration_text(halt.lasts_s),
                words.label(f"review.halt.{halt.kind}"),
            )
            for halt in review.halts
        ],
        "hours": [_hour(hour, words) for hour in review.hours],
        "weighed": review.weighed,
        "signs": review.signs,
        "items": items,
        "bottles": bottles,
        "scales": [(key, asked) for asked, key in numbered_keys(SCALE, SCALES).items()],
        "steps": range(SCALE_STEPS),
        "said": _said(beside.after),
        "ticks": {str(bite.number): bite.was for bite in beside.after.bites} if beside.after else {},
        "later_km": {str(bite.number): bite.at_km for bite in beside.after.bites} if beside.after else {},
        "kept": kept_form(beside.after, asked, _ticked(review)),
        "was": WAS,
        "lines": LINES,
        "cautions": review.cautions,
    }


def _totals(review: Review, words: Words) -> list[tuple[str, str]]:
    ride = review.ride
    rows = [
        ("distance", words.length(ride.distance_m)),
        ("ascent", words.units.height_text(ride.ascent_m)),
        ("saddle", duration_text(ride.moving_s)),
        ("in_all", duration_text(ride.elapsed_s)),
    ]
    if ride.power_w is not None:
        rows.append(("power", f"{ride.power_w:.0f} W"))
    if ride.heart_bpm is not None:
        rows.append(("heart", f"{ride.heart_bpm:.0f}"))
    if ride.temperature_c is not None:
        rows.append(("temperature", f"{ride.temperature_c:.0f} °C"))
    if review.part is not None and review.part.way == "planned":
        rows.append(("part", words.label("review.part.of", part=words.length(review.part.ridden_m),
                                         whole=words.length(review.part.planned_m))))  # fmt: skip
    return [(words.label(f"review.total.{key}"), value) for key, value in rows]


def _point(point: PointMet, beside: Beside, start: datetime) -> dict[str, object]:
    words = words_for(beside.rider)
    late = "" if point.late_s is None else words.number(point.late_s / 60.0, "+.0f")
    return {
        "label": point.label,
        "kind": point.action,
        "where": words.place(point.distance_m, 1),
        "what": _taken(point, beside, words),
        "planned": duration_text(point.planned_s),
        "ridden": clock_text(start, point.ridden_s)
        if point.ridden_s is not None
        else words.label("review.not_reached"),
        "late": "±0" if late in ("+0", "-0") else late,
        "was": point.was,
        "glycogen": "" if point.glycogen_g is None else _between(point.glycogen_low_g, point.glycogen_high_g),
    }


def _taken(point: PointMet, beside: Beside, words: Words) -> str:
    """Return what was to be taken, of a bite as much of it as the plan says."""
    name = words.called(point.item)
    if beside.planned is None or point.action != "eat":
        return name
    return f"{amount_text(point.portions, beside.planned.pantry.item(point.item).portions)} {name}".strip()


def _between(low: float | None, high: float | None) -> str:
    return "" if low is None or high is None else f"{round(low, -1):.0f}–{round(high, -1):.0f}"


def _climb(climb: ClimbMet, words: Words) -> dict[str, str]:
    return {
        "name": climb.name or words.label("review.climb.nameless"),
        "where": words.place(climb.start_m, 1),
        "gain": words.units.height_text(climb.gain_m),
        "planned": duration_text(climb.planned_s) if climb.planned_s is not None else "",
        "ridden": duration_text(climb.ridden_s)
        if climb.ridden_s is not None
        else words.label("review.not_reached"),
        "planned_w": f"{climb.planned_w:.0f}" if climb.planned_w is not None else "",
        "ridden_w": f"{climb.ridden_w:.0f}" if climb.ridden_w is not None else "",
        "heart": f"{climb.heart_bpm:.0f}" if climb.heart_bpm is not None else "",
    }


def _hour(hour: HourMet, words: Words) -> dict[str, str]:
    return {
        "number": words.label("review.hour", number=hour.number, minutes=hour.lasts_s / 60.0),
        "wanted": f"{hour.wanted_g:.0f}",
        "planned": f"{hour.planned_g:.0f}" if hour.planned_g is not None else "",
        "eaten": f"{hour.eaten_g:.0f}",
        "drunk": f"{round(hour.drunk_ml, -1):.0f}",
        "sweat": _between(hour.sweat_ml - hour.sweat_sd_ml, hour.sweat_ml + hour.sweat_sd_ml),
    }


def _items_left(beside: Beside) -> list[tuple[str, str, int]]:
    """Return key, name and number of bites carried of every item, in the order of the keys."""
    planned = beside.planned
    if planned is None:
        return []
    keys = numbered_keys(ITEM, [item.name for item in planned.pantry.items])
    return [(key, item, sum(planned.carried[item])) for item, key in keys.items() if item in planned.carried]


def _bottles_left(beside: Beside) -> list[tuple[str, str, float]]:
    """Return key, name and millilitres poured of every bottle, in the order of the keys."""
    planned = beside.planned
    if planned is None:
        return []
    keys = numbered_keys(BOTTLE, [each.name for each in planned.pantry.containers])
    poured: dict[str, float] = {}
    for each in planned.poured:
        poured[each.container] = poured.get(each.container, 0.0) + each.fluid_ml
    return [(key, name, poured[name]) for name, key in keys.items() if name in poured]


def _ticked(review: Review) -> set[int]:
    """Return the numbers of the bites that are asked for one by one."""
    return {int(point.label) for point in review.points if point.action == "eat"}


def _said(after: After | None) -> dict[str, str]:
    """Return what the form already holds, by key."""
    if after is None:
        return {}
    said = {key: f"{value:g}" for key, value in after.left.items()}
    numbers = {
        "C1": after.stomach,
        "C2": after.legs,
        "C3": after.thirst,
        "D1": after.before_kg,
        "D2": after.after_kg,
    }
    said |= {key: f"{value:g}" for key, value in numbers.items() if value is not None}
    said["D3"] = after.hard_at
    said |= {f"{LINE}{number}": line for number, line in enumerate(after.lines, 1)}
    return said
