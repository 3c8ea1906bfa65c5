"""Glucose and fructose in a mix."""

GLUCOSE_TO_FRUCTOSE = (2.0, 1.0)  # the common mix; 1:0.8 does at least as well [Ro15]_


def split_mix(carbohydrate_g: float, ratio: tuple[float, float] = GLUCOSE_TO_FRUCTOSE) -> tuple[float, float]:
    """Return how much of a mix is glucose and how much fructose [g]."""
    glucose, fructose = ratio
    return carbohydrate_g * glucose / (glucose + fructose), carbohydrate_g * fructose / (glucose + fructose)
