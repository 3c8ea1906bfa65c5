"""A written plan.json read back."""

from pathlib import Path
from typing import Any

from terrain_fuel.errors import PlanFileError
from terrain_fuel.json_file import read_json_object
from terrain_fuel.plan_format import FORMAT, VERSION


def read_plan_file(path: Path) -> dict[str, Any]:
    """Return a plan.json as written.

    Raises
    ------
    PlanFileError
        If the file cannot be read or is not a plan of the version written today.
    """
    plan = read_json_object(path)
    if plan.get("format") != FORMAT or plan.get("version") != VERSION:
        raise PlanFileError(f'{path.name}: is not a "{FORMAT}" of version {VERSION}; plan the ride again')
    return plan
