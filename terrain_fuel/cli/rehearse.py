"""`terrain-fuel rehearse`: which of a race's foods and drinks a training ride can try, at the race's rate."""

import argparse
from pathlib import Path

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.options import add_elevation, add_settings, read_chosen_route, zone_of


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "rehearse", "see what a training ride can try of a race's food")
    parser.add_argument("training", type=Path, metavar="TRAINING.gpx", help="the training ride's route")
    parser.add_argument("race", type=Path, metavar="RACE.gpx", help="the race's route")
    parser.add_argument("--training-day", type=Path, metavar="DAY.toml", help="the training ride's day")
    parser.add_argument(
        "--race-day", type=Path, metavar="DAY.toml", help="the race's day, with its feed zones"
    )
    parser.add_argument("--log", type=Path, metavar="FILE", help="say what this log of rides still misses")
    add_settings(parser, "rider", "pantry")
    add_elevation(parser)
    add_examples(parser, "terrain-fuel rehearse training.gpx race.gpx --race-day race.toml")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Plan both rides and print one line for each of the race's products."""
    from terrain_fuel.inputs.settings import read_day, read_pantry, read_rider
    from terrain_fuel.outputs.words import words_for
    from terrain_fuel.planner import plan_ride
    from terrain_fuel.rehearsal import rehearse

    rider, pantry = read_rider(chosen.rider), read_pantry(chosen.pantry)
    training, race = (
        plan_ride(track, rider, pantry, read_day(day, zone_of(track)))
        for track, day in (
            (read_chosen_route(chosen.training, chosen)[0], chosen.training_day),
            (read_chosen_route(chosen.race, chosen)[0], chosen.race_day),
        )
    )
    screen, words = Screen(), words_for(rider)
    trials = rehearse(training, race)
    told = [trial.sentence for trial in trials]
    if chosen.log is not None:
        from terrain_fuel.learn.rehearsing import food_to_try
        from terrain_fuel.log.rides import read_log

        told += food_to_try(trials, read_log(chosen.log))
    for each in told:
        screen.console.print(words.say(each), markup=False)
    return EXIT_DONE
