"""The page's style sheets, scripts and template, as they ship with the package."""

from functools import cache
from importlib.resources import files


@cache
def page_text(name: str) -> str:
    """Return the text of one file of the page folder."""
    return files("terrain_fuel.outputs").joinpath("page", name).read_text(encoding="utf-8")
