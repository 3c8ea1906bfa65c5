"""The same plan ridden many times under bad luck."""

from terrain_fuel.simulate.ride import ride_many, with_luck

__all__ = ["ride_many", "with_luck"]
