"""The page as it is first sent: its rooms and panels empty, its files, and what it starts from."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined

from terrain_fuel.food_table import FOOD_TABLE
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.map.page_parts import page_script, page_style, page_text
from terrain_fuel.outputs.words import Words
from terrain_fuel.page.ride import Ride
from terrain_fuel.page.shown import fields_data, start_day
from terrain_fuel.page.steps_told import step_told
from terrain_fuel.page.table import Table
from terrain_fuel.page.told import words_of
from terrain_fuel.rides.ride_folder import ride_name
from terrain_fuel.text import plain_text

FOLDER = Path(__file__).parent / "files"
SCRIPT, STYLE = "text/javascript; charset=utf-8", "text/css; charset=utf-8"


@dataclass(frozen=True, slots=True)
class PageFile:
    """One file of the page and its kind."""

    kind: str
    content: bytes


def page_files() -> Mapping[str, PageFile]:
    """Return the page's style sheets and scripts by name: those that there are, and no others."""
    files = {
        path.name: PageFile(SCRIPT if path.suffix == ".js" else STYLE, path.read_bytes())
        for path in FOLDER.iterdir()
        if path.suffix in (".js", ".css")
    }
    files["look.css"] = PageFile(STYLE, page_style().encode("utf-8"))
    files["road.js"] = PageFile(SCRIPT, page_script().encode("utf-8"))
    return files


def first_page(table: Table, accepted: str) -> str:
    """Return the page without any ride in it; ``accepted`` as in `words_at`."""
    words = words_at(table, accepted)
    engine = Environment(autoescape=True, undefined=StrictUndefined, loader=FunctionLoader(_template_text))
    return engine.get_template("table.html.j2").render(language=words.language.code, label=words.label)


def start_data(table: Table, accepted: str) -> dict[str, Any]:
    """Return what the page starts from: the rides, the routes offered, every setting, every text.

    ``accepted`` as in `words_at`; the languages are for a table without rides, whose rider sets it else.
    """
    words = words_at(table, accepted)
    return {
        "languages": [] if table.rides() else list(LANGUAGES),
        "rides": [_ride_line(ride, words) for ride in table.rides()],
        "gone": [{"number": number, "name": name} for number, name in table.gone()],
        "offered": [plain_text(path.stem.replace("-", " ")) for path in table.starting.routes],
        "fields": fields_data(words),
        "foods": [{**asdict(food), "said": words.label(f"food.{food.name}")} for food in FOOD_TABLE],
        "words": table_words(words),
    }


def table_words(words: Words) -> dict[str, str]:
    """Return every text of the page that its scripts say, by the last part of its key."""
    keys = [key for key in words.language.labels if key.startswith("table.script.")]
    texts = {key.removeprefix("table.script."): words.language.labels[key] for key in keys}
    return {**texts, "mark": words.language.decimal_mark}


def words_at(table: Table, accepted: str) -> Words:
    """Return the words of the rider whose ride was looked at last, else of the newest, else of a new one.

    ``accepted`` is what the browser asks for, as ``Accept-Language`` has it.
    """
    ride = table.looked_at or next(iter(table.rides()), None)
    if ride is not None:
        return ride.words
    words = words_of(table.starting.settings.get("rider"))
    return replace(words, language=LANGUAGES[table.language(accepted)])


def _ride_line(ride: Ride, words: Words) -> dict[str, str]:
    return {
        "ride": ride.key,
        "name": ride_name(ride.folder),
        "folder": ride.folder.name,
        "day": start_day(ride.folder),
        "undo": step_told(ride.head.undoes, words) or "",
    }


def _template_text(name: str) -> str:
    return page_text(name) if name == "rooms.html.j2" else (FOLDER / name).read_text(encoding="utf-8")
