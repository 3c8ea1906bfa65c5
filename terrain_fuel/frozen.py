"""Read-only arrays for the value objects that each stage hands to the next."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, DTypeLike, NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
IntArray = NDArray[np.intp]


def frozen_array(values: ArrayLike, dtype: DTypeLike = np.float64) -> NDArray[Any]:
    """Return an array that cannot be written to: a copy, or the array itself where it is one already.

    Parameters
    ----------
    values : array_like, any shape
    dtype : dtype of what is returned

    Returns
    -------
    ndarray, same shape; writing to it raises ValueError
    """
    if isinstance(values, np.ndarray) and values.dtype == dtype and _is_frozen(values):
        return values
    copy = np.array(values, dtype=dtype, copy=True)
    copy.flags.writeable = False
    return copy


def value_at(where: float, xs: FloatArray, ys: FloatArray) -> float:
    """Return ``ys`` at one place along rising ``xs``, the same as `numpy.interp`.

    That copies read-only columns whole before it looks at them; here the two entries around are enough.

    >>> value_at(2.5, np.array([0.0, 2.0, 4.0]), np.array([0.0, 1.0, 5.0]))
    2.0
    """
    after = int(xs.searchsorted(where, side="right"))
    if after == 0 or after == xs.size:
        return float(ys[max(after - 1, 0)])
    x, y = xs.item(after - 1), ys.item(after - 1)
    return y + (ys.item(after) - y) / (xs.item(after) - x) * (float(where) - x)


def _is_frozen(values: NDArray[Any]) -> bool:
    """Tell whether nobody writes to an array: it is read-only and shares its memory with no other."""
    return values.base is None and not values.flags.writeable


def freeze_columns(owner: object, dtypes: dict[str, DTypeLike]) -> int:
    """Replace the named fields of a frozen dataclass by read-only copies of equal length.

    Parameters
    ----------
    owner : a frozen dataclass instance inside its ``__post_init__``
    dtypes : field name to dtype

    Returns
    -------
    int, the common length

    Raises
    ------
    ValueError
        If the columns are not one-dimensional or differ in length: a fault of the
        program, never of the rider's input.
    """
    lengths = {}
    for name, dtype in dtypes.items():
        column = frozen_array(getattr(owner, name), dtype)
        if column.ndim != 1:
            raise ValueError(f"{type(owner).__name__}.{name} must have one dimension")
        object.__setattr__(owner, name, column)
        lengths[name] = column.size
    if len(set(lengths.values())) > 1:
        raise ValueError(f"{type(owner).__name__} columns differ in length: {lengths}")
    return next(iter(lengths.values()))
