"""The map page: one file that needs no network, with the road, the strip by hour and the profile."""

import base64
import hashlib
from html import escape
from pathlib import Path

from terrain_fuel.kept_bytes import kept_bytes
from terrain_fuel.outputs.map.page_data import embedded_json, page_data
from terrain_fuel.outputs.map.page_parts import fill_template, page_script, page_style, page_text
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.outputs.writing import write_text
from terrain_fuel.plan import Plan

NAME, DATA = "\ue000name\ue000", "\ue000data\ue000"
"""Where a ride's own go into the page; no text of the page holds such letters."""

TILE_HOST = "https://tile.openstreetmap.org"


def write_map(plan: Plan, path: Path, *, online_tiles: bool = False) -> None:
    """Write a plan as one web page that works without a network.

    Parameters
    ----------
    plan : the finished plan
    path : file to write; equal plans give equal bytes
    online_tiles : lay street map tiles under the road, fetched when the page is opened, with their credit

    Raises
    ------
    OutputError
        If the file cannot be written.
    """
    write_text(path, map_page(plan, online_tiles=online_tiles))


def map_page(plan: Plan, *, online_tiles: bool = False) -> str:
    """Return the page that `write_map` writes."""
    before, rest = _frame(words_for(plan.rider), online_tiles).split(NAME)
    between, after = rest.split(DATA)
    return "".join((before, escape(plan.title), between, embedded_json(page_data(plan)), after))


def _frame(words: Words, online_tiles: bool) -> str:
    """Return the page but for the ride's name and data: one for all rides in one language, so it is kept."""
    script = page_script(words.label("page.credit") if online_tiles else "")
    style = page_style()
    said = (style, script, *map(page_text, ("map.html.j2", "rooms.html.j2")), words.language.labels)
    name = f"page-{words.language.code}-{hashlib.sha256(repr(said).encode()).hexdigest()[:8]}"

    def filled() -> bytes:
        policy = _policy(style, script, online_tiles)
        values = {"name": NAME, "data": DATA, "policy": policy, "style": style, "script": script}
        return fill_template("map.html.j2", words, **values).encode()

    return kept_bytes("map", name, ("jinja2",), Path(__file__), filled).decode()


def _policy(style: str, script: str, online_tiles: bool) -> str:
    """Return the content-security policy: the page's own style and script, pictures inside it, no more."""
    pictures = f"data: {TILE_HOST}" if online_tiles else "data:"
    return (
        f"default-src 'none'; img-src {pictures}; style-src '{_digest(style)}';"
        f" script-src '{_digest(script)}'; base-uri 'none'; form-action 'none'"
    )


def _digest(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")
