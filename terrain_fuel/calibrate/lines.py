"""What a calibration puts into the rider's settings file."""


def settings_lines(ftp_w: float, cda_m2: float) -> tuple[str, ...]:
    """Return lines for the rider's settings file."""
    return ("[rider]", f"ftp_w = {ftp_w:.0f}", "", "[bike]", f"cda_m2 = {cda_m2:.3f}")
