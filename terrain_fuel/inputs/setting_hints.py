"""What a rider probably meant: the hint at the end of a message about a settings file."""

import difflib
import re
from collections.abc import Iterable, Mapping

from terrain_fuel.inputs.start_time import two_digit_hour

MEANT: Mapping[str, str] = {
    "age": "age_y", "bicycle_mass": "bike_mass_kg", "bike_weight": "bike_mass_kg", "caffeine": "caffeine_mg",
    "carb": "carbohydrate_g", "carbs": "carbohydrate_g", "carbohydrates": "carbohydrate_g", "cda": "cda_m2",
    "date": "start", "ftp": "ftp_w", "gap": "longest_gap_min", "gut": "carbohydrate_limit_g_per_h",
    "gusts": "gusts_m_s", "height": "height_m", "humidity": "humidity_pct", "kilometre": "at_km",
    "km": "at_km", "mass": "body_mass_kg", "number": "count", "pieces": "portions", "power": "ftp_w",
    "salt": "sodium_mg", "size": "holds_ml", "sodium": "sodium_mg", "start_time": "start", "stock": "count",
    "sweat": "sweat_rate_ml_per_h", "sweat_rate": "sweat_rate_ml_per_h", "temperature": "temperature_c",
    "temp": "temperature_c", "threshold": "ftp_w", "time": "start", "volume": "holds_ml",
    "weight": "body_mass_kg", "weight_kg": "body_mass_kg", "where": "at_km", "wind": "wind_m_s",
    "wind_direction": "wind_from_deg", "wind_speed": "wind_m_s",
}  # fmt: skip
"""Words that riders use for settings: common practice (no source)."""

COMPASS: Mapping[str, int] = {
    "n": 0, "north": 0, "ne": 45, "north-east": 45, "northeast": 45, "e": 90, "east": 90, "se": 135,
    "south-east": 135, "southeast": 135, "s": 180, "south": 180, "sw": 225, "south-west": 225,
    "southwest": 225, "w": 270, "west": 270, "nw": 315, "north-west": 315, "northwest": 315,
}  # fmt: skip

_COMMA = re.compile(r"^\s*([\w-]+)\s*=\s*(-?\d+),(\d+)\s*(#.*)?$")
_COLON = re.compile(r"^\s*([\w-]+)\s*:\s*([^#]+?)\s*(#.*)?$")
_WITH_UNIT = re.compile(r"^\s*([\w-]+)\s*=\s*(-?\d+(?:\.\d+)?)\s*(?:[^\W\d_]|[%\u00b0])[^\d#]*(#.*)?$")
_BARE = re.compile(r"^\s*([\w-]+)\s*=\s*((?:[^\W\d]|\d+ ?[-:./])[^\"'\[\]{}#=]*?)\s*(#.*)?$")
_CURLY = re.compile("[\u201c\u201d\u201e\u2018\u2019]")
_NUMBER = re.compile(r"(-?[0-9]+(?:[.,][0-9]+)?)(\s*(?:[^\W\d_]|[%\u00b0])[^\d]{0,20})?")
_LINE = re.compile(r"line (\d+)")


def probably_meant(name: str, allowed: Iterable[str], elsewhere: Mapping[str, str]) -> str:
    """Return the advice about a name that is no setting here.

    Parameters
    ----------
    name : as it was written
    allowed : what may stand here
    elsewhere : names that may stand in another place, and which
    """
    allowed = tuple(allowed)
    plain = name.casefold().replace("-", "_")
    close = [MEANT[plain]] if MEANT.get(plain) in allowed else []
    close += [key for key in allowed if key.startswith(f"{plain}_")]
    there = plain if plain in elsewhere else MEANT.get(plain, "")
    if not close and there in elsewhere:
        return f"{there} belongs into {elsewhere[there]}"
    close += difflib.get_close_matches(plain, allowed, n=1)
    return f"did you mean {close[0]}?" if close else "remove it"


def toml_hint(fault: str, text: str) -> str:
    """Return what to do about a line that is no TOML.

    Parameters
    ----------
    fault : what the reader says, with the line's number
    text : the whole file
    """
    found = _LINE.search(fault)
    lines = text.splitlines()
    line = lines[int(found[1]) - 1] if found and 0 < int(found[1]) <= len(lines) else ""
    if comma := _COMMA.match(line):
        key, whole, part = comma[1], comma[2], comma[3]
        return f"numbers have a decimal point: {key} = {whole}.{part}"
    if _CURLY.search(line):
        return 'texts stand in plain quotes: "like this"'
    if colon := _COLON.match(line):
        return f"an equals sign joins a key and its value: {colon[1]} = {colon[2]}"
    if numbered := _WITH_UNIT.match(line):
        return f"numbers stand without a unit: {numbered[1]} = {numbered[2]}"
    if bare := _BARE.match(line):
        return f'texts stand in quotes: {bare[1]} = "{two_digit_hour(bare[2])}"'
    return "mend that line"


def number_hint(value: object, unit: str = "") -> str:
    """Return what to do about a text where a number of some unit is wanted."""
    if unit == "degrees" and isinstance(value, str) and (place := value.strip().casefold()) in COMPASS:
        return f"write {COMPASS[place]} for {place}"
    if isinstance(value, str) and (number := _NUMBER.fullmatch(value.strip())):
        without = "quotes and unit" if number[2] else "quotes"
        return f"write {number[1].replace(',', '.')} without {without}"
    return "correct it"
