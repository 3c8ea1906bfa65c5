"""A written plan.json read back."""

import json
from pathlib import Path
from typing import Any

from terrain_fuel.errors import PlanFileError
from terrain_fuel.plan_format import FORMAT, VERSION


def read_plan_file(path: Path) -> dict[str, Any]:
    """Return a plan.json as written.

    Raises
    ------
    PlanFileError
        If the file cannot be read or is not a plan of the version written today.
    """
    try:
        plan = json.loads(path.read_text(encoding="utf-8"))
    except OSError as fault:
        raise PlanFileError(
            f"{path}: cannot be read ({fault.strerror}); name a plan.json that is there"
        ) from None
    except ValueError:
        raise PlanFileError(
            f"{path.name}: is not JSON; name a plan.json as `terrain-fuel plan` wrote it"
        ) from None
    if not isinstance(plan, dict) or plan.get("format") != FORMAT or plan.get("version") != VERSION:
        raise PlanFileError(f'{path.name}: is not a "{FORMAT}" of version {VERSION}; plan the ride again')
    return plan
