"""Where a hand can leave the bars: the value that `score_hands` returns."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray, FloatArray, freeze_columns


@dataclass(frozen=True, slots=True, eq=False)
class Hands:
    """How free the hands are at every node of the profile; columns have shape (n,).

    It is a model of the road alone: it sees no traffic, and of surface and crossings what a map says.

    Parameters
    ----------
    score : 0 (both hands on the bars) to 1 (straight, gentle, slow)
    veto : True where no eat or sip may stand: inside a safety flag or a leaned bend and on the
        way to one, and where it is steeper or faster than the rider does one-handed
    cautions : everything to mind along the ride, in road order, as `find_cautions` returns it
    shut_spans : the flags and leaned bends among what is vetoed, with the way to them [m]
    """

    score: FloatArray
    veto: BoolArray
    cautions: tuple[Caution, ...] = ()
    shut_spans: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        freeze_columns(self, {"score": np.float64, "veto": np.bool_})
