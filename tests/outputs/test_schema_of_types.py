"""The JSON Schema of a type, by whatever name the type goes."""

from typing import Any, TypeVar

import numpy as np
import pytest
from typing_extensions import TypeAliasType

from terrain_fuel.outputs.data.plain import schema_of

Kind = TypeVar("Kind", bound=np.generic)
Column = TypeAliasType("Column", np.ndarray[Any, np.dtype[Kind]], type_params=(Kind,))
"""As NumPy 2.5 names NDArray, on Python 3.12 and newer."""

Heights = TypeAliasType("Heights", Column[np.float64])


@pytest.mark.parametrize("named", [Column[np.float64], Heights])
def test_a_named_type_has_the_schema_of_what_it_names(named: object) -> None:
    assert schema_of(named) == {"type": "array", "items": {"type": "number"}}
