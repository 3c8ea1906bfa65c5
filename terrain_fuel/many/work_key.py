"""The name of a piece of work by all that its result depends on."""

import hashlib
from functools import cache
from pathlib import Path
from typing import Any

import dask
from dask.tokenize import tokenize

import terrain_fuel


def work_key(*parts: Any) -> str:
    """Return a hash of inputs and of this package's code; equal on every machine for equal ones.

    Parameters
    ----------
    parts : bytes, texts, numbers, arrays, and tuples, mappings and frozen dataclasses of them
    """
    with dask.config.set({"tokenize.ensure-deterministic": True}):
        return str(tokenize(code_key(), *parts))


@cache
def code_key() -> str:
    """Return a hash of every source file of this package, so that nothing planned by other code is taken."""
    root = Path(terrain_fuel.__file__).parent
    found = hashlib.blake2b(digest_size=16)
    for path in sorted(root.rglob("*.py")):
        found.update(path.relative_to(root).as_posix().encode())
        found.update(path.read_bytes())
    return found.hexdigest()
