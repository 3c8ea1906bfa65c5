"""Where a hand can leave the bars: a score and a veto along the road."""

from terrain_fuel.hands.model import Hands
from terrain_fuel.hands.score import score_hands

__all__ = ["Hands", "score_hands"]
