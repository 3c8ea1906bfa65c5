"""Options that several commands share, said once."""

import argparse
from contextlib import contextmanager
from datetime import tzinfo
from os.path import isdir
from pathlib import Path
from typing import TYPE_CHECKING

from terrain_fuel.errors import OutputError
from terrain_fuel.text import PATH_LETTERS, plain_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from terrain_fuel.inputs.download import Progress
    from terrain_fuel.outputs.print_choices import PrintChoices
    from terrain_fuel.track import Relief, Track

MOST = 1_000_000
BYTES_IN_MB = 1_000_000


def add_settings(parser: argparse.ArgumentParser, *names: str) -> None:
    """Add --rider, --pantry and --day, or those named."""
    for name in names or ("rider", "pantry", "day"):
        parser.add_argument(
            f"--{name}",
            type=Path,
            metavar=f"{name.upper()}.toml",
            help=f"the {name}'s settings (default: the usual ones; see terrain-fuel settings)",
        )


def refuse_other_suffix(path: Path, suffix: str, option: str) -> None:
    """Refuse to write a file under a name of another kind: a route named by mistake would be lost."""
    if path.suffix.lower() != suffix and not path.is_dir():
        where = plain_text(str(path), PATH_LETTERS)
        raise OutputError(
            f"{where}: does not end in {suffix}, as what {option} writes must; name a file that does"
        )


def add_elevation(parser: argparse.ArgumentParser) -> None:
    """Add where heights come from, which track is ridden, and how large a route file may be."""
    parser.add_argument("--elevation", type=Path, metavar="FOLDER", help="folder of .hgt or .hgt.zip tiles")
    parser.add_argument(
        "--heights",
        choices=("auto", "file", "tiles"),
        default="auto",
        help="take heights from the file where it has them (auto), from the file only, or from tiles only"
        " (default auto)",
    )
    parser.add_argument("--online", action="store_true", help="allow fetching missing tiles")
    parser.add_argument("--tile-mirror", metavar="ADDRESS", help="where tiles are fetched from")
    parser.add_argument("--tile-cache", type=Path, metavar="FOLDER", help="where fetched tiles are kept")
    parser.add_argument(
        "--straight-legs",
        action="store_true",
        help="legs over 5 km without a point are as they should be",
    )
    parser.add_argument(
        "--track",
        metavar="TRACK",
        help="which track of a file that holds several: its number, its name, or all in a row",
    )
    parser.add_argument(
        "--largest-mb",
        type=whole_number,
        default=64,
        metavar="MB",
        help="largest route file read (default 64)",
    )


def add_route(parser: argparse.ArgumentParser) -> None:
    """Add the route file."""
    parser.add_argument(
        "route",
        type=Path,
        metavar="ROUTE",
        help="the planned route: GPX, TCX, FIT, KML or GeoJSON, as it is, gzipped or in a zip archive",
    )


def read_chosen_route(path: Path, chosen: argparse.Namespace) -> "tuple[Track, Relief | None]":
    """Return the route of a command line with the options of `add_elevation`, and the relief around it."""
    from terrain_fuel.inputs.route import read_route

    with _download_bar(chosen.online) as progress:
        return read_route(
            path,
            elevation=chosen.elevation,
            online=chosen.online,
            heights=chosen.heights,
            track=chosen.track,
            straight_legs=chosen.straight_legs,
            max_bytes=chosen.largest_mb * BYTES_IN_MB,
            cache=chosen.tile_cache,
            mirror=chosen.tile_mirror,
            progress=progress,
        )


@contextmanager
def _download_bar(online: bool) -> "Iterator[Progress | None]":
    """Yield what draws the tiles on their way; nothing where none may come."""
    if not online:
        yield None
        return
    from terrain_fuel.inputs.progress import download_bar

    with download_bar() as progress:
        yield progress


def zone_of(track: "Track") -> tzinfo:
    """Return the time zone in which a route starts."""
    from terrain_fuel.inputs.start_time import zone_at

    return zone_at(float(track.lat_deg[0]), float(track.lon_deg[0]))


def assumed_files(chosen: argparse.Namespace) -> tuple[str, ...]:
    """Return the settings files that were not given, so that their defaults hold."""
    return tuple(name for name in ("rider", "pantry", "day") if getattr(chosen, name) is None)


def add_log(parser: argparse.ArgumentParser) -> None:
    """Add where the log is."""
    parser.add_argument(
        "--log", type=Path, metavar="FILE", help="the log of your rides (default: in your data folder)"
    )


def add_print(parser: argparse.ArgumentParser) -> None:
    """Add how the outputs are drawn."""
    parser.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="of the PDFs (default A4)")
    parser.add_argument(
        "--sticker",
        default="stem",
        metavar="SIZE",
        help="stem (default), top-tube, card, or WIDTHxHEIGHT in mm",
    )
    parser.add_argument(
        "--picture",
        action="store_true",
        help="the sticker's strips and the strip map as pictures for a phone's lock screen too",
    )
    parser.add_argument("--downward", action="store_true", help="sticker reads from the top down")
    parser.add_argument(
        "--also",
        nargs="+",
        default=(),
        metavar="WHAT",
        help="write a course for a head unit (tcx, fit), the rows as a table (csv), a calendar entry"
        " (ics), the strip map on paper (strip-map) too",
    )
    parser.add_argument("--sips", action="store_true", help="a waypoint and course point at every sip too")
    parser.add_argument(
        "--whole-line", action="store_true", help="every point of the route, not only those its line needs"
    )
    parser.add_argument("--online-map", action="store_true", help="let the map page load street tiles")


def print_choices(chosen: argparse.Namespace) -> "PrintChoices":
    """Return the drawing choices of a parsed command line."""
    from terrain_fuel.outputs.print_choices import PrintChoices

    return PrintChoices(
        paper=chosen.paper,
        sticker_size=chosen.sticker,
        sticker_upward=not chosen.downward,
        picture=chosen.picture,
        online_tiles=chosen.online_map,
        also=tuple(chosen.also),
        sips=chosen.sips,
        whole_line=chosen.whole_line,
    )


def folder_path(text: str) -> Path:
    """Return a folder named on the command line; an empty name would be the folder one stands in."""
    if not text.strip():
        raise argparse.ArgumentTypeError("an empty name is no folder; name one, or . for this one")
    return Path(text)


def written_plan(text: str) -> Path:
    """Return the plan.json named on the command line, or the one in the folder that is named."""
    path = Path(text)
    return path / "plan.json" if isdir(path) else path


def add_plan(parser: argparse.ArgumentParser, name: str = "plan", metavar: str = "PLAN") -> None:
    """Add a written plan."""
    parser.add_argument(
        name, type=written_plan, metavar=metavar, help="a plan.json, or the folder that holds one"
    )


def whole_number(text: str, least: int = 0, most: int = MOST) -> int:
    """Return a count or a seed from the command line, unless told otherwise 0 or more, at most a million."""
    if not text.isascii() or not text.isdigit() or not least <= int(text) <= most:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from {least} to {most}")
    return int(text)
