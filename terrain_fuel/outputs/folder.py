"""All outputs of a plan into one folder, or none: written aside first, then moved into place together."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.data.calendar import write_calendar
from terrain_fuel.outputs.data.course_fit import refuse_without_fit_tool, write_fit
from terrain_fuel.outputs.data.course_tcx import write_tcx
from terrain_fuel.outputs.data.geojson import write_geojson
from terrain_fuel.outputs.data.plan_json import write_plan_json
from terrain_fuel.outputs.data.table import write_table
from terrain_fuel.outputs.data.waypoints import write_waypoints
from terrain_fuel.outputs.generation import generation_in
from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.outputs.printed.phone import phone_pictures, write_picture
from terrain_fuel.outputs.printed.scroll import write_scroll
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.printed.sticker import write_sticker
from terrain_fuel.outputs.printed.sticker_size import strip_size
from terrain_fuel.outputs.whose_folder import refuse_other_ride
from terrain_fuel.plan import Plan
from terrain_fuel.text import plain_text

ALSO = {
    "tcx": "course.tcx",
    "fit": "course.fit",
    "csv": "rows.csv",
    "ics": "ride.ics",
    "strip-map": "strip-map.pdf",
}
"""Outputs written when asked for, and the files they go to."""


@dataclass(frozen=True, slots=True)
class PrintChoices:
    """How the outputs are written; none of it changes the plan. What cannot be is said at once.

    ``also`` names further outputs, of `ALSO`. ``sips`` puts every sip among the waypoints and course points,
    ``whole_line`` every point of the route into the files that hold it. ``picture`` adds
    the strips and the strip map as pictures for a phone.
    """

    paper: str = "A4"
    sticker_size: str = "stem"
    sticker_upward: bool = True
    online_tiles: bool = False
    also: tuple[str, ...] = ()
    sips: bool = False
    whole_line: bool = False
    picture: bool = False

    def __post_init__(self) -> None:
        strip_size(self.sticker_size)
        for name in self.also:
            if name not in ALSO:
                raise OutputError(
                    f"also: {plain_text(name)!r} is no output; allowed are {', '.join(ALSO)}; correct it"
                )
        if "fit" in self.also:
            refuse_without_fit_tool()


AS_USUAL = PrintChoices()


def writers(choices: PrintChoices) -> Mapping[str, Callable[[Plan, Path], None]]:
    """Return file name to writer, in the order they are written."""
    return {
        "plan.json": write_plan_json,
        "map.html": lambda plan, path: write_map(plan, path, online_tiles=choices.online_tiles),
        "sticker.pdf": lambda plan, path: write_sticker(
            plan, path, size=choices.sticker_size, paper=choices.paper, upward=choices.sticker_upward
        ),
        "sheet.pdf": lambda plan, path: write_sheet(
            plan, path, paper=choices.paper, sticker_upward=choices.sticker_upward
        ),
        "fuel-points.gpx": lambda plan, path: write_waypoints(
            plan, path, sips=choices.sips, whole_line=choices.whole_line
        ),
        "plan.geojson": lambda plan, path: write_geojson(plan, path, whole_line=choices.whole_line),
        **_further(choices),
    }


def _further(choices: PrintChoices) -> Mapping[str, Callable[[Plan, Path], None]]:
    """Return the outputs that are written only when they are asked for."""
    known: Mapping[str, Callable[[Plan, Path], None]] = {
        "tcx": lambda plan, path: write_tcx(plan, path, sips=choices.sips, whole_line=choices.whole_line),
        "fit": lambda plan, path: write_fit(plan, path, sips=choices.sips, whole_line=choices.whole_line),
        "csv": write_table,
        "ics": write_calendar,
        "strip-map": lambda plan, path: write_scroll(plan, path, paper=choices.paper),
    }
    return {ALSO[name]: known[name] for name in ALSO if name in choices.also}


def _picture_writers(plan: Plan) -> dict[str, Callable[[Plan, Path], None]]:
    """Return file name to writer of the pictures; how many there are, only the plan knows."""
    return {
        name: lambda _, path, picture=picture: write_picture(picture, path)  # type: ignore[misc]
        for name, picture in phone_pictures(plan).items()
    }


def write_folder(
    plan: Plan,
    folder: Path,
    choices: PrintChoices = AS_USUAL,
    on_file: Callable[[str], None] = lambda name: None,
    replace: bool = False,
) -> tuple[Path, ...]:
    """Write every output of a plan and return the paths written.

    Parameters
    ----------
    plan : the finished plan
    folder : made when it is not there; files of other names in it are left alone
    choices : paper, sticker and tiles
    on_file : called with each file's name before it is drawn, for progress
    replace : True where the plan of another ride in that folder may go

    Raises
    ------
    OutputError
        If the folder cannot be written to, or holds the plan of another ride; then nothing in it has changed.
    """
    found = {**writers(choices), **(_picture_writers(plan) if choices.picture else {})}
    if not replace:
        refuse_other_ride(plan, folder)
    with generation_in(folder, tuple(found)) as aside:
        for name, write in found.items():
            on_file(name)
            write(plan, aside / name)
    return tuple(folder / name for name in found)
