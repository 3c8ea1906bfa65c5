"""Glucose and fructose in a mix, and how much of what is eaten is burned during the ride."""

GLUCOSE_TO_FRUCTOSE = (2.0, 1.0)  # the common mix; 1:0.8 does at least as well [Ro15]_ (from memory)
OXIDISED_SHARE = 0.71  # of a gel's 108 g/h, 2:1, over three hours [Pf10a]_


def split_mix(carbohydrate_g: float, ratio: tuple[float, float] = GLUCOSE_TO_FRUCTOSE) -> tuple[float, float]:
    """Return how much of a mix is glucose and how much fructose [g]."""
    glucose, fructose = ratio
    return carbohydrate_g * glucose / (glucose + fructose), carbohydrate_g * fructose / (glucose + fructose)


def feed_g(rate_g_per_h: float, every_min: float) -> float:
    """Return what one feed holds [g] for a rate [g/h] and an interval [min]."""
    return rate_g_per_h * every_min / 60.0


def oxidised_g_per_min(intake_g_per_h: float, share: float = OXIDISED_SHARE) -> float:
    """Return how much of the intake is burned [g/min], by the mean share of [Pf10a]_."""
    return intake_g_per_h / 60.0 * share
