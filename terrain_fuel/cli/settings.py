"""`terrain-fuel settings`: every setting there is, with its default, what it means, its range and source."""

import argparse

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.errors import SettingsError


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "settings", "list every setting: default, meaning, range, source")
    parser.add_argument(
        "word", nargs="?", default="", metavar="WORD", help="only those that have this in them"
    )
    add_examples(parser, "terrain-fuel settings", "terrain-fuel settings sweat")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the settings that have the word in their key, their table or what they mean."""
    from terrain_fuel.rides.rule_settings import listed_settings

    word = chosen.word.casefold()
    found = [
        each
        for each in listed_settings()
        if word in f"{each.file} {each.table} {each.key} {each.meaning}".casefold()
    ]
    if not found:
        raise SettingsError(
            f"no setting has {chosen.word!r} in it; try a shorter word, or none for all of them"
        )
    screen, table = Screen(), ""
    for each in found:
        if f"{each.file}.toml {each.head}" != table:
            table = f"{each.file}.toml {each.head}"
            screen.console.print(table, markup=False)
        default = f"({each.default_text})" if each.default is None else each.default_text
        screen.console.print(f"  {each.key} = {default}", markup=False)
        screen.console.print(f"      {each.meaning}; {each.range_text}; {each.source}", markup=False)
    return EXIT_DONE
