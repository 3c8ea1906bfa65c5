"""The road as it is mapped: what an extract of the map holds along a route, read, tied and kept."""

from terrain_fuel.inputs.places.read import with_places

__all__ = ["with_places"]
