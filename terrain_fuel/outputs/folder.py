"""All outputs of a plan into one folder, or none: written aside first, then moved into place together."""

from collections.abc import Callable, Mapping
from pathlib import Path

from terrain_fuel.outputs.data.geojson import write_geojson
from terrain_fuel.outputs.data.plan_json import write_plan_json
from terrain_fuel.outputs.data.waypoints import write_waypoints
from terrain_fuel.outputs.generation import generation_in
from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.outputs.print_choices import PrintChoices
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.printed.sticker import write_sticker
from terrain_fuel.outputs.whose_folder import refuse_other_ride, refuse_others_files
from terrain_fuel.plan import Plan

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
        **_asked_for(choices),
    }


def _asked_for(choices: PrintChoices) -> Mapping[str, Callable[[Plan, Path], None]]:
    if not choices.also:
        return {}
    from terrain_fuel.outputs.also import also_writers

    return also_writers(choices)


def _pictures(plan: Plan, choices: PrintChoices) -> Mapping[str, Callable[[Plan, Path], None]]:
    if not choices.picture:
        return {}
    from terrain_fuel.outputs.also import picture_writers

    return picture_writers(plan)


def write_folder(
    plan: Plan,
    folder: Path | str,
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
    replace : True where the plan of another ride in that folder may go, or files that no plan wrote

    Raises
    ------
    OutputError
        If the folder cannot be written to, or holds the plan of another ride or
        files of these names that no plan wrote; then nothing in it has changed.
    """
    folder = Path(folder)
    found = {**writers(choices), **_pictures(plan, choices)}
    if not replace:
        refuse_others_files(folder, tuple(found))
        refuse_other_ride(plan, folder)
    with generation_in(folder, tuple(found)) as aside:
        for name, write in found.items():
            on_file(name)
            write(plan, aside / name)
    return tuple(folder / name for name in found)
