"""The errors this package raises, as one small tree.

::

    TerrainFuelError
    ├── TrackError          (ValueError)  a route file that cannot be ridden
    ├── ElevationError      (ValueError)  heights that are missing or wrong
    │   └── TileFetchError                a tile that could not be downloaded
    ├── SettingsError       (ValueError)  a rider, pantry, day or pins value that is not allowed
    ├── ModelRangeError     (ValueError)  a value outside the range of a published model
    ├── PlacesError         (ValueError)  an extract of a map that cannot be read or used
    ├── PlanFileError       (ValueError)  a plan.json that is not one of ours
    ├── LogError            (ValueError)  a log of rides that cannot be read or written
    ├── EngineError                       the engine for many plans is missing, unknown or lost
    └── OutputError                       a folder or file that cannot be written

Every message reads: where: what is wrong, the value, what is allowed; what to do.
The command line prints exactly that and ends with exit code 2. What a message quotes, from a
file, a file's name or a server, is made harmless when the error is made.
"""

from terrain_fuel.facts import Fact
from terrain_fuel.text import MESSAGE_LETTERS, plain_text


class TerrainFuelError(Exception):
    """Any error with a message meant for the rider.

    Parameters
    ----------
    message : for the terminal, with the names of files, keys and options
    said : the same without those, for who sees a page; None where nobody meets it there
    """

    def __init__(self, message: str, said: Fact | None = None) -> None:
        super().__init__(plain_text(message, MESSAGE_LETTERS))
        self.said = said


class TrackError(TerrainFuelError, ValueError):
    """A route file cannot be read as a route."""


class ElevationError(TerrainFuelError, ValueError):
    """Heights along the route are missing or impossible."""


class TileFetchError(ElevationError):
    """An elevation tile could not be downloaded."""


class SettingsError(TerrainFuelError, ValueError):
    """A setting has an unknown name or an impossible value."""


class ModelRangeError(TerrainFuelError, ValueError):
    """A value lies outside the range in which a published model holds."""


class PlacesError(TerrainFuelError, ValueError):
    """An extract of a map cannot be read, or is of no use to a route."""


class PlanFileError(TerrainFuelError, ValueError):
    """A plan file is not readable as a plan."""


class LogError(TerrainFuelError, ValueError):
    """The log of rides cannot be read or written."""


class EngineError(TerrainFuelError):
    """The engine for many plans is missing, cannot be reached, or was lost on the way."""


class OutputError(TerrainFuelError):
    """An output cannot be written."""
