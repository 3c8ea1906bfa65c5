"""What a calibration puts into the settings files."""

from terrain_fuel.errors import SettingsError

LEAST_EFFORT, MOST_EFFORT = 0.2, 1.2
"""What the day's efforts may be, as shares of FTP."""


def effort_lines(ftp_w: float, flat_w: float, climb_w: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the lines of FTP for rider.toml and those of the efforts that go with it for day.toml.

    Raises
    ------
    SettingsError
        If an effort is no share of FTP that a day may have.
    """
    for where, watts in (("on the flat", flat_w), ("uphill", climb_w)):
        if not LEAST_EFFORT <= watts / ftp_w <= MOST_EFFORT:
            raise SettingsError(
                f"calibrate: the ride takes {watts:.0f} W {where}, {watts / ftp_w:.2f} of an FTP of"
                f" {ftp_w:.0f} W; allowed is {LEAST_EFFORT:g} to {MOST_EFFORT:g} of it; correct the FTP, the"
                " mass, or what is said of shelter and wind"
            )
    whole_w = round(ftp_w)
    return (
        ("[rider]", f"ftp_w = {whole_w}"),
        ("[day]", f"effort_flat = {flat_w / whole_w:.2f}", f"effort_climb = {climb_w / whole_w:.2f}"),
    )


def settings_lines(
    ftp_w: float | None, flat_w: float, climb_w: float, *of_rider: tuple[str, ...]
) -> tuple[str, ...]:
    """Return lines for the rider's and the day's settings file; FTP never without its efforts.

    Parameters
    ----------
    ftp_w : FTP [W], or None if nobody knows it: then neither FTP nor efforts are among the lines
    flat_w, climb_w : power on the flat and uphill [W]
    of_rider : further tables of the rider's file
    """
    of_day: tuple[str, ...] = ()
    if ftp_w is not None:
        of_ftp, of_day = effort_lines(ftp_w, flat_w, climb_w)
        of_rider = (of_ftp, *of_rider)
    rider = [line for table in of_rider for line in (*table, "")]
    lines = (["# rider.toml", *rider] if rider else []) + (["# day.toml", *of_day] if of_day else [])
    return tuple(lines)
