"""`terrain-fuel why`: what decided a fuel point, and what the next best would have cost."""

import argparse
from pathlib import Path

from terrain_fuel.cli.asides import add_examples
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.errors import PlanFileError


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = commands.add_parser("why", help="explain one fuel point of a written plan")
    parser.add_argument("plan", type=Path, metavar="PLAN.json", help="a plan.json")
    parser.add_argument("number", type=int, metavar="NUMBER", help="the fuel point's number")
    add_examples(parser, "terrain-fuel why out/mine/plan.json 7")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the explanation."""
    from terrain_fuel.inputs.plan_file import read_plan_file
    from terrain_fuel.outputs.explain import explain_point

    screen = Screen()
    plan = read_plan_file(chosen.plan)
    try:
        lines = explain_point(plan, chosen.number)
    except (AttributeError, KeyError, TypeError) as fault:
        raise PlanFileError(
            f"{chosen.plan}: a fuel point is not as the plan writes it ({fault}); plan the ride again"
        ) from None
    for line in lines:
        screen.console.print(line, markup=False)
    return EXIT_DONE
