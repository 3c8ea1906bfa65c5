"""What a recording says about its rider: power, drag, halts, and how well that fits a part held out."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.calibrate.fitting import block_times, fit_ride, ride_fitted
from terrain_fuel.calibrate.power import BestEfforts, best_efforts
from terrain_fuel.calibrate.recording import Recording, read_recording
from terrain_fuel.calibrate.words import NO_FTP, hours_minutes, settings_lines
from terrain_fuel.day import Day
from terrain_fuel.frozen import FloatArray
from terrain_fuel.pace.effort import intended_power
from terrain_fuel.pace.spans import span_grade
from terrain_fuel.rider import Rider
from terrain_fuel.track import Track


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a recording says about its rider.

    ``flat_w`` and ``climb_w`` are the power on the flat and uphill [W], ``wind_m_s`` and
    ``wind_from_deg`` the wind that fits, ``halted_s`` the time nobody rode. ``told_ftp_w`` is the FTP
    the rider named, ``best`` the best efforts where power was measured: without either there is no
    FTP. ``held_out_error`` is how much longer (positive) or shorter the second half takes when fitted
    on the first half only, ``block_error`` the root mean square of the same for each half kilometre:
    shares of the time.
    """

    cda_m2: float
    flat_w: float
    climb_w: float
    wind_m_s: float
    wind_from_deg: float
    distance_m: float
    moving_time_s: float
    halted_s: float
    held_out_s: float
    held_out_error: float
    block_error: float
    told_ftp_w: float | None
    best: BestEfforts | None

    @property
    def moving_speed_m_s(self) -> float:
        """Mean speed while moving [m/s]."""
        return self.distance_m / self.moving_time_s

    @property
    def halting_min_per_h(self) -> float:
        """Minutes of halts in an hour in the saddle, as the rider's settings want it."""
        return min(60.0 * self.halted_s / self.moving_time_s, 60.0)

    @property
    def ftp_w(self) -> float | None:
        """The FTP told, or else the least that measured power shows [W]; None if nothing says it."""
        if self.told_ftp_w is not None or self.best is None:
            return self.told_ftp_w
        return self.best.ftp_at_least_w

    @property
    def sentence(self) -> str:
        """What was found, how well it fits and what it says of FTP, in plain sentences."""
        fitted = "drag and wind, with the measured power," if self.best else "power, drag and wind"
        off_pct, way = 100 * abs(self.held_out_error), "slower" if self.held_out_error > 0 else "faster"
        return (
            f"You moved at {3.6 * self.moving_speed_m_s:.1f} km/h, which takes about {self.flat_w:.0f} W"
            f" on the flat and {self.climb_w:.0f} W uphill with a drag area of {self.cda_m2:.2f} m2 and a"
            f" wind of {self.wind_m_s:.1f} m/s from {self.wind_from_deg:.0f} degrees; halts took"
            f" {hours_minutes(self.halted_s)}. With {fitted} fitted on the first half only, the second half"
            f" comes out {off_pct:.1f} % {way} than the {hours_minutes(self.held_out_s)} recorded; a half"
            f" kilometre is off by {100 * self.block_error:.0f} %. {self._of_ftp}"
        )

    @property
    def _of_ftp(self) -> str:
        if self.best is None or self.best.ftp_at_least_w is None:
            if self.told_ftp_w is None:
                return NO_FTP
            return f"The efforts below are shares of your FTP of {self.told_ftp_w:.0f} W."
        hour = f" and {self.best.hour_w:.0f} W for an hour" if self.best.hour_w else ""
        shown = (
            f"Your best was {self.best.twenty_min_w:.0f} W for 20 min{hour}: your FTP is at least"
            f" {self.best.ftp_at_least_w:.0f} W, more if you could have gone harder"
        )
        if self.told_ftp_w is None:
            return f"{shown}. The efforts below are shares of that."
        low = " The FTP you gave is lower than that." if self.told_ftp_w < self.best.ftp_at_least_w else ""
        return f"{shown}.{low} The efforts below are shares of your {self.told_ftp_w:.0f} W."

    @property
    def settings_lines(self) -> tuple[str, ...]:
        """Lines for the settings files; FTP only with the efforts that go with it."""
        return settings_lines(
            self.ftp_w,
            self.flat_w,
            self.climb_w,
            ("[bike]", f"cda_m2 = {self.cda_m2:.3f}"),
            ("[habits]", f"halting_min_per_h = {self.halting_min_per_h:.1f}"),
        )


def calibrate_ride(track: Track, rider: Rider, day: Day, ftp_w: float | None = None) -> Calibration:
    """Return steady power, drag and halts behind a recording.

    Parameters
    ----------
    track : a recording with ``time_s``; its ``power_w``, if any, is used instead of fitting power
    rider : mass, bicycle and habit downhill; ``ftp_w`` and ``cda_m2`` are where the fit begins
    day : the weather of the ride as far as it is known, and where the fit begins: climbs against flats
    ftp_w : the rider's FTP, if known [W]

    Raises
    ------
    TrackError
        If the recording has no times, is too short to say anything, or is no road ride.

    Notes
    -----
    Power decides the climbs, power and drag the flats, drag the descents, and wind what differs
    between one direction and the other; mass, and shelter in a group (``drafting_share``), must be
    given. No FTP follows from speed: an easy ride of a strong rider and a hard one of a weak rider
    look the same.
    """
    recording = read_recording(track, rider, day)
    length_m = recording.terrain.length_m
    first, second, whole = (0.0, length_m / 2), (length_m / 2, length_m), (0.0, length_m)
    ridden_half = ride_fitted(recording, fit_ride(recording, rider, day, first))
    fit = fit_ride(recording, rider, day, whole)
    held_out = block_times(ridden_half.moving_s, recording, second)
    recorded = block_times(recording.moving_s, recording, second)
    if recording.pedal_w is None:
        flat_w, climb_w = fit.rider.ftp_w * fit.day.effort_flat, fit.rider.ftp_w * fit.day.effort_climb
    else:
        flat_w, climb_w = measured_efforts_w(recording, recording.pedal_w, rider, day)
    return Calibration(
        cda_m2=fit.rider.bike.cda_m2,
        flat_w=flat_w,
        climb_w=climb_w,
        wind_m_s=fit.day.wind_m_s,
        wind_from_deg=fit.day.wind_from_deg,
        distance_m=length_m,
        moving_time_s=float(recording.moving_s[-1]),
        halted_s=recording.halted_s,
        held_out_s=float(recorded.sum()),
        held_out_error=float(held_out.sum() / recorded.sum() - 1.0),
        block_error=float(np.sqrt(np.mean((held_out / recorded - 1.0) ** 2))),
        told_ftp_w=ftp_w,
        best=best_efforts(track),
    )


def measured_efforts_w(
    recording: Recording, pedal_w: FloatArray, rider: Rider, day: Day
) -> tuple[float, float]:
    """Return the power on the flat and uphill that comes nearest to a measured one [W].

    Notes
    -----
    What a rider means to give is a sum of the two efforts, each with its own weight on every span;
    where the ride has none of one kind, both are the mean power of the other.
    """
    grade = span_grade(recording.terrain.profile)
    low, high = 0.2, 1.0
    flatter, steeper = (
        intended_power(recording.terrain, grade, rider, replace(day, effort_flat=flat, effort_climb=climb))
        for flat, climb in ((high, low), (low, high))
    )
    scale = rider.ftp_w * (high**2 - low**2)
    weights = np.column_stack(
        ((high * flatter - low * steeper) / scale, (high * steeper - low * flatter) / scale)
    )
    spent = np.sqrt(np.diff(recording.moving_s))
    share = np.square(weights * spent[:, None]).sum(axis=0)
    found = np.linalg.lstsq(weights * spent[:, None], pedal_w * spent, rcond=None)[0]
    if share.min() < 1e-3 * max(share.max(), 1e-9):
        found[:] = found[share.argmax()]
    return float(max(found[0], 0.0)), float(max(found[1], 0.0))
