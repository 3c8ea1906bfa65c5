"""The road as a map has it, tied to the distance along it: plain frozen values, no map in sight."""

from terrain_fuel.mapped.model import Landmark, MappedPlace, MappedRoad, Section, Spot

__all__ = ["Landmark", "MappedPlace", "MappedRoad", "Section", "Spot"]
