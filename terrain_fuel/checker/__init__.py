"""An independent check of a written plan, from plan.json and the route: no code of the planner is used."""

from terrain_fuel.checker.check import check_plan
from terrain_fuel.checker.fault import Fault

__all__ = ["Fault", "check_plan"]
