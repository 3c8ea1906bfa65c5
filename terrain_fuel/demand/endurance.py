"""How hard can be ridden for how long."""

RESERVE_S = 100.0
"""Work above critical power, as seconds of it: about 20 kJ at 200 W [MS65]_ (from memory)."""

FADE = 0.06
"""Beyond the hour what lasts falls with this power of the time, as records do [Ri81]_ (from memory)."""

FADE_TO_H, LONG_FADE = 8.0, 0.15
"""From here on it falls faster, to three quarters of FTP in a day and a night: records of many hours are of
more than one effort (common practice, no source)."""


def effort_allowed(hours: float) -> float:
    """Return the mean effort that a fresh rider holds so long, as a fraction of FTP.

    Notes
    -----
    Up to an hour ``1 + R (1 / t - 1 / 3600)``, critical power with a reserve of ``R`` seconds [MS65]_; FTP is
    what lasts an hour. Beyond it ``h^-0.06`` [Ri81]_, from eight hours on ``8^-0.06 (h / 8)^-0.15``.
    """
    if hours <= 0.0:
        return float("inf")
    if hours >= 1.0:
        return float(min(hours, FADE_TO_H) ** -FADE * max(1.0, hours / FADE_TO_H) ** -LONG_FADE)
    return 1.0 + RESERVE_S * (1.0 / (3600.0 * hours) - 1.0 / 3600.0)
