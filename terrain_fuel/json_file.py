"""A written plan read as JSON: bounded, its texts made harmless, one message for anything else."""

import json
import math
from pathlib import Path
from typing import Any

from terrain_fuel.errors import PlanFileError
from terrain_fuel.file_kinds import PLAN, other_kind
from terrain_fuel.regular_file import read_regular
from terrain_fuel.text import MESSAGE_LETTERS, plain_text, plain_values

LARGEST_BYTES = 100_000_000
LONGEST_FIGURE = 40
MOST_DIGITS = 30
"""No figure of a plan has as many; longer ones cannot be reckoned with."""


def read_json_object(path: Path) -> dict[str, Any]:
    """Return the object in a JSON file.

    Raises
    ------
    PlanFileError
        If the file cannot be read, is too large, not JSON, or holds no object.
    """
    data = read_regular(path, LARGEST_BYTES, PlanFileError, "a plan.json", "is it a plan? write it again")
    _refuse_other_kinds(data, path)
    advice = "name a plan.json as `terrain-fuel plan` wrote it"
    try:
        text = data.decode("utf-8-sig")
        parsed = json.loads(text, parse_int=_whole, parse_float=_finite, parse_constant=_finite)
        value = plain_values(parsed, MESSAGE_LETTERS)
    except UnicodeDecodeError:
        raise PlanFileError(f"{path.name}: is not JSON, it is no UTF-8 text; {advice}") from None
    except json.JSONDecodeError as fault:
        place = f"line {fault.lineno}, column {fault.colno}"
        raise PlanFileError(f"{path.name}: is not JSON ({fault.msg} in {place}); {advice}") from None
    except OverflowError as fault:
        raise PlanFileError(f"{path.name}: is not JSON ({fault}); {advice}") from None
    except RecursionError:
        raise PlanFileError(f"{path.name}: is nested too deep for a plan; {advice}") from None
    if not isinstance(value, dict):
        raise PlanFileError(f"{path.name}: holds no object; {advice}")
    return value


def _refuse_other_kinds(data: bytes, path: Path) -> None:
    """Refuse what is plainly something else than JSON, or the JSON of a route."""
    kind = other_kind(data, PLAN)
    if kind is None:
        return
    advice = "name a plan.json as `terrain-fuel plan` wrote it"
    if kind.is_route:
        advice = "plan it with `terrain-fuel plan`, and name the plan.json that this writes"
    raise PlanFileError(f"{path.name}: is {kind.called}, not a plan; {advice}")


def _whole(digits: str) -> float:
    """Return a whole number, as a float where it has more digits than any figure of a plan."""
    return int(digits) if len(digits) <= MOST_DIGITS else _finite(digits)


def _finite(figure: str) -> float:
    """Return a number; JSON knows no NaN and no infinity, and nothing can be reckoned with them."""
    number = float(figure)
    if not math.isfinite(number):
        raise OverflowError(f"{plain_text(figure, LONGEST_FIGURE)} is no number that a plan can hold")
    return number
