"""Value objects as plain JSON data, and the JSON Schema of the same fields: one walk over one annotation."""

import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import datetime
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import numpy as np

from terrain_fuel.facts import Fact
from terrain_fuel.outputs.data.rounding import rounded
from terrain_fuel.outputs.words import Words

DECIMALS = {"lat_deg": 7, "lon_deg": 7, "lat": 7, "lon": 7, "grade": 5, "mean_grade": 5, "steepest_grade": 5}
"""Digits kept behind the point, by field; all others keep three."""

Schema = dict[str, Any]


def to_plain(
    value: Any, name: str = "", renames: Mapping[str, str] | None = None, words: Words | None = None
) -> Any:
    """Return a value object as dicts, lists, numbers, text and None.

    Parameters
    ----------
    value : dataclass, fact, tuple, array, number, text, datetime or None
    name : field the value stands in; decides how many digits are kept
    renames : field name to key, applied at every level
    words : how facts are said; without, there must be none

    Returns
    -------
    Only types that JSON has; floats rounded.
    """
    if value is None or isinstance(value, (str, int)):
        return value
    if type(value) is float:
        return round(value, DECIMALS.get(name, 3)) or 0.0
    if isinstance(value, Fact) and words is not None:
        return words.say(value)
    if is_dataclass(value) and not isinstance(value, type):
        names = renames or {}
        return {
            names.get(each, each): to_plain(getattr(value, each), each, names, words)
            for each in _field_names(type(value))
        }
    if isinstance(value, np.generic):
        return to_plain(value.item(), name)
    if isinstance(value, np.ndarray) and value.dtype == np.float64 and value.ndim == 1:
        return rounded(value, DECIMALS.get(name, 3))
    if isinstance(value, np.ndarray):
        return _numbers(value, DECIMALS.get(name, 3))
    if isinstance(value, (tuple, list)):
        return [to_plain(entry, name, renames, words) for entry in value]
    if isinstance(value, datetime):
        return value.isoformat()
    return value


def _numbers(values: np.ndarray[Any, Any], digits: int) -> list[Any]:
    """Return the entries of an array as `to_plain` returns each."""
    if values.dtype.kind != "f":
        return list(values.tolist())
    return [round(number, digits) or 0.0 for number in values.tolist()]


@cache
def _field_names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def schema_of(annotation: Any, renames: Mapping[str, str] | None = None) -> Schema:
    """Return the JSON Schema of what `to_plain` makes of a type.

    Parameters
    ----------
    annotation : a dataclass, or a type a dataclass field is annotated with
    renames : as for `to_plain`

    Raises
    ------
    TypeError
        For an annotation that has no JSON form: a fault of the program.
    """
    names = renames or {}
    annotation = _named(annotation)
    if annotation is Fact:
        return {"type": "string"}
    if is_dataclass(annotation) and isinstance(annotation, type):
        hints = get_type_hints(annotation)
        return object_schema(
            {names.get(f.name, f.name): schema_of(hints[f.name], names) for f in fields(annotation)}
        )
    origin = get_origin(annotation)
    if origin is Literal:
        return {"enum": list(get_args(annotation))}
    if origin is tuple:
        return {"type": "array", "items": schema_of(get_args(annotation)[0], names)}
    if origin in (Union, types.UnionType):
        return {"anyOf": [schema_of(part, names) for part in get_args(annotation)]}
    if origin is np.ndarray:
        return {"type": "array", "items": {"type": "number"}}
    simple = {
        float: "number",
        int: "integer",
        str: "string",
        bool: "boolean",
        datetime: "string",
        type(None): "null",
    }
    if annotation in simple:
        return {"type": simple[annotation]}
    raise TypeError(f"{annotation!r} has no JSON form")


def _named(annotation: Any) -> Any:
    """Return the type that a type alias names, as NDArray is one from NumPy 2.5 on; any other as it is."""
    origin, given = get_origin(annotation), get_args(annotation)
    if hasattr(annotation if origin is None else origin, "__value__"):
        return _named(annotation.__value__ if origin is None else origin.__value__[given])
    return annotation


def object_schema(properties: Mapping[str, Schema]) -> Schema:
    """Return the schema of an object that has all the named properties and may have more."""
    return {"type": "object", "properties": dict(properties), "required": list(properties)}
