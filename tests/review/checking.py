"""One made ride reviewed by the door a rider uses, and every difference to what was true."""

from pathlib import Path

from terrain_fuel.day import Day
from terrain_fuel.inputs.after_file import read_after
from terrain_fuel.inputs.planned import read_planned
from terrain_fuel.inputs.recordings.read import read_recordings
from terrain_fuel.pantry import Pantry
from terrain_fuel.plan import Plan
from terrain_fuel.review.look_back import Settings, review_ride
from terrain_fuel.review.model import Review
from terrain_fuel.rider import Rider
from tests.recording_files import write_recording
from tests.review.made_ride import Truth, made_ride

SUFFIXES = (".fit", ".tcx", ".gpx")


def reviewed(plan: Plan, plan_file: Path, seed: int, folder: Path) -> tuple[Review, Truth]:
    """Return the review of a made ride and what was true of it."""
    points, truth = made_ride(plan, seed)
    recording = write_recording(points, folder / f"ride-{seed}{SUFFIXES[seed % 3]}")
    form = folder / f"after-{seed}.toml"
    form.write_text(after_text(plan, truth), encoding="utf-8")
    planned = read_planned(plan_file)
    after = read_after(form, planned.pantry)
    settings = Settings(Rider(), Pantry(), Day())
    return review_ride(read_recordings([recording]), settings, planned, after), truth


def after_text(plan: Plan, truth: Truth) -> str:
    """Return the form as the rider fills it in: bite by bite, and the bottle that is gone."""
    lines = ["[after]", "C1 = 8"]
    labels = {point.number: point.label for point in plan.fuel_points}
    for number, was in truth.left.items():
        lines += ["", "[[bite]]", f"number = {labels[number]}", f'was = "{was}"']
    if truth.lost is not None:
        names = [each.name for each in plan.pantry.containers]
        lines += [
            "",
            "[[lost]]",
            f'key = "B{names.index(truth.lost[0]) + 1}"',
            f"at_km = {truth.lost[1] / 1000:.3f}",
        ]
    return "\n".join(lines) + "\n"


def differences(plan: Plan, review: Review, truth: Truth) -> list[str]:
    """Return everything that was not found, found wrongly, or invented."""
    return [*_events(review, truth), *_halts(review, truth), *_points(plan, review, truth)]


def _events(review: Review, truth: Truth) -> list[str]:
    found = [
        (event.kind, event.end_m if event.kind == "started_late" else event.start_m)
        for event in review.events
    ]
    if [kind for kind, _ in found] != [kind for kind, _ in truth.events]:
        return [f"events {found} instead of {truth.events}"]
    pairs = zip(found, truth.events, strict=True)
    return [f"{mine} instead of {true}" for mine, true in pairs if abs(mine[1] - true[1]) > 120.0]


def _halts(review: Review, truth: Truth) -> list[str]:
    wrong = []
    halts = list(review.halts)
    for at, lasts_s in truth.halts:
        near = [halt for halt in halts if halt.planned_m is not None and abs(halt.planned_m - at) < 60.0]
        if not near or abs(near[0].lasts_s - lasts_s) > 10.0:
            wrong.append(f"halt {at:.0f} m {lasts_s:.0f} s: found {[(h.planned_m, h.lasts_s) for h in near]}")
        else:
            halts.remove(near[0])
    return wrong + [f"invented {halt}" for halt in halts]


def _points(plan: Plan, review: Review, truth: Truth) -> list[str]:
    wrong = []
    bottles = {point.number: point.container for point in plan.fuel_points}
    for point in review.points:
        if any(since <= point.distance_m <= until for since, until in truth.unclear):
            continue
        true_s = truth.arrivals_s.get(point.number)
        if (true_s is None) != (point.ridden_s is None):
            wrong.append(
                f"point {point.number} at {point.distance_m:.0f}: {point.ridden_s} instead of {true_s}"
            )
        elif true_s is not None and point.ridden_s is not None and abs(point.ridden_s - true_s) > 5.0:
            wrong.append(f"point {point.number}: {point.ridden_s - true_s:+.1f} s")
        if point.action == "eat":
            meant = "not_reached" if true_s is None else truth.left.get(point.number, "eaten")
            wrong += [f"bite {point.number} {point.was} instead of {meant}"] * (point.was != meant)
        if point.action == "sip" and true_s is not None and truth.lost is not None:
            gone = point.distance_m >= truth.lost[1] and bottles[point.number] == truth.lost[0]
            wrong += [f"sip {point.number} is {point.was}"] * ((point.was == "left") != gone)
    return wrong
