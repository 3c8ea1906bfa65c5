"""Style sheets, scripts and templates as they ship with the package."""

from functools import cache
from importlib.resources import files


@cache
def shipped_text(room: str, name: str) -> str:
    """Return the text of a file that ships in one of the rooms beside this file, such as "map/page"."""
    return files("terrain_fuel.outputs").joinpath(*room.split("/"), name).read_text(encoding="utf-8")
