"""`terrain-fuel open`: the kitchen table, a page on this machine alone."""

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from terrain_fuel.cli.asides import add_examples, add_parser
from terrain_fuel.cli.exit_codes import EXIT_DONE
from terrain_fuel.cli.mapped import add_places
from terrain_fuel.cli.options import add_log, add_settings
from terrain_fuel.cli.terminal_language import terminal_language
from terrain_fuel.errors import OutputError, TrackError
from terrain_fuel.text import plain_text
from terrain_fuel.user_folders import user_data_folder
from terrain_fuel.what_stands import is_folder

if TYPE_CHECKING:
    from terrain_fuel.page.door import Door


def add_command(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options."""
    parser = add_parser(commands, "open", "plan on a page in the browser, on this machine alone")
    parser.add_argument(
        "ride",
        type=Path,
        nargs="?",
        metavar="ROUTE|FOLDER",
        help="a route for a new ride, or a ride's folder",
    )
    add_settings(parser)
    parser.add_argument("--elevation", type=Path, metavar="FOLDER", help="folder of .hgt or .hgt.zip tiles")
    add_places(parser)
    parser.add_argument(
        "--routes", type=Path, metavar="FOLDER", help="folder of routes to offer on the first page"
    )
    add_log(parser)
    add_examples(parser, "terrain-fuel open", "terrain-fuel open mine.gpx --routes my-routes")
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Open the page, or the one that is open already; return when it is ended."""
    from terrain_fuel.log.database import log_file
    from terrain_fuel.page.serve import found_running, serve
    from terrain_fuel.page.table import Starting, Table, route_bytes
    from terrain_fuel.rides.ride_folder import route_path

    home = _home()
    running = home / "open.json"
    ride: Path | None = chosen.ride
    own = ride.resolve() if ride is not None and is_folder(ride) else None
    if ride is not None and own is not None:
        route_path(ride)  # what is missing is told before anything starts
    door = found_running(running) if own is None else None
    if door is not None:
        return _show_open_one(door, ride)
    settings = {name: path for name in ("rider", "pantry", "day") if (path := getattr(chosen, name))}
    offered = tuple(sorted(chosen.routes.glob("*.gpx"))) if chosen.routes else ()
    starting = Starting(settings, chosen.elevation, offered, chosen.places)
    table = Table(home / "rides", starting, log_file(chosen.log), (own,) if own else ())
    fragment = ""
    if own is not None:
        fragment = f"#{table.rides()[0].key}"
    elif ride is not None:  # a ride before any browser has asked for the page
        fragment = f"#{table.new_ride(route_bytes(ride), accepted=terminal_language()).key}"
    serve(table, None if own else running, _say_and_show, fragment)
    return EXIT_DONE


def _home() -> Path:
    """Return the folder of the rider's own data, made when it is not there."""
    try:
        home = user_data_folder()
        home.mkdir(parents=True, exist_ok=True, mode=0o700)
    except (OSError, RuntimeError) as fault:
        reason = getattr(fault, "strerror", None) or "there is no home folder"
        raise OutputError(
            f"the folder for your rides cannot be made ({reason}); name another in XDG_DATA_HOME"
        ) from None
    return home


def _show_open_one(door: "Door", ride: Path | None) -> int:
    """Show the page that a first start has opened, with a new ride where a route is given."""
    import json

    from terrain_fuel.page.serve import ask
    from terrain_fuel.page.table import route_bytes

    fragment = ""
    if ride is not None:
        _, answer = ask(door, "POST", "/rides", route_bytes(ride), terminal_language())
        said = json.loads(answer)
        if "ride" not in said:
            raise TrackError(f"{plain_text(ride.name)}: {said['say']}")
        fragment = f"#{said['ride']}"
    _say_and_show(door.first_address + fragment)
    return EXIT_DONE


def _say_and_show(address: str) -> None:
    print(address, flush=True)  # noqa: T201
    if sys.platform != "linux" or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        import webbrowser

        webbrowser.open(address)
