"""The form "After the ride" as the page sends it, made into after.toml; comments and what it lacks stay."""

from collections.abc import Mapping
from typing import Any, get_args

import tomlkit
from tomlkit.exceptions import TOMLKitError

from terrain_fuel.errors import SettingsError
from terrain_fuel.review.after import Was
from terrain_fuel.text import plain_text

MOST_KEYS = 300
LONGEST_TEXT = 400
MOST_BITES = 1000


def form_text(before: str, asked: Mapping[str, Any]) -> str:
    """Return after.toml with the page's values in it; whether they can be is for its reader to say.

    Parameters
    ----------
    before : the file as it was
    asked : "values", by the keys of the form, None for one left empty; "bites", by number what became of each

    Raises
    ------
    SettingsError
        If that is no form.
    """
    try:
        document = tomlkit.parse(before)
    except TOMLKitError as fault:
        raise SettingsError(f"after.toml: is not valid TOML: {fault}; mend that line") from None
    if not isinstance(document.get("after"), dict):
        document["after"] = tomlkit.table()
    table: Any = document["after"]
    for key, value in _values(asked.get("values")).items():
        if value is None:
            table.pop(key, None)
        else:
            table[key] = value
    kept = [dict(each) for each in document.get("bite", []) if isinstance(each, dict)]
    bites = _bites(asked.get("bites"))
    entries = tomlkit.aot()
    for number, was in bites.items():
        entry = next((each for each in kept if each.get("number") == number and each.get("was") == was), {})
        made = tomlkit.table()
        made.update({"number": number, "was": was, **entry})
        entries.append(made)
    document.pop("bite", None)
    if bites:
        document.append("bite", entries)
    return tomlkit.dumps(document)


def _values(asked: Any) -> dict[str, Any]:
    if not isinstance(asked, dict) or len(asked) > MOST_KEYS:
        raise SettingsError("a form is its keys with what was filled in")
    return {plain_text(str(key)): _value(value) for key, value in asked.items()}


def _value(asked: Any) -> Any:
    if isinstance(asked, str) and len(asked) <= LONGEST_TEXT:
        return plain_text(asked)
    if asked is None or (isinstance(asked, (int, float)) and not isinstance(asked, bool)):
        return asked
    raise SettingsError(f"what is filled in is a number, or a text of at most {LONGEST_TEXT} letters")


def _bites(asked: Any) -> dict[int, str]:
    if not isinstance(asked, dict) or len(asked) > MOST_BITES:
        raise SettingsError("bites are told by their numbers")
    found = {}
    for number, was in asked.items():
        if not (str(number).isascii() and str(number).isdigit() and len(str(number)) < 6):
            raise SettingsError("bites are told by their numbers")
        if was not in get_args(Was):
            raise SettingsError(f"a bite was {', '.join(get_args(Was))}; choose one")
        found[int(number)] = str(was)
    return dict(sorted(found.items()))
