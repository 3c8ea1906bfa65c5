"""The outputs that are written only when asked for; nothing of them is loaded for a plan without."""

from collections.abc import Callable, Mapping
from pathlib import Path

from terrain_fuel.outputs.data.calendar import write_calendar
from terrain_fuel.outputs.data.course_fit import write_fit
from terrain_fuel.outputs.data.course_tcx import write_tcx
from terrain_fuel.outputs.data.table import write_table
from terrain_fuel.outputs.print_choices import ALSO, PrintChoices
from terrain_fuel.outputs.printed.phone import phone_pictures, write_picture
from terrain_fuel.outputs.printed.scroll import write_scroll
from terrain_fuel.plan import Plan


def also_writers(choices: PrintChoices) -> Mapping[str, Callable[[Plan, Path], None]]:
    """Return file name to writer of what is asked for, pictures aside."""
    known: Mapping[str, Callable[[Plan, Path], None]] = {
        "tcx": lambda plan, path: write_tcx(plan, path, sips=choices.sips, whole_line=choices.whole_line),
        "fit": lambda plan, path: write_fit(plan, path, sips=choices.sips, whole_line=choices.whole_line),
        "csv": write_table,
        "ics": write_calendar,
        "strip-map": lambda plan, path: write_scroll(plan, path, paper=choices.paper),
    }
    return {ALSO[name]: known[name] for name in ALSO if name in choices.also}


def picture_writers(plan: Plan) -> Mapping[str, Callable[[Plan, Path], None]]:
    """Return file name to writer of the pictures; how many there are, only the plan knows."""
    return {
        name: lambda _, path, picture=picture: write_picture(picture, path)  # type: ignore[misc]
        for name, picture in phone_pictures(plan).items()
    }
