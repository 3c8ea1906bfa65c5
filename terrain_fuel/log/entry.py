"""A review as the log keeps it."""

import numpy as np

from terrain_fuel.day import Day
from terrain_fuel.log.model import Eaten, LoggedRide, RidePlace
from terrain_fuel.review.look_back import ridden_day
from terrain_fuel.review.model import Review
from terrain_fuel.review.planned import Planned
from terrain_fuel.rider import Rider
from terrain_fuel.terrain.model import Terrain

PLACE_EVERY_M = 100.0
"""The ridden road is kept so finely [m]."""


def entry_of(review: Review, rider: Rider, day: Day, planned: Planned | None) -> LoggedRide:
    """Return what the log keeps of a ride.

    Parameters
    ----------
    review : the ride
    rider, day : the settings it was reviewed with
    planned : the plan it was ridden by, or None
    """
    ride, habits, weighed, feeling = review.ride, review.habits, review.weighed, review.feeling
    hours = max(ride.elapsed_s, 1.0) / 3600.0
    known = feeling is not None and bool(review.products)
    planned_halts_s = sum(halt.lasts_s for halt in review.halts if halt.kind == "planned")
    wanted = sum(hour.wanted_g for hour in review.hours)
    lasted = sum(hour.lasts_s for hour in review.hours) / 3600.0
    return LoggedRide(
        number=0,
        digest=ride.digest,
        source=ride.source,
        name=review.plan_name or ride.name,
        start=ride.start if planned is None else ride.start.astimezone(planned.day.start.tzinfo),
        format=ride.format,
        distance_m=ride.distance_m,
        ascent_m=ride.ascent_m,
        elapsed_s=ride.elapsed_s,
        moving_s=ride.moving_s,
        halts_s=max(ride.elapsed_s - ride.moving_s - planned_halts_s, 0.0),
        purpose=day.purpose,
        temperature_c=ride.temperature_c if planned is None else ridden_day(day, ride).temperature_c,
        power_w=ride.power_w,
        heart_bpm=ride.heart_bpm,
        ftp_w=rider.ftp_w,
        effort=None if ride.power_w is None else ride.power_w / rider.ftp_w,
        wanted_g_per_h=wanted / lasted if lasted else None,
        eaten_g_per_h=sum(each.carbohydrate_g for each in review.products) / hours if known else None,
        drunk_ml_per_h=sum(each.fluid_ml for each in review.products) / hours if known else None,
        limit_g_per_h=rider.gut_limit_g_per_h,
        intake_known=known,
        sweat_ml_per_h=weighed.rate_ml_per_h if weighed else None,
        sweat_sd_ml_per_h=weighed.sd_ml_per_h if weighed else None,
        modelled_sweat_ml_per_h=weighed.modelled_ml_per_h or None if weighed else None,
        planned_s=float(planned.time_s[-1]) if planned is not None else None,
        by_settings_s=habits.by_settings_s if habits else None,
        drag_m2=habits.drag_m2 if habits else None,
        drag_sd=habits.drag_sd if habits else None,
        level=habits.level if habits else None,
        time_per_drag=habits.time_per_drag if habits else None,
        time_per_level=habits.time_per_level if habits else None,
        cda_m2=rider.bike.cda_m2,
        descending_habit=habits.descending if habits else "",
        stomach=feeling.stomach if feeling else None,
        legs=feeling.legs if feeling else None,
        thirst=feeling.thirst if feeling else None,
        hard_at=feeling.hard_at if feeling else "",
        notes="; ".join(feeling.lines) if feeling else "",
        bedtime=feeling.bedtime if feeling else "",
        eaten=tuple(
            Eaten(
                each.item,
                each.kind,
                each.portions,
                each.carbohydrate_g,
                each.fluid_ml,
                each.hours,
                each.ready,
            )
            for each in review.products
            if known
        ),
        places=_places(review.terrain) if review.terrain is not None else (),
    )


def _places(terrain: Terrain) -> tuple[RidePlace, ...]:
    track = terrain.track
    assert track.time_s is not None
    at_m = np.arange(0.0, track.length_m + PLACE_EVERY_M, PLACE_EVERY_M).clip(max=track.length_m)
    columns = (np.interp(at_m, track.distance_m, of) for of in (track.time_s, track.lat_deg, track.lon_deg))
    clock_s, lat, lon = (column.tolist() for column in columns)
    rows = zip(at_m.tolist(), clock_s, lat, lon, strict=True)
    return tuple(RidePlace(m, s, round(north, 6), round(east, 6)) for m, s, north, east in rows)
