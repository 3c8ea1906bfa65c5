"""`terrain-fuel calibrate`: power, drag and halts from a recording, or power from a sentence."""

import argparse
from dataclasses import replace
from datetime import UTC
from pathlib import Path

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_elevation, add_settings, read_chosen_route
from terrain_fuel.errors import SettingsError

LANDS = ("flat", "rolling", "hills", "mountains")


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "calibrate", "fit power and drag to a recording, or to one honest sentence")
    parser.add_argument("recording", type=Path, nargs="?", metavar="RECORDING.gpx", help="a ride with times")
    parser.add_argument("--km", type=float, metavar="KM", help='or: "I ride so many kilometres ...')
    parser.add_argument("--of", choices=LANDS, default="hills", help="... of such country (hills) ...")
    parser.add_argument("--hours", type=float, metavar="H", help='... in so many hours in the saddle"')
    parser.add_argument("--climbing-m", type=float, metavar="M", help="metres climbed on that ride, if known")
    parser.add_argument(
        "--sheltered", type=float, metavar="SHARE", help="share of that ride behind others, 0 to 0.95"
    )
    parser.add_argument(
        "--tailwind-m-s",
        type=float,
        metavar="M/S",
        help="wind from behind over the whole of it, or -M/S ahead",
    )
    parser.add_argument(
        "--ftp-w",
        type=float,
        metavar="W",
        help="your FTP, if you know it: the efforts printed are shares of it; else that of --rider",
    )
    add_settings(parser, "rider", "day")
    add_elevation(parser)
    add_examples(
        parser,
        "terrain-fuel calibrate ridden.gpx --ftp-w 230",
        "terrain-fuel calibrate --km 90 --of hills --hours 4 --ftp-w 230",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print what was fitted, how well, and the lines for the settings files."""
    from terrain_fuel.calibrate import (
        Calibration,
        Company,
        SentenceCalibration,
        calibrate_ride,
        calibrate_sentence,
    )
    from terrain_fuel.inputs.settings import read_day, read_rider
    from terrain_fuel.outputs.words import words_for

    rider, day = read_rider(chosen.rider), read_day(chosen.day, UTC)
    if chosen.ftp_w is not None:
        rider = replace(rider, ftp_w=chosen.ftp_w)
    known = chosen.ftp_w is not None or chosen.rider is not None
    ftp_w = rider.ftp_w if known else None
    spoken = chosen.km is not None and chosen.hours is not None
    if spoken == (chosen.recording is not None):
        raise SettingsError(
            "calibrate: wants either RECORDING.gpx or both --km and --hours; give the one or the other"
        )
    fitted: Calibration | SentenceCalibration
    if spoken:
        silent = chosen.sheltered is None and chosen.tailwind_m_s is None
        company = None if silent else Company(chosen.sheltered, chosen.tailwind_m_s)
        fitted = calibrate_sentence(
            chosen.km, chosen.hours, rider, day, chosen.of, chosen.climbing_m, company, ftp_w
        )
    else:
        track, _ = read_chosen_route(chosen.recording, chosen)
        if chosen.sheltered is not None:
            sheltered, _ = Company(chosen.sheltered).checked()
            rider = replace(rider, bike=replace(rider.bike, drafting_share=sheltered))
        fitted = calibrate_ride(track, rider, day, ftp_w)
    lines = fitted.settings_lines
    screen = Screen()
    screen.console.print(words_for(rider).say(fitted.sentence), markup=False)
    for line in lines:
        screen.console.print(line, markup=False)
    return EXIT_DONE
