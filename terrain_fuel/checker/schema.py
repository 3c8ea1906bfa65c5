"""The keys that plan.json must have, and what stands behind each: a JSON Schema of the checker's own."""

import json
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError
from jsonschema.validators import extend

from terrain_fuel.checker.fault import Fault

SCHEMA_PATH = Path(__file__).with_name("plan_keys.schema.json")
SETTINGS_PATH = Path(__file__).with_name("settings_keys.schema.json")
"""The settings that a plan was made with, and what of each is allowed."""

LARGEST = 1e9
"""No figure of a ride is as large, in any of the units; sums of such figures stay finite."""

LONGEST_VALUE = 40
"""Letters of a wrong value that a message repeats."""

SAID = {
    "number": "a number", "integer": "a whole number", "string": "text", "boolean": "true or false",
    "array": "a list", "object": "an object", "null": "null",
}  # fmt: skip

MOST_POINTS = 10_000
"""A hundred hours with a bite or a sip every half minute; the hour from each is looked at."""


def check_schema(plan: Mapping[str, Any]) -> tuple[Fault, ...]:
    """Return every key that is missing or holds the wrong kind of value; later checks need them all."""
    points = plan.get("fuel_points")
    if isinstance(points, list) and len(points) > MOST_POINTS:
        many = f"plan: 'fuel_points' holds {len(points)} points; no ride has more than {MOST_POINTS}"
        return (Fault("schema", 0, 0.0, 0.0, 0.0, "", many),)
    errors = list(_validator().iter_errors(plan))
    # a plan of another kind or version is told as that, not by all that it lacks
    foreign = [error for error in errors if error.validator == "const"]
    said = dict.fromkeys(sentence for error in foreign or errors for sentence in _sentences(error))
    if not said:
        said = dict.fromkeys(_check_columns("timeline", plan["timeline"], timeline_columns()))
        if "line" in plan["route"]:
            line = plan["route"]["line"]
            said |= dict.fromkeys(_check_columns("route.line", line, ("distance_m", "lat", "lon")))
    return tuple(Fault("schema", 0, 0.0, 0.0, 0.0, "", sentence) for sentence in said)


@cache
def _schema() -> dict[str, Any]:
    schema: dict[str, Any] = json.loads(SCHEMA_PATH.read_text(encoding="utf-8"))
    schema["properties"] |= json.loads(SETTINGS_PATH.read_text(encoding="utf-8"))["properties"]
    return schema


def timeline_columns() -> tuple[str, ...]:
    """Return the names of the timeline's columns; others may stand beside them and are not read."""
    return tuple(_schema()["properties"]["timeline"]["required"])


@cache
def _validator() -> Any:
    """Return a validator for which neither infinity nor what is no longer a float is a number."""
    standard = Draft202012Validator.TYPE_CHECKER
    finite = standard.redefine_many(
        {
            kind: lambda _, value, kind=kind: standard.is_type(value, kind) and _is_finite(value)
            for kind in ("number", "integer")
        }
    )
    return extend(Draft202012Validator, type_checker=finite)(_schema())


def _sentences(error: ValidationError) -> Iterator[str]:
    path = list(error.absolute_path)
    if error.validator == "required":
        missing = [key for key in error.validator_value if key not in error.instance]
        yield from (f"{_place(path)}: has no {key!r}" for key in missing)
        return
    what = f"{path.pop()!r} is" if path and isinstance(path[-1], str) else "is"
    yield f"{_place(path)}: {what} {str(error.instance)[:LONGEST_VALUE]!r}; {_allowed(error)}"


def _allowed(error: ValidationError) -> str:
    match error.validator:
        case "type":
            kinds = (
                [error.validator_value] if isinstance(error.validator_value, str) else error.validator_value
            )
            return f"{' or '.join(SAID[kind] for kind in kinds)} is needed"
        case "enum":
            return f"allowed is {', '.join(error.validator_value)}"
        case "minimum":
            return f"allowed is {error.validator_value} or more"
        case "exclusiveMinimum":
            return f"allowed is more than {error.validator_value}"
        case "maximum":
            return f"allowed is {error.validator_value} or less"
        case _:
            return f"allowed is {error.validator_value!r}"


def _place(path: list[str | int]) -> str:
    """Return a place in the plan as `fuel_points[3]` or `rider.habits`; the whole is `plan`."""
    text = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path)
    return text.removeprefix(".") or "plan"


def _check_columns(where: str, table: Mapping[str, Any], names: Iterable[str]) -> Iterator[str]:
    """Return what is wrong with a table's columns: long, so looked through at one go."""
    columns = {key: table[key] for key in names}
    for key, column in columns.items():
        wrong = next((i for i, value in enumerate(column) if not _is_finite(value)), None)
        if wrong is not None:
            value = str(column[wrong])[:LONGEST_VALUE]
            yield f"{where}: {key!r} is {value!r} at [{wrong}]; a number is needed"
    lengths = {key: len(column) for key, column in columns.items()}
    if len(set(lengths.values())) > 1 or min(lengths.values()) < 2:
        yield f"{where}: columns hold {lengths}; all need the same length, 2 or more"


def _is_finite(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) <= LARGEST
