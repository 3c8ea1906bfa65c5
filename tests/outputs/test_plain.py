"""Plain data as JSON text: the bytes of the standard library's writer, which is slower."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from terrain_fuel.outputs.data.plain import json_text

LEAVES = (
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text()
)
NUMBERS = st.lists(st.floats(allow_nan=False, allow_infinity=False) | st.integers())
DATA = st.recursive(
    LEAVES | NUMBERS, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=20
)


@given(DATA)
def test_the_text_is_that_of_the_standard_library(value: object) -> None:
    assert json_text(value) == json.dumps(value, indent=1, ensure_ascii=False, allow_nan=False)


@pytest.mark.parametrize("value", [float("nan"), [1.0, float("inf")], {"at": [float("-inf"), "km"]}])
def test_a_number_that_json_does_not_have_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        json_text(value)
