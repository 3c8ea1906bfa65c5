"""`terrain-fuel why`: what decided a bite, a halt or a sip, and what the next best would have cost."""

import argparse

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_plan


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "why", "explain one bite, halt or sip of a written plan")
    add_plan(parser)
    parser.add_argument(
        "label", metavar="LABEL", help="7 for a bite, B for a halt, km12.5 (or mile7.8) for the sip there"
    )
    add_examples(parser, "terrain-fuel why out/mine 7", "terrain-fuel why out/mine B")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the explanation."""
    from terrain_fuel.inputs.plan_file import as_written, read_plan_file
    from terrain_fuel.outputs.explain import explain_label

    screen = Screen()
    plan = read_plan_file(chosen.plan)
    with as_written(str(chosen.plan)):
        lines = explain_label(plan, chosen.label)
    for line in lines:
        screen.console.print(line, markup=False)
    return EXIT_DONE
