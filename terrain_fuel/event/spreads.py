"""How the riders of a field differ: spreads of their quantities, and which go together."""

from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np

from terrain_fuel.errors import SettingsError
from terrain_fuel.frozen import FloatArray
from terrain_fuel.ranges import COMMON_PRACTICE as PRACTICE
from terrain_fuel.ranges import check_fields, one_of, ranged


@dataclass(frozen=True, slots=True)
class Spread:
    """A quantity of the field: its mean and its standard deviation."""

    mean: float
    sd: float


def spread(mean: float, sd: float, low: float, high: float, unit: str, *, meaning: str, source: str) -> Any:
    """Return a field for a spread; ``low`` and ``high`` bound the mean and every rider."""
    about = {"low": low, "high": high, "unit": unit, "meaning": meaning, "source": source}
    return field(default=Spread(mean, sd), metadata=about)


@dataclass(frozen=True, slots=True)
class Field:
    """How the riders differ; each quantity a mean and a standard deviation, cut off at its bounds."""

    body_mass_kg: Spread = spread(
        77.0, 12.0, 40.0, 150.0, "kg",
        meaning="what riders weigh",
        source="So19: 84 of local men, deviation 9; with women and all comers common practice (no source)",
    )  # fmt: skip
    height_m: Spread = spread(1.76, 0.09, 1.4, 2.2, "m", meaning="how tall they are", source=PRACTICE)
    ftp_w_per_kg: Spread = spread(
        2.9, 0.6, 1.2, 6.0, "W/kg",
        meaning="power held for about an hour, over body mass",
        source="between the untrained and the second class of AC; the middle is common practice (no source)",
    )  # fmt: skip
    effort_flat: Spread = spread(
        0.66, 0.06, 0.4, 1.0, "of FTP", meaning="power on the flat as a share of FTP", source=PRACTICE
    )
    climb_over_flat: Spread = spread(
        1.18, 0.06, 1.0, 1.6, "", meaning="effort on climbs over that on the flat", source=PRACTICE
    )
    cda_m2: Spread = spread(0.36, 0.04, 0.2, 0.7, "m2", meaning="drag area", source="Wi04, from memory")
    crr: Spread = spread(
        0.005, 0.0006, 0.002, 0.02, "", meaning="rolling resistance", source="Wi04, from memory"
    )
    bike_mass_kg: Spread = spread(
        12.0, 1.5, 6.0, 40.0, "kg", meaning="bicycle, clothes, tools and bottles", source=PRACTICE
    )
    drafting_share: Spread = spread(
        0.30, 0.20, 0.0, 0.9, "of the ride", meaning="share of the ride behind others", source=PRACTICE
    )
    descending: Spread = spread(
        0.0, 1.0, -4.0, 4.0, "standard deviations",
        meaning="boldness downhill: the lowest quarter is cautious, the highest practised", source=PRACTICE,
    )  # fmt: skip
    sweat_factor: Spread = spread(
        1.0, 0.20, 0.3, 2.5, "",
        meaning="how much riders sweat beside what the heat balance says of them",
        source="Le14: riders differ by 11 to 25 %",
    )  # fmt: skip
    drinking_share: Spread = spread(
        0.75, 0.25, 0.1, 1.8, "of the sweat",
        meaning="how much of their sweat riders mean to drink",
        source="0.8 is what plans drink (demand/fluid.py); riders' spread is common practice (no source)",
    )  # fmt: skip
    carbohydrate_g_per_h: Spread = spread(
        45.0, 15.0, 0.0, 120.0, "g/h",
        meaning="what riders mean to eat", source="J14: 30 to 60 for rides of one to two and a half hours",
    )  # fmt: skip
    bottles_ml: Spread = spread(
        1250.0, 250.0, 300.0, 3000.0, "ml", meaning="what their bottles hold", source=PRACTICE
    )
    bottles_full: Spread = spread(
        0.9, 0.15, 0.0, 1.0, "", meaning="how full they are at the start", source=PRACTICE
    )
    food_g: Spread = spread(
        110.0, 50.0, 0.0, 500.0, "g", meaning="carbohydrate in the pockets at the start", source=PRACTICE
    )
    caution_share: Spread = spread(
        0.25, 0.25, 0.0, 2.0, "",
        meaning="refill where less is left than needed to the next feed and so much more", source=PRACTICE,
    )  # fmt: skip
    halting_min_per_h: Spread = spread(
        2.0, 1.0, 0.0, 20.0, "min in an hour",
        meaning="minutes stood about that nobody planned, feeds apart",
        source="a third of the median of eleven recorded rides",
    )  # fmt: skip


FIELD_NAMES = tuple(each.name for each in fields(Field))


@dataclass(frozen=True, slots=True)
class Correlation:
    """Two quantities of the field that go together; ``value`` is for their normal scores."""

    first: str = one_of("body_mass_kg", FIELD_NAMES, meaning="a quantity of the field")
    second: str = one_of("ftp_w_per_kg", FIELD_NAMES, meaning="another quantity of the field")
    value: float = ranged(0.0, -1.0, 1.0, "", meaning="their correlation")

    def __post_init__(self) -> None:
        check_fields(self)
        if self.first == self.second:
            raise SettingsError(
                f"first and second are both {self.first!r}; a correlation is between two quantities;"
                " change one"
            )


USUAL_CORRELATIONS = (
    Correlation("body_mass_kg", "height_m", 0.6),
    Correlation("body_mass_kg", "ftp_w_per_kg", -0.35),
    Correlation("body_mass_kg", "cda_m2", 0.5),
    Correlation("ftp_w_per_kg", "effort_flat", 0.3),
    Correlation("ftp_w_per_kg", "descending", 0.3),
    Correlation("ftp_w_per_kg", "drafting_share", 0.3),
    Correlation("ftp_w_per_kg", "carbohydrate_g_per_h", 0.3),
    Correlation("ftp_w_per_kg", "halting_min_per_h", -0.3),
)
"""What goes together where the file says nothing: common practice (no source)."""


NEAREST_NONE = -1e-9
"""A smallest eigenvalue below this is no rounding."""

NUGGET = 1e-9
"""So much of a correlation is taken as chance, that quantities may go together entirely."""


def with_usual(own: tuple[Correlation, ...]) -> tuple[Correlation, ...]:
    """Return an organiser's correlations beside the usual ones of other pairs."""
    said = {frozenset((each.first, each.second)) for each in own}
    return (*own, *(each for each in USUAL_CORRELATIONS if frozenset((each.first, each.second)) not in said))


def mixing_matrix(correlations: tuple[Correlation, ...]) -> FloatArray:
    """Return how normal scores are mixed so that they correlate, lower triangle of shape (k, k).

    Raises
    ------
    SettingsError
        If no quantities can go together like that.
    """
    matrix = np.eye(len(FIELD_NAMES))
    for each in correlations:
        first, second = FIELD_NAMES.index(each.first), FIELD_NAMES.index(each.second)
        matrix[first, second] = matrix[second, first] = each.value
    values, vectors = np.linalg.eigh(matrix)
    if values[0] < NEAREST_NONE:
        heaviest = np.argsort(-np.abs(vectors[:, 0]))[:3]
        names = ", ".join(FIELD_NAMES[place] for place in sorted(heaviest.tolist()))
        raise SettingsError(
            f"[[correlation]]: these cannot hold together, least eigenvalue {values[0]:.2g}, allowed is 0 and"
            f" more; two that go with a third also go with each other; weaken those of {names}"
        )
    return np.asarray(np.linalg.cholesky((1.0 - NUGGET) * matrix + NUGGET * np.eye(len(FIELD_NAMES))))
