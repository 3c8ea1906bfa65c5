"""All outputs of a plan into one folder, or none: written aside first, then moved into place together."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from terrain_fuel.errors import OutputError
from terrain_fuel.outputs.data.geojson import write_geojson
from terrain_fuel.outputs.data.plan_json import write_plan_json
from terrain_fuel.outputs.data.waypoints import write_waypoints
from terrain_fuel.outputs.generation import aside_in, put_in_place
from terrain_fuel.outputs.map.map_page import write_map
from terrain_fuel.outputs.printed.sheet import write_sheet
from terrain_fuel.outputs.printed.sticker import write_sticker
from terrain_fuel.outputs.printed.sticker_size import strip_size
from terrain_fuel.plan import Plan
from terrain_fuel.text import PATH_LETTERS, plain_text


@dataclass(frozen=True, slots=True)
class PrintChoices:
    """How the outputs are drawn; none of it changes the plan. A size that cannot be is said at once."""

    paper: str = "A4"
    sticker_size: str = "stem"
    sticker_upward: bool = True
    online_tiles: bool = False

    def __post_init__(self) -> None:
        strip_size(self.sticker_size)


AS_USUAL = PrintChoices()


def writers(choices: PrintChoices) -> Mapping[str, Callable[[Plan, Path], None]]:
    """Return file name to writer, in the order they are written."""
    return {
        "plan.json": write_plan_json,
        "map.html": lambda plan, path: write_map(plan, path, online_tiles=choices.online_tiles),
        "sticker.pdf": lambda plan, path: write_sticker(
            plan, path, size=choices.sticker_size, paper=choices.paper, upward=choices.sticker_upward
        ),
        "sheet.pdf": lambda plan, path: write_sheet(plan, path, paper=choices.paper),
        "fuel-points.gpx": write_waypoints,
        "plan.geojson": write_geojson,
    }


def write_folder(
    plan: Plan,
    folder: Path,
    choices: PrintChoices = AS_USUAL,
    on_file: Callable[[str], None] = lambda name: None,
) -> tuple[Path, ...]:
    """Write every output of a plan and return the paths written.

    Parameters
    ----------
    plan : the finished plan
    folder : made when it is not there; files of other names in it are left alone
    choices : paper, sticker and tiles
    on_file : called with each file's name before it is drawn, for progress

    Raises
    ------
    OutputError
        If the folder cannot be written to; then nothing in it has changed.
    """
    names = tuple(writers(choices))
    where = plain_text(str(folder), PATH_LETTERS)
    if "\0" in str(folder):
        raise OutputError(f"{where}: is no name that a folder can have; choose another")
    try:
        with aside_in(folder) as aside:
            for name, write in writers(choices).items():
                on_file(name)
                write(plan, aside / name)
            put_in_place(aside, names, folder)
    except OSError as fault:
        raise OutputError(
            f"{where}: cannot be written ({fault.strerror}); choose a folder with room that you may write to;"
            " nothing in it has changed"
        ) from None
    return tuple(folder / name for name in names)
