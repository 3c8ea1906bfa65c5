"""Pages of the documentation that are made from the code: settings, models, sources, pictures."""

import inspect
import re
import sys
from collections.abc import Iterator
from dataclasses import MISSING, Field, fields
from importlib import import_module
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from terrain_fuel.ranges import allowed_text  # noqa: E402

MODELS = ("equations", "demand", "pace", "terrain")


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the made pages and the pictures."""
    made = {
        "settings.md": settings_page(),
        "event-settings.md": event_settings_page(),
        "models.md": models_page(),
        "sources.md": sources_page(),
    }
    for name, text in made.items():
        files.append(File.generated(config, name, content=text))
    for picture in sorted((ROOT / "docs" / "pictures").glob("*.png")):
        files.append(File.generated(config, f"pictures/{picture.name}", abs_src_path=str(picture)))
    return files


def on_page_markdown(markdown: str, **_: Any) -> str:
    """Put a table of a class's fields where a page asks for one: `[fields of MODULE.CLASS]`."""
    return re.sub(r"^\[fields of ([\w.]+)\.(\w+)\]$", _fields_table, markdown, flags=re.MULTILINE)


def _fields_table(asked: "re.Match[str]") -> str:
    owner = getattr(import_module(asked[1]), asked[2])
    lines = ["| field | type |", "| --- | --- |"]
    for each in fields(owner):
        told = re.sub(r"[\w.]+\.(?=\w)", "", inspect.formatannotation(each.type)).replace(" | ", " or ")
        lines.append(f"| `{each.name}` | `{told}` |")
    return "\n".join(lines)


def settings_page() -> str:
    """Return every key of every settings file with default, range, meaning and source."""
    from terrain_fuel.rides.rule_settings import listed_settings

    lines = [
        "# Every setting",
        "",
        "Made from the code. `terrain-fuel settings WORD` prints the same, `terrain-fuel init FOLDER` writes"
        " files with every key explained. `extend = true` as the first line of a pantry file keeps the usual"
        ' foods, bottles and pockets beside one\'s own (`extend = "item"`: the foods only).',
    ]
    table = ""
    for each in listed_settings():
        here = f"{each.file}.toml, {each.head}"
        if here != table:
            table = here
            lines += [
                "",
                f"## {here}",
                "",
                "| key | default | allowed | meaning | source |",
                "| --- | --- | --- | --- | --- |",
            ]
        default = each.default_text if each.default is None else f"`{each.default_text}`"
        cells = (f"`{each.key}`", default, each.range_text, each.meaning, each.source)
        lines.append("| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in cells) + " |")
    return "\n".join(lines) + "\n"


def event_settings_page() -> str:
    """Return every key of an event's file with default, range, meaning and source."""
    from terrain_fuel.event import settings, spreads
    from terrain_fuel.inputs.settings_book import settings_of

    tables = {
        "[event]": settings.EventDay, "[field]": spreads.Field, "[[correlation]]": spreads.Correlation,
        "[[scenario]]": settings.Scenario, "[[wave]]": settings.Wave, "[[piece]]": settings.Piece,
        "[[feed]]": settings.FeedZone, "[[variant]]": settings.Variant,
    }  # fmt: skip
    lines = ["# Every setting of an event", "", "Made from the code. A quantity of [field] is a mean and a"
             " standard deviation, `{ mean = 76, sd = 12 }`, or the mean alone."]  # fmt: skip
    for table, owner in tables.items():
        lines += ["", f"## {table}", "", "| key | default | allowed | meaning | source |"]
        lines.append("| --- | --- | --- | --- | --- |")
        plain = () if owner is spreads.Field else settings_of("event", table, owner)
        allowed = {each.key: each.range_text for each in plain}
        for each in fields(owner):
            meta = each.metadata
            cells = (
                f"`{each.name}`",
                _default_text(each),
                allowed.get(each.name) or allowed_text(each),
                meta["meaning"],
                meta["source"],
            )
            lines.append("| " + " | ".join(cells) + " |")
    usual = (f"`{each.first}` with `{each.second}` {each.value:g}" for each in spreads.USUAL_CORRELATIONS)
    lines += ["", f"Usual correlations, common practice (no source): {', '.join(usual)}."]
    return "\n".join(lines) + "\n"


def _default_text(setting: "Field[Any]") -> str:
    from terrain_fuel.event.spreads import Spread
    from terrain_fuel.inputs.settings_book import toml_text

    default = setting.default
    if default is MISSING:
        return "needed"
    if isinstance(default, Spread):
        return f"{default.mean:g} ± {default.sd:g}"
    return "left out" if default in (None, "", ()) else f"`{toml_text(default)}`"


def models_page() -> str:
    """Return every room that holds published models, as its docstrings tell them."""
    lines = [
        "# Every model",
        "",
        "With its equation, its source's key (see [the sources](sources.md)) and where it stops being true,"
        " from the docstrings of the code.",
    ]
    for room in MODELS:
        lines += ["", f"## {room}"]
        lines += [f"\n::: terrain_fuel.{room}.{name}" for name in _modules(room)]
    return "\n".join(lines) + "\n"


def _modules(room: str) -> Iterator[str]:
    for path in sorted((ROOT / "terrain_fuel" / room).glob("*.py")):
        if path.stem != "__init__":
            yield path.stem


def sources_page() -> str:
    """Return REFERENCES.md, each source with its key as an anchor."""
    text = (ROOT / "REFERENCES.md").read_text(encoding="utf-8")
    return re.sub(r"^- \*\*\[(\w+)\]\*\*", r'- <a id="\1"></a>**[\1]**', text, flags=re.MULTILINE)
