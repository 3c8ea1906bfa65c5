"""Where a hand can leave the bars: a score and a veto along the road."""

from terrain_fuel.hands.model import Hands

__all__ = ["Hands"]
