"""Settings files as they would be, beside the ride: read as the command line reads them, then gone."""

import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from terrain_fuel.rides.texts import read_texts, text_bytes


@contextmanager
def tried(ride: Path, texts: Mapping[str, str]) -> Iterator[Path]:
    """Yield a folder with a ride's settings files, new texts in place of the old."""
    with tempfile.TemporaryDirectory(prefix="terrain-fuel-") as name:
        trial = Path(name)
        for file, text in {**read_texts(ride), **texts}.items():
            if text is not None:
                (trial / f"{file}.toml").write_bytes(text_bytes(text))
        yield trial
