"""Where a hand can leave the bars: the value that `score_hands` returns."""

from dataclasses import dataclass

import numpy as np

from terrain_fuel.flags.model import Caution
from terrain_fuel.frozen import BoolArray, FloatArray, freeze_columns


@dataclass(frozen=True, slots=True, eq=False)
class Hands:
    """How free the hands are at every node of the profile; columns have shape (n,).

    It is a model of the road alone: it sees no traffic and no surface.

    Parameters
    ----------
    score : 0 (both hands on the bars) to 1 (straight, gentle, slow)
    veto : True where no eat or sip may stand: inside a safety flag, and 200 m or 20 s before
        one, whichever is longer
    cautions : everything to mind along the ride, in road order, as `find_cautions` returns it
    """

    score: FloatArray
    veto: BoolArray
    cautions: tuple[Caution, ...] = ()

    def __post_init__(self) -> None:
        freeze_columns(self, {"score": np.float64, "veto": np.bool_})
