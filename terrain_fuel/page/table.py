"""The kitchen table: the rides on the shelf, the routes offered, and the planner they share."""

import asyncio
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import tzinfo
from pathlib import Path

from terrain_fuel.errors import SettingsError, TrackError
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.start_time import start_there, zone_at
from terrain_fuel.page.bell import Bell
from terrain_fuel.page.planning import Planner
from terrain_fuel.page.ride import Ride
from terrain_fuel.rides.edits import SetValue, apply_edits
from terrain_fuel.rides.ride_folder import ROUTE, SETTINGS, ride_name, settings_path, tiles_folder
from terrain_fuel.rides.shelf import put_on, rides_on
from terrain_fuel.rides.starting import settings_text
from terrain_fuel.rides.texts import read_text, read_texts
from terrain_fuel.rides.tiles import tiles_under
from terrain_fuel.rides.trial import tried


@dataclass(frozen=True, slots=True)
class Starting:
    """What a new ride starts from.

    Parameters
    ----------
    settings : settings files by name, for those that do not come from the newest ride
    elevation : folder of tiles; those under a new ride's road are copied to it
    routes : route files offered by name on the first page
    """

    settings: dict[str, Path] = field(default_factory=dict)
    elevation: Path | None = None
    routes: tuple[Path, ...] = ()


class Table:
    """All rides that the page can show."""

    def __init__(self, shelf: Path, starting: Starting, log: Path, own: Sequence[Path] = ()) -> None:
        self.shelf, self.starting, self.log, self.own = shelf, starting, log, tuple(own)
        self.planner = Planner()
        self._rides: dict[Path, Ride] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self.looked_at: Ride | None = None

    def attach(self, loop: asyncio.AbstractEventLoop) -> None:
        """Let bells be heard on the server's loop."""
        self._loop = loop
        for ride in self._rides.values():
            ride.bell.loop = loop

    def close(self) -> None:
        """End planning."""
        self.planner.close()

    def rides(self) -> tuple[Ride, ...]:
        """Return all rides, the newest first."""
        folders = [*self.own, *rides_on(self.shelf)]
        for folder in folders:
            if folder not in self._rides:
                self._rides[folder] = Ride(folder, Bell(self._loop), self.log)
        return tuple(self._rides[folder] for folder in folders)

    def ride(self, key: str) -> Ride:
        """Return the ride of a key, planned or on its way to it.

        Raises
        ------
        SettingsError
            If there is none.
        """
        for ride in self.rides():
            if ride.key == key:
                return ride
        raise SettingsError("there is no such ride on this table")

    def new_ride(self, route: bytes) -> Ride:
        """Put a route on the shelf as a new ride.

        Raises
        ------
        TrackError
            If it is no route that can be planned.
        OutputError
            If the shelf cannot be written to.
        """
        with tried(Path(), {}) as aside:
            path = aside / ROUTE
            path.write_bytes(route)
            track, _ = read_route(path, self.starting.elevation)
        tiles = tiles_under(track.lat_deg, track.lon_deg, self.starting.elevation)
        texts = _with_start(self._starting_texts(), zone_at(float(track.lat_deg[0]), float(track.lon_deg[0])))
        folder = put_on(self.shelf, track.name, route, texts, tiles)
        return self._at(folder)

    def offered(self, number: int) -> Ride:
        """Put an offered route on the shelf as a new ride."""
        if not 0 <= number < len(self.starting.routes):
            raise TrackError("there is no such route on offer")
        return self.new_ride(self.starting.routes[number].read_bytes())

    def beside(self, ride: Ride) -> Ride:
        """Put a second version of a ride beside it, with all that it has now."""
        texts = {name: text for name, text in read_texts(ride.folder).items() if text is not None}
        held = tiles_folder(ride.folder)
        tiles = tuple(sorted(held.iterdir())) if held else ()
        return self._at(
            put_on(self.shelf, ride_name(ride.folder), (ride.folder / ROUTE).read_bytes(), texts, tiles)
        )

    def at_once(self, work: Callable[[], None]) -> None:
        """Plan something before anything else is planned."""
        self.planner.at_once(work)

    def _at(self, folder: Path) -> Ride:
        return next(ride for ride in self.rides() if ride.folder == folder)

    def _starting_texts(self) -> dict[str, str]:
        """Return a new ride's settings: rider and pantry of the newest, else those named, else defaults."""
        newest = next(iter(rides_on(self.shelf)), None)
        texts = {}
        for name in SETTINGS:
            kept = settings_path(newest, name) if newest and name in ("rider", "pantry") else None
            path = kept or self.starting.settings.get(name)
            texts[name] = settings_text(name) if path is None else read_text(path)
        return texts


def _with_start(texts: dict[str, str], zone: tzinfo) -> dict[str, str]:
    """Return settings whose day says when the ride starts: a kept ride is not another each day."""
    try:
        day = tomllib.loads(texts["day"]).get("day", {})
    except ValueError:
        return texts  # what is wrong with it is told when it is read
    if not isinstance(day, dict) or "start" in day:
        return texts
    start = start_there(None, zone).isoformat()
    changed, _ = apply_edits(texts, [SetValue("day", "day", "start", start)])
    return {**texts, **changed}
