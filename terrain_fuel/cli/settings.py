"""`terrain-fuel settings`: every setting there is, with its default, what it means, its range and source."""

import argparse

from terrain_fuel.cli.console import Screen
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.errors import SettingsError


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = commands.add_parser("settings", help="list every setting: default, meaning, range, source")
    parser.add_argument(
        "word", nargs="?", default="", metavar="WORD", help="only those that have this in them"
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Print the settings that have the word in their key, their table or what they mean."""
    from terrain_fuel.inputs.settings_book import all_settings

    word = chosen.word.casefold()
    found = [
        each
        for each in all_settings()
        if word in f"{each.file} {each.table} {each.key} {each.meaning}".casefold()
    ]
    if not found:
        raise SettingsError(
            f"no setting has {chosen.word!r} in it; try a shorter word, or none for all of them"
        )
    screen, table = Screen(), ""
    for each in found:
        bracketed = f"[[{each.table}]]" if each.many else f"[{each.table}]"
        if f"{each.file}.toml {bracketed}" != table:
            table = f"{each.file}.toml {bracketed}"
            screen.console.print(table, markup=False)
        screen.console.print(f"  {each.key} = {_default(each.required, each.default)}", markup=False)
        screen.console.print(f"      {each.meaning}; {each.range_text}; {each.source}", markup=False)
    return EXIT_DONE


def _default(required: bool, default: object) -> str:
    if required:
        return "(needed)"
    if default is None:
        return "(left out)"
    if isinstance(default, bool):
        return str(default).lower()
    if isinstance(default, tuple):
        return f"[{', '.join(map(repr, default))}]"
    return str(getattr(default, "isoformat", lambda: default)())
