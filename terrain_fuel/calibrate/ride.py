"""What a recording says about its rider: power, drag, halts, and how well that fits a part held out."""

from dataclasses import dataclass, replace

import numpy as np

from terrain_fuel.calibrate.fitting import block_times, fit_ride, ride_fitted
from terrain_fuel.calibrate.lines import settings_lines
from terrain_fuel.calibrate.power import BestEfforts, best_efforts
from terrain_fuel.calibrate.recording import Recording, read_recording
from terrain_fuel.day import Day
from terrain_fuel.facts import NOTHING, Fact, fact
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
    def sentence(self) -> Fact:
        """What was found, how well it fits and what it says of FTP."""
        return fact(
            "calibrated_by_ride",
            speed_m_s=self.moving_speed_m_s,
            flat_w=self.flat_w,
            climb_w=self.climb_w,
            drag_m2=self.cda_m2,
            wind_m_s=self.wind_m_s,
            wind_from_deg=self.wind_from_deg,
            halted_s=self.halted_s,
            fitted=fact("fitted_drag") if self.best else fact("fitted_power_and_drag"),
            off_share=abs(self.held_out_error),
            way=fact("slower") if self.held_out_error > 0 else fact("faster"),
            held_out_s=self.held_out_s,
            block_share=self.block_error,
            of_ftp=self._of_ftp,
        )

    @property
    def _of_ftp(self) -> Fact:
        told_w, best = self.told_ftp_w, self.best
        least_w = best.ftp_at_least_w if best else None
        if best is None or best.twenty_min_w is None or least_w is None:
            return fact("no_ftp") if told_w is None else fact("efforts_of_told", ftp_w=told_w)
        if told_w is None:
            shares = fact("efforts_of_shown")
        else:
            shares = fact("efforts_of_low" if told_w < least_w else "efforts_of_told", ftp_w=told_w)
        hour = fact("and_hour", hour_w=best.hour_w) if best.hour_w else NOTHING
        return fact("ftp_shown", twenty_min_w=best.twenty_min_w, hour=hour, ftp_w=least_w, shares=shares)

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
    recording = read_recording(track)
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
