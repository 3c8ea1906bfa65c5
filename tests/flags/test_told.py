"""Bends one soon after the other are one caution, and none of the flags loses a metre."""

from pathlib import Path

import pytest

from terrain_fuel.flags.told import told_cautions
from terrain_fuel.plan import Plan
from tests.judge.battery import planned
from tests.judge.days import make_day


@pytest.fixture(scope="module")
def hairpins(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    """Two ramps of 9 %, down again by 37 hairpins."""
    folder: Path = tmp_path_factory.mktemp("hairpins")
    return planned(make_day("practice", 30).write(folder))


def test_hairpins_are_joined_with_their_length(hairpins: Plan) -> None:
    found = [flag for flag in hairpins.hands.cautions if flag.kind == "technical_descent"]
    told = [flag for flag in hairpins.cautions if flag.kind == "technical_descent"]
    assert len(found) == 37
    assert len(told) <= 6
    assert sum(int(str(flag.note.values["count"])) for flag in told) == 37
    for flag in told:
        assert flag.note.values["length_m"] == pytest.approx(flag.end_m - flag.start_m)


def test_every_flag_is_inside_one_that_is_told(hairpins: Plan) -> None:
    for flag in hairpins.hands.cautions:
        assert any(
            told.hands_on and told.start_m <= flag.start_m and flag.end_m <= told.end_m
            for told in hairpins.cautions
        )


def test_nothing_is_taken_inside_what_is_told(hairpins: Plan) -> None:
    for point in hairpins.fuel_points:
        assert not any(told.start_m < point.distance_m < told.end_m for told in hairpins.cautions)


def test_bends_apart_stay_apart_and_so_do_those_with_a_sip_between(hairpins: Plan) -> None:
    flags = hairpins.hands.cautions
    first, second = flags[0], flags[1]
    assert len(told_cautions((first, second), (), hairpins.pace)) == 1
    far = next(flag for flag in flags if flag.start_m > first.end_m + 3_000.0)
    assert told_cautions((first, far), (), hairpins.pace) == (first, far)
    between_m = 0.5 * (first.end_m + second.start_m)
    assert told_cautions((first, second), (between_m,), hairpins.pace) == (first, second)
