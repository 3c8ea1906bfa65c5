"""The season as one page: four pictures and a table of foods, readable in print and by screen readers."""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

import numpy as np

from terrain_fuel.frozen import FloatArray
from terrain_fuel.learn.readiness import Readiness
from terrain_fuel.learn.season import Season, predicted_share
from terrain_fuel.outputs.after.page_frame import at_both_widths, render_page
from terrain_fuel.outputs.drawing.chart import Chart, most_marks, steps_between
from terrain_fuel.outputs.drawing.shapes import Drawing, Shape, Strokes
from terrain_fuel.outputs.drawing.svg import svg_text
from terrain_fuel.outputs.words import Words
from terrain_fuel.outputs.writing import write_text

HEIGHT, TEXT = 220.0, 13.0
RADIUS = 4.5
DAY_S = 86_400.0


def write_season_page(season: Season, words: Words, path: Path) -> None:
    """Write the page.

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_text(path, season_page(season, words))


def season_page(season: Season, words: Words) -> str:
    """Return the page of a season."""
    draw: dict[str, Callable[[float], str]] = {
        "intake": lambda width: _intake(season, words, width),
        "sweat": lambda width: _sweat(season, words, width),
        "time": lambda width: _times(season, words, width),
    }
    drawn = {key: at_both_widths(each) for key, each in draw.items()}
    pictures = [(key, picture) for key, picture in drawn.items() if picture]
    values = {
        "season": season,
        "days": _days(season),
        "pictures": pictures,
        "with_note": ("intake", "sweat"),
        "products": [_product(each, words) for each in season.products],
    }
    return render_page("season.html.j2", words, "", values)


def _days(season: Season) -> str:
    if season.first is None or season.last is None:
        return ""
    return f"{season.first:%Y-%m-%d} – {season.last:%Y-%m-%d}"


def _dated(moments: Sequence[datetime], most: int) -> tuple[FloatArray, list[tuple[float, str]]]:
    """Return the days since the first, and the marks of the axis: a date every so often."""
    days = np.array([(each - moments[0]).total_seconds() / DAY_S for each in moments])
    whole = np.unique(np.linspace(0, len(moments) - 1, min(len(moments), most)).round().astype(int))
    return days, [(float(days[i]), f"{moments[i]:%m-%d}") for i in whole.tolist()]


def _over_time(
    moments: Sequence[datetime], low: float, high: float, width: float
) -> tuple[Chart, FloatArray, list[tuple[float, str]]]:
    days, marks = _dated(moments, most_marks(width))
    last = max(float(days[-1]), 1.0)
    return Chart(width, HEIGHT, TEXT, -0.03 * last, 1.03 * last, low, high), days, marks


def _intake(season: Season, words: Words, width: float) -> str:
    if not season.intake:
        return ""
    eaten = np.array([each.eaten_g_per_h for each in season.intake])
    wanted = np.array([each.wanted_g_per_h for each in season.intake])
    top = 1.15 * float(max(eaten.max(), wanted.max(), 1.0))
    chart, days, marks = _over_time([each.start for each in season.intake], 0.0, top, width)
    gaps = tuple(
        line
        for day, one, other in zip(days, eaten, wanted, strict=True)
        for line in (chart.line(np.array([day, day]), np.array([one, other])),)
    )
    shapes: list[Shape] = [
        *chart.axes(words.label("season.intake.upward"), marks),
        Strokes("leader", gaps),
        *chart.dots("planned", days, wanted, RADIUS),
        *chart.dots("ride", days, eaten, RADIUS),
    ]
    spoken = words.label(
        "season.intake.spoken",
        rides=len(season.intake),
        eaten=float(eaten.mean()),
        wanted=float(wanted.mean()),
    )
    return _svg(shapes, width, spoken)


def _sweat(season: Season, words: Words, width: float) -> str:
    if not season.weighed:
        return ""
    warmth, rate = (np.array(column, dtype=np.float64) for column in zip(*season.weighed, strict=True))
    low, high = float(warmth.min()) - 2.0, float(warmth.max()) + 2.0
    band = season.sweat
    top = 1.15 * max(float(rate.max()), float(band.high_ml_per_h.max()) if band is not None else 0.0)
    chart = Chart(width, HEIGHT, TEXT, low, high, 0.0, top)
    shapes: list[Shape] = []
    if band is not None:
        shapes.append(chart.band("band", band.temperature_c, band.low_ml_per_h, band.high_ml_per_h))
    marks = [(at, words.number(at, "g")) for at in steps_between(low, high, most_marks(width))]
    shapes += chart.axes(words.label("season.sweat.upward"), marks)
    if band is not None:
        shapes.append(Strokes("curve", (chart.line(band.temperature_c, band.rate_ml_per_h),)))
    shapes += chart.dots("ride", warmth, rate, RADIUS)
    spoken = words.label(
        "season.sweat.spoken", rides=len(season.weighed), least=float(rate.min()), most=float(rate.max()),
        low_c=float(warmth.min()), high_c=float(warmth.max()),
    )  # fmt: skip
    return _svg(shapes, width, spoken)


def _times(season: Season, words: Words, width: float) -> str:
    share = predicted_share(season.times)
    if share is None:
        return ""
    off = np.array([100.0 * (each.ratio - 1.0) for each in season.times])
    reach = 1.2 * max(float(np.abs(off).max()), 2.0)
    chart, days, marks = _over_time([each.start for each in season.times], -reach, reach, width)
    ends = np.array([chart.from_x, chart.to_x])
    shapes: list[Shape] = [
        *chart.axes(words.label("season.time.upward"), marks),
        Strokes("wanted", (chart.line(ends, np.zeros(2)),)),
        *chart.dots("ride", days, off, RADIUS),
    ]
    return _svg(shapes, width, words.label("season.time.spoken", rides=len(season.times), share=share))


def _svg(shapes: list[Shape], width: float, spoken: str) -> str:
    return svg_text(Drawing(width, HEIGHT, tuple(shapes)), spoken)


def _product(each: Readiness, words: Words) -> dict[str, str]:
    return {
        "item": each.item,
        "rides": str(each.rides),
        "worked": str(each.worked),
        "kinds": str(each.kinds),
        "race": str(each.at_race_effort),
        "heat": str(each.in_heat),
        "rate": f"{each.grams_per_h:.0f}",
        "stomach": "" if each.worst_stomach is None else f"{each.worst_stomach:.0f}",
        "missing": words.label("season.products.ready") if each.is_ready else words.say(each.missing),
    }
