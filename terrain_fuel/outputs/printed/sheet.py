"""The sheets: evening, morning, ride and its back, after; a side of paper each, more on a very long day."""

from collections.abc import Callable
from pathlib import Path

from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.handovers import handovers
from terrain_fuel.outputs.printed.paper import Page
from terrain_fuel.outputs.printed.sheet_after import draw_after
from terrain_fuel.outputs.printed.sheet_evening import draw_evening
from terrain_fuel.outputs.printed.sheet_helper import draw_helper
from terrain_fuel.outputs.printed.sheet_morning import draw_morning
from terrain_fuel.outputs.printed.sheet_otherwise import draw_otherwise, has_laps
from terrain_fuel.outputs.printed.sheet_ride import draw_ride
from terrain_fuel.outputs.words import words_for
from terrain_fuel.plan import Plan

SCALES = (1.3, 1.2, 1.1, 1.0, 0.9)
"""What is read while packing is as large as one side of paper allows; small only where that spares a side."""


def write_sheet(plan: Plan, path: Path, *, paper: str = "A4", sticker_upward: bool = True) -> None:
    """Write the sheets as one PDF.

    Of a ride that needs nothing only the morning is printed, without empty sheets. What to do when
    something goes wrong stands behind the ride, on its back if both sides are printed;
    a sheet for helpers comes last where the day file names feeds that they hand up.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``sheet.pdf``
    paper : "A4" or "Letter"
    sticker_upward : whether the sticker beside it runs up, which the cue sheet then says

    Raises
    ------
    SettingsError
        If the paper is not allowed.
    OutputError
        If the file cannot be written.
    """
    words = words_for(plan.rider)
    page = Page(words.label("sheet.title", name=plan.title), paper, words, attribution(plan))
    if not plan.fuel_points:
        draw_morning(page, plan, _largest_scale(draw_morning, plan, paper))
        page.write(Path(path))
        return
    for draw in (draw_evening, draw_morning):
        draw(page, plan, _largest_scale(draw, plan, paper))
    draw_ride(page, plan, sticker_upward=sticker_upward)
    if plan.mishaps or has_laps(plan):
        draw_otherwise(page, plan, _largest_scale(draw_otherwise, plan, paper))
    draw_after(page, plan)
    if handovers(plan):
        draw_helper(page, plan, _largest_scale(draw_helper, plan, paper))
    page.write(Path(path))


def _largest_scale(draw: Callable[[Page, Plan, float], int], plan: Plan, paper: str) -> float:
    """Return how large a sheet's type may be on one side; as usual where it needs a second anyway."""
    scales = (scale for scale in SCALES if draw(Page("", paper, words_for(plan.rider)), plan, scale) == 1)
    return next(scales, 1.0)
