"""How a rider takes descents: one row a habit, read by the pace, the flags and the hands."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Descending:
    """What a rider does going down.

    Parameters
    ----------
    lean_g : sideways acceleration in bends, in units of g
    braking_g : even slowing before bends, in units of g
    top_m_s : the speed the rider lets the bicycle reach [m/s]
    steep_from : grade, negative, from which on a descent may be technical
    speed_ratio : how much faster than a bend allows the bicycle would roll into it, for a bend to count
    bends_per_km : how many of those a kilometre, one after the other, make a descent technical
    one_hand_grades : rising grades downhill at which one hand has the freedom of ``one_hand_freedom``,
        which is 0 below the first and 1 above the last; steeper than the first no hand leaves the bars
    one_hand_freedom : shares, 0 to 1
    one_hand_top_km_h : the highest speed with one hand on the bars [km/h]
    """

    lean_g: float
    braking_g: float
    top_m_s: float
    steep_from: float
    speed_ratio: float
    bends_per_km: float
    one_hand_grades: tuple[float, float, float]
    one_hand_freedom: tuple[float, float, float]
    one_hand_top_km_h: float


# Lean and braking stay far inside what tyres hold, about 1 g dry [Br]_; their steps are common practice
# (no source). What makes a descent technical is from memory; the steady rider's values were tried on
# roads of known bends. Eating on a descent is for those who practise it: common practice (no source),
# the numbers from memory.
DESCENDING: dict[str, Descending] = {
    "cautious": Descending(
        lean_g=0.20, braking_g=0.12, top_m_s=45.0 / 3.6,
        steep_from=-0.03, speed_ratio=1.15, bends_per_km=1.5,
        one_hand_grades=(-0.045, -0.010, 0.0), one_hand_freedom=(0.0, 0.3, 1.0), one_hand_top_km_h=38.0,
    ),
    "steady": Descending(
        lean_g=0.25, braking_g=0.15, top_m_s=55.0 / 3.6,
        steep_from=-0.04, speed_ratio=1.3, bends_per_km=2.0,
        one_hand_grades=(-0.050, -0.030, -0.010), one_hand_freedom=(0.0, 0.3, 1.0), one_hand_top_km_h=44.0,
    ),
    "practised": Descending(
        lean_g=0.30, braking_g=0.20, top_m_s=65.0 / 3.6,
        steep_from=-0.05, speed_ratio=1.5, bends_per_km=2.5,
        one_hand_grades=(-0.060, -0.050, -0.020), one_hand_freedom=(0.0, 0.3, 1.0), one_hand_top_km_h=50.0,
    ),
}  # fmt: skip
