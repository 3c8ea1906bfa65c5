"""The option by which a command takes the road's map in, said once."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from terrain_fuel.day import Day
    from terrain_fuel.track import Relief, Track


def add_places(parser: argparse.ArgumentParser) -> None:
    """Add where the road's map is."""
    parser.add_argument(
        "--places",
        type=Path,
        metavar="EXTRACT.osm.pbf",
        help="an extract of the map: taps, shops, surfaces, crossings along the route (never fetched)",
    )


def with_chosen_map(
    track: "Track", relief: "Relief | None", day: "Day", chosen: argparse.Namespace
) -> "Track":
    """Return the route with what the map says of it: that of the command line, the day file or its folder."""
    extract = chosen.places or _extract_of_day(day, chosen)
    if extract is None:
        return track
    from terrain_fuel.inputs.places import with_places

    return with_places(track, extract, relief)


def _extract_of_day(day: "Day", chosen: argparse.Namespace) -> Path | None:
    """Return the extract that stands beside the day file; a ride's folder may bring one without naming it."""
    if day.map_extract:
        return Path(chosen.day).parent / day.map_extract
    brought: Path | None = getattr(chosen, "brought_map", None)
    return brought
