"""`terrain-fuel sweat`: the rider's own sweat rate from a ride with a weighing before and after."""

import argparse

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_settings


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "sweat", "work out a sweat rate from weighing before and after a ride")
    parser.add_argument("--before-kg", type=float, required=True, metavar="KG", help="body mass before")
    parser.add_argument(
        "--after-kg", type=float, required=True, metavar="KG", help="body mass after, towelled dry"
    )
    parser.add_argument("--drunk-ml", type=float, required=True, metavar="ML", help="what was drunk between")
    parser.add_argument("--urine-ml", type=float, default=0.0, metavar="ML", help="what was passed between")
    parser.add_argument(
        "--minutes", type=float, required=True, metavar="MIN", help="time between the weighings"
    )
    add_settings(parser, "rider")
    add_examples(parser, "terrain-fuel sweat --before-kg 71.2 --after-kg 69.9 --drunk-ml 1250 --minutes 150")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the rate, and the line for rider.toml."""
    from terrain_fuel.demand.weighing import sweat_rate_from_weighing
    from terrain_fuel.inputs.settings import read_rider
    from terrain_fuel.outputs.words import words_for

    weighing = sweat_rate_from_weighing(
        chosen.before_kg, chosen.after_kg, chosen.drunk_ml, chosen.urine_ml, chosen.minutes * 60
    )
    screen = Screen()
    screen.console.print(words_for(read_rider(chosen.rider)).say(weighing.sentence), markup=False)
    screen.console.print(f"rider.toml: sweat_rate_ml_per_h = {weighing.rate_ml_per_h:.0f}", markup=False)
    return EXIT_DONE
