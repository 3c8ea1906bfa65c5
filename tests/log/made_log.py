"""Made rides as the log keeps them: every value depends on the number alone."""

from datetime import UTC, datetime, timedelta

from terrain_fuel.log.model import Eaten, LoggedRide, RidePlace

FIRST = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)


def made_ride(number: int) -> LoggedRide:
    """Return a ride of three hours and a bit, with products and a road."""
    moving_s = 10_800.0 + 60.0 * (number % 50)
    warmth = 8.0 + (7 * number) % 23
    return LoggedRide(
        number=0,
        digest=f"{number:064x}",
        source=f"ride-{number}.fit",
        name=f"Ride number {number}",
        start=FIRST + timedelta(days=number),
        format="FIT",
        distance_m=8.0 * moving_s,
        ascent_m=900.0,
        elapsed_s=moving_s + 600.0,
        moving_s=moving_s,
        halts_s=600.0,
        purpose="race" if number % 9 == 8 else "training",
        temperature_c=warmth,
        power_w=150.0 + number % 20,
        heart_bpm=140.0,
        ftp_w=220.0,
        effort=(150.0 + number % 20) / 220.0,
        wanted_g_per_h=60.0,
        eaten_g_per_h=40.0 + number % 25,
        drunk_ml_per_h=400.0,
        limit_g_per_h=75.0,
        intake_known=True,
        sweat_ml_per_h=500.0 + 20.0 * warmth,
        sweat_sd_ml_per_h=40.0,
        modelled_sweat_ml_per_h=450.0 + 18.0 * warmth,
        planned_s=moving_s,
        by_settings_s=1.04 * moving_s,
        drag_m2=0.32,
        drag_sd=0.06,
        level=1.05,
        time_per_drag=0.2,
        time_per_level=-0.4,
        cda_m2=0.35,
        descending_habit="steady",
        stomach=float(4 + number % 6),
        legs=6.0,
        thirst=3.0,
        hard_at="",
        notes="",
        bedtime="22:30",
        eaten=(
            Eaten("oat square", "solid", 3.0, 44.1, 0.0, 2.5, ready=False),
            Eaten("drink mix", "drink_mix", 12.0, 60.0, 900.0, 3.0, ready=False),
        ),
        places=tuple(RidePlace(500.0 * i, 60.0 * i, 46.0 + i / 250.0, 7.0) for i in range(40)),
    )
