"""`terrain-fuel calibrate`: steady power and drag without a power meter, from a recording or a sentence."""

import argparse
from pathlib import Path

from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_elevation, add_settings, read_chosen_route
from terrain_fuel.errors import SettingsError

LANDS = ("flat", "rolling", "hills", "mountains")


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = commands.add_parser(
        "calibrate", help="fit power and drag to a recording with times, or to one honest sentence"
    )
    parser.add_argument("recording", type=Path, nargs="?", metavar="RECORDING.gpx", help="a ride with times")
    parser.add_argument("--km", type=float, metavar="KM", help='or: "I ride so many kilometres ...')
    parser.add_argument("--of", choices=LANDS, default="hills", help="... of such country ...")
    parser.add_argument("--hours", type=float, metavar="H", help='... in so many hours in the saddle"')
    parser.add_argument("--climbing-m", type=float, metavar="M", help="metres climbed on that ride, if known")
    add_settings(parser, "rider", "day")
    add_elevation(parser)
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print what was fitted, how well, and the lines for the settings files."""
    from terrain_fuel.calibrate import (
        Calibration,
        SentenceCalibration,
        calibrate_ride,
        calibrate_sentence,
    )
    from terrain_fuel.inputs.settings import read_day, read_rider
    from terrain_fuel.outputs.words import words_for

    rider, day = read_rider(chosen.rider), read_day(chosen.day)
    spoken = chosen.km is not None and chosen.hours is not None
    if spoken == (chosen.recording is not None):
        raise SettingsError(
            "calibrate: wants either RECORDING.gpx or both --km and --hours; give the one or the other"
        )
    fitted: Calibration | SentenceCalibration
    if spoken:
        fitted = calibrate_sentence(chosen.km, chosen.hours, rider, day, chosen.of, chosen.climbing_m)
    else:
        track, _ = read_chosen_route(chosen.recording, chosen)
        fitted = calibrate_ride(track, rider, day)
    screen = Screen()
    screen.console.print(words_for(rider).say(fitted.sentence), markup=False)
    for line in fitted.settings_lines:
        screen.console.print(line, markup=False)
    return EXIT_DONE
