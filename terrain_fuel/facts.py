"""Facts for the rider: a code and the values its sentence is made of; outputs alone put them into words."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType
from typing import TypeAlias

Value: TypeAlias = "str | int | float | bool | datetime | Fact | tuple[Value, ...]"


@dataclass(frozen=True, slots=True)
class Fact:
    """Something to be told.

    Parameters
    ----------
    code : stable name of what is said; the catalogue of every language has a sentence for it
    values : what the sentence is made of, by name; quantities carry their unit in the name. A value
        may be a fact itself, or several in a tuple
    """

    code: str
    values: Mapping[str, Value] = field(default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))

    def __hash__(self) -> int:
        return hash((self.code, tuple(self.values.items())))


def fact(code: str, **values: Value) -> Fact:
    """Return a fact with its values by name.

    >>> fact("thirsty", short_ml=250.0).values["short_ml"]
    250.0
    """
    return Fact(code, values)


NOTHING = fact("nothing")
"""What there is nothing to say of."""
