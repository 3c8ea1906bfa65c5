"""What the checker found."""

from dataclasses import dataclass
from typing import Literal

Kind = Literal["rule", "schema", "arithmetic", "route"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong with a plan: what, where on the road, by how much, in a sentence.

    ``rule`` is 1 to 8 for a broken hard rule and 0 for the other kinds: a key missing or of the
    wrong type (schema), sums that do not add up (arithmetic), a plan that is not of this road
    (route). ``limit`` is the name that a plan calls the broken limit by, nothing where no plan
    may break it. ``declared`` is True where the plan itself says so, by at least as much.
    """

    kind: Kind
    rule: int
    start_m: float
    end_m: float
    amount: float
    unit: str
    sentence: str
    limit: str = ""
    declared: bool = False


def rule_fault(
    rule: int, at_m: float | tuple[float, float], amount: float, unit: str, said: str, limit: str = ""
) -> Fault:
    """Return the fault of a hard rule at a place or over a span [m]."""
    start_m, end_m = at_m if isinstance(at_m, tuple) else (at_m, at_m)
    where = say_km(start_m) if end_m - start_m < 1.0 else f"{say_km(start_m)} to {end_m / 1000:.2f}"
    return Fault("rule", rule, start_m, end_m, amount, unit, f"rule {rule}, {where}: {said}", limit)


def sum_fault(where: str, said: str, at_m: float = 0.0, amount: float = 0.0, unit: str = "") -> Fault:
    """Return the fault of figures that do not agree."""
    return Fault("arithmetic", 0, at_m, at_m, amount, unit, f"{where}: {said}")


def route_fault(where: str, said: str, at_m: float = 0.0, amount: float = 0.0) -> Fault:
    """Return the fault of a plan that does not fit its road [m]."""
    return Fault("route", 0, at_m, at_m, amount, "m", f"{where}: {said}")


def say_km(distance_m: float) -> str:
    """Return a place on the road, "km 41.20"."""
    return f"km {distance_m / 1000:.2f}"
