"""Settings files to start from: every key with its default, what it means, its range and its source."""

from collections.abc import Iterator, Mapping

from terrain_fuel.inputs.settings_book import SETTINGS_TABLES, SINGLE_TABLES, Setting, settings_of, toml_text
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.rides.edits import DEFAULT_ENTRIES, entry_values
from terrain_fuel.rides.rule_settings import rule_settings

HEADS = {
    "rider": "Who rides, on what, and how. A key that is left out has the default that stands here.",
    "pantry": "What is in the kitchen and what it is carried in. Values are for one whole item.",
    "day": "The day: start, weather, what the ride is for, and places with water or food.",
    "pins": "What you want otherwise than the plan has it. Without a pin the plan chooses.",
}


def settings_text(file: str, language: str = "en") -> str:
    """Return the text of a settings file that says what is so without it, with every key explained.

    Parameters
    ----------
    file : "rider", "pantry", "day" or "pins"
    language : in which the foods, bottles and pockets of the usual kitchen are named: names are the rider's
        own words once they are written; all else is said in English, as the keys are
    """
    lines = [f"# {HEADS[file]}"]
    for table, owner in SETTINGS_TABLES[file].items():
        settings = settings_of(file, table, owner)
        lines.append("")
        if table in SINGLE_TABLES:
            lines += [f"[{table}]", *(line for each in settings for line in _explained(each))]
        else:
            lines += _list_lines(table, settings, LANGUAGES[language].kitchen)
    if file == "rider":
        lines += ["", *_rule_lines()]
    return "\n".join(lines) + "\n"


def _list_lines(table: str, settings: tuple[Setting, ...], names: Mapping[str, str]) -> Iterator[str]:
    yield f"# [[{table}]]: one for each; a key left out has the default named here."
    for setting in settings:
        default = "needed" if setting.required else f"default {setting.default_text}"
        yield f"#   {setting.key}: {setting.meaning}; {setting.range_text}; {default}; {setting.source}"
    for entry in DEFAULT_ENTRIES.get(table, ()):
        yield ""
        yield f"[[{table}]]"
        for key, value in entry_values(entry).items():
            said = names.get(value, value) if key in ("name", "short") else value
            yield f"{key} = {toml_text(said)}"


def _rule_lines() -> Iterator[str]:
    yield "[rules]"
    yield "# How much each soft rule weighs, 0 (off) to 5; left out it is what stands here."
    for setting in rule_settings():
        yield f"# {setting.key} = {setting.default_text}   ({setting.meaning}; {setting.source})"


def _explained(setting: Setting) -> Iterator[str]:
    yield f"# {setting.meaning}; {setting.range_text}; {setting.source}"
    if setting.default is None:
        yield f"# {setting.key} =   (left out)"
    else:
        yield f"{setting.key} = {setting.default_text}"
