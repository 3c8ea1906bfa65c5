"""Settings files as they would be, beside the ride: read as the command line reads them, then gone."""

import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from terrain_fuel.rides.ride_folder import SETTINGS


@contextmanager
def tried(ride: Path, texts: Mapping[str, str]) -> Iterator[Path]:
    """Yield a folder with a ride's settings files, new texts in place of the old."""
    with tempfile.TemporaryDirectory(prefix="terrain-fuel-") as name:
        trial = Path(name)
        for file in SETTINGS:
            path = ride / f"{file}.toml"
            if file in texts:
                (trial / path.name).write_bytes(texts[file].encode("utf-8", "surrogateescape"))
            elif path.exists():
                (trial / path.name).write_bytes(path.read_bytes())
        yield trial
