"""The kitchen table: the rides on the shelf, the routes offered, and the planner they share."""

import asyncio
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import tzinfo
from pathlib import Path

from terrain_fuel.errors import SettingsError, TrackError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.download import cache_folder
from terrain_fuel.inputs.route import read_route
from terrain_fuel.inputs.route_file import tracks_of
from terrain_fuel.inputs.start_time import start_there, zone_at
from terrain_fuel.inputs.tracks import ALL
from terrain_fuel.outputs.languages import LANGUAGES
from terrain_fuel.outputs.wished_language import wished_language
from terrain_fuel.page.bell import Bell
from terrain_fuel.page.guard import MOST_BODY_BYTES
from terrain_fuel.page.planning import Planner
from terrain_fuel.page.ride import Ride
from terrain_fuel.regular_file import read_regular
from terrain_fuel.rider import Habits
from terrain_fuel.rides.edits import SetValue, apply_edits
from terrain_fuel.rides.ride_folder import ROUTE, SETTINGS, kept_track, ride_name, settings_path, tiles_folder
from terrain_fuel.rides.shelf import (
    GONE,
    gone_from,
    keep_language,
    kept_language,
    put_back,
    put_on,
    rides_on,
    take_off,
)
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
    places : extract of the map that new rides name in their day
    """

    settings: dict[str, Path] = field(default_factory=dict)
    elevation: Path | None = None
    routes: tuple[Path, ...] = ()
    places: Path | None = None


class SeveralTracksError(TrackError):
    """A file that holds several tracks, of which one is the ride: their names and lengths [m]."""

    def __init__(self, tracks: tuple[tuple[str, float], ...]) -> None:
        super().__init__(f"this file holds {len(tracks)} tracks; choose one")
        self.tracks = tracks


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
        raise SettingsError("there is no such ride on this table", fact("refused_no_ride"))

    def language(self, accepted: str) -> str:
        """Return the language of what has no older ride to take it from.

        It is the one chosen by hand last, else that of the rider whom the command names, else what the
        browser asks for.

        Parameters
        ----------
        accepted : what is asked for, as ``Accept-Language`` has it
        """
        named = self.starting.settings.get("rider")
        stated = None if named is None else _stated_language(read_text(named))
        return kept_language(self.shelf) or stated or wished_language(accepted) or Habits().language

    def choose_language(self, code: str) -> None:
        """Keep a language that was chosen by hand; raises like `keep_language`."""
        keep_language(self.shelf, code)

    def new_ride(
        self, route: bytes, track: int | None = None, *, fetch: bool = False, accepted: str = ""
    ) -> Ride:
        """Put a route on the shelf as a new ride; ``track`` is which of several, 0 for all in a row.

        With ``fetch`` heights that are missing are fetched, as with ``--online``; else no network is touched.
        ``accepted`` as in `language`, for a rider who is new.

        Raises
        ------
        SeveralTracksError
            If it holds several tracks and none is chosen.
        TrackError
            If it is no route that can be planned.
        ElevationError
            If its heights are missing, or cannot be fetched.
        OutputError
            If the shelf cannot be written to.
        """
        with tried(Path(), {}) as aside:
            path = aside / ROUTE
            path.write_bytes(route)
            told = tracks_of(path)
            if track is None and len(told) > 1:
                raise SeveralTracksError(told)
            chosen = None if len(told) < 2 or track is None else str(track) if track else ALL
            road, _ = read_route(path, self.starting.elevation, fetch, track=chosen)
        at_hand = (self.starting.elevation, cache_folder() if fetch else None)
        folders = [folder for folder in at_hand if folder is not None and folder.is_dir()]
        tiles = tiles_under(road.lat_deg, road.lon_deg, folders)
        texts = _with_start(
            self._starting_texts(accepted), zone_at(float(road.lat_deg[0]), float(road.lon_deg[0]))
        )
        if self.starting.places is not None:
            extract = str(self.starting.places.resolve())
            changed, _ = apply_edits(texts, [SetValue("day", "day", "map_extract", extract)])
            texts = {**texts, **changed}
        return self._at(put_on(self.shelf, road.name, route, texts, tiles, chosen))

    def take_off(self, ride: Ride) -> None:
        """Take a ride off the shelf; it can be put back."""
        take_off(self.shelf, ride.folder)
        ride.outputs.drop()
        self._rides.pop(ride.folder, None)
        if self.looked_at is ride:
            self.looked_at = None

    def gone(self) -> tuple[tuple[int, str], ...]:
        """Return number and name of the rides that can be put back, the one taken off last first."""
        return tuple((number, ride_name(self.shelf / f"{GONE}{number}")) for number in gone_from(self.shelf))

    def put_back(self, number: int) -> Ride:
        """Put a ride that was taken off back on the shelf."""
        folder = put_back(self.shelf, number)
        self._rides.pop(folder, None)
        return self._at(folder)

    def offered(self, number: int, accepted: str = "") -> Ride:
        """Put an offered route on the shelf as a new ride; ``accepted`` as in `language`."""
        if not 0 <= number < len(self.starting.routes):
            raise TrackError("there is no such route on offer")
        return self.new_ride(route_bytes(self.starting.routes[number]), accepted=accepted)

    def beside(self, ride: Ride) -> Ride:
        """Put a second version of a ride beside it, with all that it has now."""
        texts = {name: text for name, text in read_texts(ride.folder).items() if text is not None}
        held = tiles_folder(ride.folder)
        tiles = tuple(path for path in sorted(held.iterdir()) if path.is_file()) if held else ()
        return self._at(
            put_on(
                self.shelf,
                ride_name(ride.folder),
                route_bytes(ride.folder / ROUTE),
                texts,
                tiles,
                kept_track(ride.folder),
            )
        )

    def _at(self, folder: Path) -> Ride:
        return next(ride for ride in self.rides() if ride.folder == folder)

    def _starting_texts(self, accepted: str) -> dict[str, str]:
        """Return a new ride's settings: rider and pantry of the newest, else those named, else defaults."""
        newest = next(iter(rides_on(self.shelf)), None)
        texts = {}
        language = self.language(accepted)
        for name in SETTINGS:
            kept = settings_path(newest, name) if newest and name in ("rider", "pantry") else None
            path = kept or self.starting.settings.get(name)
            texts[name] = settings_text(name, language) if path is None else read_text(path)
        if newest is not None or (_stated_language(texts["rider"]) or Habits().language) == language:
            return texts
        changed, _ = apply_edits(texts, [SetValue("rider", "habits", "language", language)])
        return {**texts, **changed}


def _stated_language(rider: str) -> str | None:
    """Return the language that the text of a rider file states, None where it states none that is spoken."""
    try:
        habits = tomllib.loads(rider).get("habits", {})
    except ValueError:
        return None  # what is wrong with it is told when it is read
    stated = habits.get("language") if isinstance(habits, dict) else None
    return stated if stated in LANGUAGES else None


def route_bytes(path: Path) -> bytes:
    """Return what a route file holds, bounded as what the page is given.

    Raises
    ------
    TrackError
        If it is no file, too large, or cannot be read.
    """
    return read_regular(path, MOST_BODY_BYTES, TrackError, "a GPX file", "thin it out")


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
