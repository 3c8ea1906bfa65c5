"""Whether the packages of the extra are there, asked before any of them is imported."""

from importlib.util import find_spec

from terrain_fuel.errors import EngineError

PACKAGES = ("cryptography", "dask", "distributed", "pyarrow", "fsspec")


def refuse_without_extra(command: str) -> None:
    """Raise EngineError if a command cannot run for want of a package."""
    lacking = [name for name in PACKAGES if find_spec(name) is None]
    if lacking:
        raise EngineError(
            f"{command}: cannot run without the packages {', '.join(lacking)}; install them with"
            ' pip install "terrain-fuel[team]"'
        )
