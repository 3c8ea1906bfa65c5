"""A written plan.json read back."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from terrain_fuel.errors import PlanFileError, TerrainFuelError
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


@contextmanager
def as_written(where: str, lacking: str = "is not as the plan writes it") -> Iterator[None]:
    """Tell of a plan.json that is read with trust and is not as it was written, whatever it holds.

    Raises
    ------
    PlanFileError
        For a value that is missing, of another kind or beyond all numbers.
    """
    try:
        yield
    except PlanFileError:
        raise
    except TerrainFuelError as fault:
        raise PlanFileError(f"{where}: {fault}") from None
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as fault:
        raise PlanFileError(f"{where}: {lacking} ({fault}); plan the ride again") from None
