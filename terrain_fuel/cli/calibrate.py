"""`terrain-fuel calibrate`: steady power and drag from a past recording, without a power meter."""

import argparse
from pathlib import Path

from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.options import add_elevation, add_settings, read_chosen_route


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = commands.add_parser(
        "calibrate", help="fit power and drag to a recording with times, without a power meter"
    )
    parser.add_argument("recording", type=Path, metavar="RECORDING.gpx", help="a ride with times")
    add_settings(parser, "rider", "day")
    add_elevation(parser)
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print what was fitted, how well, and the lines for the settings files."""
    from terrain_fuel.calibrate import calibrate_ride
    from terrain_fuel.inputs.settings import read_day, read_rider

    rider, day = read_rider(chosen.rider), read_day(chosen.day)
    track, _ = read_chosen_route(chosen.recording, chosen)
    fitted = calibrate_ride(track, rider, day)
    screen = Screen()
    screen.console.print(fitted.sentence, markup=False)
    for line in fitted.settings_lines:
        screen.console.print(line, markup=False)
    return 0
