"""Tables as Parquet files, on any path that fsspec opens."""

from collections.abc import Mapping, Sequence
from typing import Any

import fsspec
import pyarrow
from pyarrow import parquet

from terrain_fuel.errors import OutputError
from terrain_fuel.text import PATH_LETTERS, plain_text


def write_tables(where: str, tables: Mapping[str, Mapping[str, Sequence[Any]]]) -> tuple[str, ...]:
    """Write tables, each as ``where/NAME.parquet``, and return where they stand, as ``where`` says it.

    Parameters
    ----------
    where : a folder here, or an address that fsspec knows, such as ``s3://bucket/team``
    tables : name to columns of equal length

    Raises
    ------
    OutputError
        If one of them cannot be written.
    """
    shown = plain_text(where, PATH_LETTERS)
    try:
        files, root = fsspec.url_to_fs(where)
        files.makedirs(root, exist_ok=True)
        for name in tables:
            _write(files, f"{root}/{name}.parquet", tables[name])
    except ImportError as fault:
        raise OutputError(
            f"{shown}: needs a package that is not installed ({plain_text(str(fault))}); install it, or name"
            " a folder"
        ) from None
    except (OSError, ValueError) as fault:
        why = plain_text(getattr(fault, "strerror", None) or str(fault))
        raise OutputError(
            f"{shown}: tables cannot be written there ({why}); choose a folder or an address that you may"
            " write to"
        ) from None
    return tuple(f"{where.rstrip('/')}/{name}.parquet" for name in tables)


def _write(files: Any, path: str, columns: Mapping[str, Sequence[Any]]) -> None:
    """Write one table; on a file system of this machine it takes its place whole."""
    with files.transaction, files.open(path, "wb") as file:
        parquet.write_table(pyarrow.table(dict(columns)), file)
