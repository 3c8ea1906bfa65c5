"""The database's tables, and the steps from each version of them to the next."""

APPLICATION_ID = 0x74466C67
"""Stands in the file's head, so that no other database is taken for a log."""

RIDE_COLUMNS = (
    ("digest", "TEXT NOT NULL UNIQUE"),
    ("source", "TEXT NOT NULL"),
    ("name", "TEXT NOT NULL"),
    ("start", "TEXT NOT NULL"),
    ("format", "TEXT NOT NULL"),
    ("distance_m", "REAL NOT NULL"),
    ("ascent_m", "REAL NOT NULL"),
    ("elapsed_s", "REAL NOT NULL"),
    ("moving_s", "REAL NOT NULL"),
    ("halts_s", "REAL NOT NULL"),
    ("purpose", "TEXT NOT NULL CHECK (purpose IN ('training', 'race'))"),
    ("temperature_c", "REAL"),
    ("power_w", "REAL"),
    ("heart_bpm", "REAL"),
    ("ftp_w", "REAL NOT NULL"),
    ("effort", "REAL"),
    ("wanted_g_per_h", "REAL"),
    ("eaten_g_per_h", "REAL"),
    ("drunk_ml_per_h", "REAL"),
    ("limit_g_per_h", "REAL NOT NULL"),
    ("intake_known", "INTEGER NOT NULL CHECK (intake_known IN (0, 1))"),
    ("sweat_ml_per_h", "REAL"),
    ("sweat_sd_ml_per_h", "REAL"),
    ("modelled_sweat_ml_per_h", "REAL"),
    ("planned_s", "REAL"),
    ("by_settings_s", "REAL"),
    ("drag_m2", "REAL"),
    ("drag_sd", "REAL"),
    ("level", "REAL"),
    ("time_per_drag", "REAL"),
    ("time_per_level", "REAL"),
    ("cda_m2", "REAL NOT NULL"),
    ("descending_habit", "TEXT NOT NULL"),
    ("stomach", "REAL CHECK (stomach BETWEEN 0 AND 10)"),
    ("legs", "REAL CHECK (legs BETWEEN 0 AND 10)"),
    ("thirst", "REAL CHECK (thirst BETWEEN 0 AND 10)"),
    ("hard_at", "TEXT NOT NULL"),
    ("notes", "TEXT NOT NULL"),
    ("bedtime", "TEXT NOT NULL"),
)

EATEN_COLUMNS = (
    ("item", "TEXT NOT NULL"),
    ("kind", "TEXT NOT NULL"),
    ("portions", "REAL NOT NULL"),
    ("carbohydrate_g", "REAL NOT NULL"),
    ("fluid_ml", "REAL NOT NULL"),
    ("hours", "REAL NOT NULL"),
    ("ready", "INTEGER NOT NULL CHECK (ready IN (0, 1))"),
)

PLACE_COLUMNS = (
    ("ridden_m", "REAL NOT NULL"),
    ("clock_s", "REAL NOT NULL"),
    ("lat_deg", "REAL NOT NULL"),
    ("lon_deg", "REAL NOT NULL"),
)

_OF_RIDE = "ride INTEGER NOT NULL REFERENCES ride (number) ON DELETE CASCADE"


def _table(name: str, *columns: str) -> str:
    return f"CREATE TABLE {name} ({', '.join(columns)}) STRICT"


def _listed(columns: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    return tuple(f"{name} {kind}" for name, kind in columns)


STEPS: tuple[tuple[str, ...], ...] = (
    (
        _table("ride", "number INTEGER PRIMARY KEY", *_listed(RIDE_COLUMNS)),
        _table("eaten", _OF_RIDE, *_listed(EATEN_COLUMNS)),
        _table("place", _OF_RIDE, *_listed(PLACE_COLUMNS)),
        "CREATE INDEX ride_start ON ride (start)",
        "CREATE INDEX eaten_ride ON eaten (ride)",
        "CREATE INDEX place_ride ON place (ride)",
    ),
)
"""What makes version 1 of an empty file, version 2 of version 1, and so on."""
