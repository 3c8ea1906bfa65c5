"""Figures in the words of a calibration."""


def hours_minutes(seconds: float) -> str:
    """Return a time as a rider says it: "47 min" or "1 h 05 min"."""
    hours, minutes = divmod(round(seconds / 60.0), 60)
    return f"{hours} h {minutes:02d} min" if hours else f"{minutes} min"


def settings_lines(ftp_w: float, cda_m2: float) -> tuple[str, ...]:
    """Return lines for the rider's settings file."""
    return ("[rider]", f"ftp_w = {ftp_w:.0f}", "", "[bike]", f"cda_m2 = {cda_m2:.3f}")
