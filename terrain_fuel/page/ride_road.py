"""The road of one ride on the table: read once, measured anew under another map, ridden as settings ask."""

from pathlib import Path

from terrain_fuel.day import Day
from terrain_fuel.inputs.places import with_places
from terrain_fuel.inputs.route import read_route
from terrain_fuel.pace.ridden import RiddenRoad, ride_road
from terrain_fuel.planner import refuse_too_long
from terrain_fuel.rider import Rider
from terrain_fuel.rides.ride_folder import ROUTE, kept_track, map_extract, tiles_folder
from terrain_fuel.terrain.measure import measure_terrain
from terrain_fuel.track import Relief, Track


class RideRoad:
    """What is kept of a ride's road from plan to plan."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._route: tuple[Track, Relief | None] | None = None
        self._mapped: tuple[object, Track] | None = None
        self._ridden: RiddenRoad | None = None

    def route(self) -> tuple[Track, Relief | None]:
        """Return the road; it is read once, for it never changes."""
        if self._route is None:
            self._route = read_route(
                self._folder / ROUTE, tiles_folder(self._folder), track=kept_track(self._folder)
            )
        return self._route

    def ridden(self, rider: Rider, day: Day) -> RiddenRoad:
        """Return the road as it is ridden under some settings."""
        track, relief = self._mapped_route(day)
        if self._ridden is None:
            refuse_too_long(track)
            self._ridden = ride_road(measure_terrain(track, relief), rider, day)
        self._ridden = self._ridden.under(rider, day)
        return self._ridden

    def _mapped_route(self, day: Day) -> tuple[Track, Relief | None]:
        """Return the road with what the map says of it; the road is measured anew under another map."""
        track, relief = self.route()
        extract = map_extract(self._folder, day)
        if extract is None:
            seen, mapped = None, track
        else:
            status = extract.stat() if extract.is_file() else None
            seen = (extract, status and (status.st_mtime_ns, status.st_size))
            known = self._mapped is not None and self._mapped[0] == seen
            mapped = self._mapped[1] if known and self._mapped else with_places(track, extract, relief)
        if self._mapped is None or self._mapped[0] != seen:
            self._mapped, self._ridden = (seen, mapped), None
        return mapped, relief
