"""The ride for a calendar: the evening's kitchen with its list, and the ride itself."""

import hashlib
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from terrain_fuel.outputs.attribution import attribution
from terrain_fuel.outputs.rows import reasons_not_to_ride
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.outputs.writing import write_bytes
from terrain_fuel.plan import Plan, Preparation

LINE_BYTES = 75
"""A longer line is folded (section 3.1) [RFC5545]_."""

KITCHEN_HOUR = 19
"""When the evening before is spent on it, local time: common practice (no source)."""


def write_calendar(plan: Plan, path: Path) -> None:
    """Write the evening before and the ride as two events.

    Parameters
    ----------
    plan : the finished plan
    path : file to write, usually ``ride.ics``

    Raises
    ------
    OutputError
        If the file cannot be written.

    Notes
    -----
    Times are in UTC, so that no table of time zones is needed; texts are escaped and lines folded as
    sections 3.1 and 3.3.11 ask [RFC5545]_. An event keeps its identity when the same ride is planned
    again, so that a calendar replaces it.
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//terrain-fuel//plan//EN"]
    lines += [*_evening(plan, words_for(plan.rider)), *_ride(plan), "END:VCALENDAR"]
    write_bytes(Path(path), "".join(f"{_folded(line)}\r\n" for line in lines).encode())


def _evening(plan: Plan, words: Words) -> Iterator[str]:
    before = plan.day.start - timedelta(days=1)
    start = before.replace(hour=KITCHEN_HOUR, minute=0, second=0, microsecond=0)
    steps = [_step(step, words) for step in plan.preparation if step.when == "evening"]
    title = f"{words.label('sheet.evening.title')}: {plan.title}"
    yield from _event(plan, "evening", start, start + timedelta(minutes=30), title, "\n".join(steps))


def _step(step: Preparation, words: Words) -> str:
    """Return one thing to do, of what it is done to unless the sentence says that."""
    said = words.say(step.text)
    return said if "item" in step.text.values else f"{step.item}: {said}"


def _ride(plan: Plan) -> Iterator[str]:
    end = plan.day.at(plan.totals.elapsed_s)
    told = "; ".join(filter(None, (*reasons_not_to_ride(plan), attribution(plan))))
    yield from _event(plan, "ride", plan.day.start, end, plan.title, told)


def _event(plan: Plan, what: str, start: datetime, end: datetime, title: str, told: str) -> Iterator[str]:
    who = f"{plan.title} {plan.day.start:%Y-%m-%d} {what}"
    yield "BEGIN:VEVENT"
    yield f"UID:{hashlib.sha256(who.encode()).hexdigest()[:32]}@terrain-fuel"
    yield f"DTSTAMP:{_moment(plan.day.start)}"
    yield f"DTSTART:{_moment(start)}"
    yield f"DTEND:{_moment(end)}"
    yield f"SUMMARY:{_escaped(title)}"
    if told:
        yield f"DESCRIPTION:{_escaped(told)}"
    yield "END:VEVENT"


def _moment(moment: datetime) -> str:
    return f"{moment.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def _escaped(text: str) -> str:
    for sign, written in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        text = text.replace(sign, written)
    return text


def _folded(line: str) -> str:
    """Return a line in parts of 75 octets at most, none of which splits a letter."""
    parts, room = [""], LINE_BYTES
    for letter in line:
        size = len(letter.encode())
        if size > room:
            parts.append("")
            room = LINE_BYTES - 1
        parts[-1] += letter
        room -= size
    return "\r\n ".join(parts)
