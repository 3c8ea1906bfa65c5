"""The states a ride's settings have been in, and which of them holds: what undo and redo step through.

Beside the settings files a folder ``.steps`` keeps one file a state, with the text of every settings
file in it, and ``head.json``: the states in order, which of them holds, and whether the settings files
are known to show it. A change writes its state, then the head, then the settings files, then says in
the head that they are settled. Killed before the head is written, the change is missing; killed after,
whoever opens the ride next brings the settings files up to it. What a text editor changed meanwhile is
found and becomes a state of its own.
"""

import json
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.toml_tables import LARGEST_BYTES
from terrain_fuel.regular_file import read_regular
from terrain_fuel.rides.durable import (
    PART,
    held,
    make_folder,
    remove_durably,
    sweep_away,
    write_durably,
)
from terrain_fuel.rides.ride_folder import SETTINGS
from terrain_fuel.rides.texts import Texts, read_texts, text_bytes
from terrain_fuel.text import plain_text

FOLDER = ".steps"
HEAD = "head.json"
LOCK = "lock"
MOST_STEPS = 50
"""Changes that can be undone."""

EDITED = "changed in a file"

MOST_BYTES = 6 * len(SETTINGS) * LARGEST_BYTES
"""A state's file: every settings file at its largest, every byte written as six."""

MOST_COUNTED = 10**9
"""Changes that a head counts: nobody comes there, and the name of a state's file stays one."""


@dataclass(frozen=True, slots=True)
class State:
    """One state: the number of its file, and what was changed to come to it."""

    number: int
    what: str


@dataclass(frozen=True, slots=True)
class Head:
    """Which states there are and which holds.

    ``change`` counts every change, undo and redo: two equal counts are one and the same state of things.
    """

    states: tuple[State, ...]
    at: int
    change: int
    settled: bool

    @property
    def undoes(self) -> str | None:
        """What undo takes back, None where there is nothing."""
        return self.states[self.at].what if self.at > 0 else None

    @property
    def redoes(self) -> str | None:
        """What redo brings again, None where there is nothing."""
        return self.states[self.at + 1].what if self.at + 1 < len(self.states) else None


def open_steps(ride: Path) -> Head:
    """Return a ride's head, its settings files brought up to it; hand-made changes become a state."""
    with _opened(ride) as head:
        return head


def keep_change(ride: Path, texts: Texts, what: str, change: int | None = None) -> Head:
    """Keep new texts of some settings files as the next state, and put them in place.

    Parameters
    ----------
    ride : the ride's folder
    texts : new text by name ("rider"); the others stay
    what : what is changed, in words
    change : the count that the new texts were made from; None for whatever holds

    Raises
    ------
    SettingsError
        If something else was changed meanwhile; nothing is kept then.
    """
    with _opened(ride) as head:
        if change is not None and head.change != change:
            raise SettingsError(
                "this ride was changed elsewhere meanwhile; look at it and change it again",
                fact("refused_changed_elsewhere"),
            )
        whole = {**read_texts(ride), **texts}
        return _put_in_place(ride, _with_state(ride, head, whole, what))


def step_back(ride: Path) -> Head:
    """Take the last change back; without one all stays."""
    return _step(ride, -1)


def step_on(ride: Path) -> Head:
    """Bring the change taken back last again; without one all stays."""
    return _step(ride, 1)


def _step(ride: Path, by: int) -> Head:
    with _opened(ride) as head:
        at = head.at + by
        if not 0 <= at < len(head.states):
            return head
        head = replace(head, at=at, change=head.change + 1, settled=False)
        _write_head(ride, head)
        return _put_in_place(ride, head)


@contextmanager
def _opened(ride: Path) -> Iterator[Head]:
    """Yield a ride's head while nobody else changes the ride."""
    folder = ride / FOLDER
    make_folder(folder)
    with held(folder / LOCK):
        head = _read_head(ride)
        if head is None:
            head = _with_state(ride, Head((), -1, 0, True), read_texts(ride), "")
            head = replace(head, settled=True)
            _write_head(ride, head)
        elif not head.settled:
            head = _put_in_place(ride, head, _seen(ride, head))
        files = read_texts(ride)
        if files != _texts_of(ride, head.states[head.at]):
            head = _with_state(ride, head, files, EDITED)
            head = replace(head, settled=True)
            _write_head(ride, head)
        yield head


def _with_state(ride: Path, head: Head, texts: Texts, what: str) -> Head:
    """Return the head with one state more, both written: from then on the change is kept."""
    number = 1 + max((state.number for state in head.states), default=0)
    path = _state_path(ride, number)
    write_durably(path, json.dumps(texts, indent=1).encode("ascii"))
    states = (*head.states[: head.at + 1], State(number, plain_text(what)))[-MOST_STEPS - 1 :]
    head = Head(states, len(states) - 1, head.change + 1, settled=False)
    _write_head(ride, head)
    _sweep(ride, head)
    return head


def _put_in_place(ride: Path, head: Head, seen: Collection[str | None] | None = None) -> Head:
    """Bring the settings files up to the head; with ``seen``, only those that hold one of these texts."""
    now = read_texts(ride)
    for name, text in _texts_of(ride, head.states[head.at]).items():
        path = ride / f"{name}.toml"
        if text == now[name] or (seen is not None and now[name] not in seen):
            continue
        if text is None:
            remove_durably(path)
        else:
            write_durably(path, text_bytes(text))
    head = replace(head, settled=True)
    _write_head(ride, head)
    return head


def _seen(ride: Path, head: Head) -> set[str | None]:
    """Return every text that the settings files held in some state: what else they hold is an edit."""
    states = [_read_state(ride, state.number) or {} for state in head.states]
    return {None, *(text for texts in states for text in texts.values())}


def _texts_of(ride: Path, state: State) -> dict[str, str | None]:
    texts = _read_state(ride, state.number)
    if texts is None:
        raise SettingsError("a state of this ride is not as it was written; remove the ride's .steps folder")
    return texts


def _read_state(ride: Path, number: int) -> dict[str, str | None] | None:
    """Return the texts of a state, None where its file is gone or not as it was written."""
    held_texts = _read_own(_state_path(ride, number))
    if not isinstance(held_texts, dict):
        return None
    texts = {name: held_texts.get(name) for name in SETTINGS}
    return texts if all(text is None or _is_of_bytes(text) for text in texts.values()) else None


def _is_of_bytes(text: Any) -> bool:
    """Return True for a text that was read from a file's bytes."""
    if not isinstance(text, str):
        return False
    try:
        text_bytes(text)
    except UnicodeEncodeError:  # half of a pair
        return False
    return True


def _read_head(ride: Path) -> Head | None:
    """Return the head as written, without states that are gone; None where there is none to be had."""
    data = _read_own(ride / FOLDER / HEAD)
    try:
        states = tuple(State(_counted(number), _said(what)) for number, what in data["states"])
        head = Head(states, _counted(data["at"]), _counted(data["change"]), bool(data["settled"]))
    except (KeyError, TypeError, ValueError):
        return None
    if len(states) > MOST_STEPS + 1 or not 0 <= head.at < len(states):
        return None
    if _read_state(ride, states[head.at].number) is None:
        return None
    gone = {state for state in states if not _state_path(ride, state.number).exists()}
    before = sum(state in gone for state in states[: head.at])
    return replace(head, states=tuple(s for s in states if s not in gone), at=head.at - before)


def _counted(value: Any) -> int:
    """Return a count as it was written; ValueError for what a head of ours cannot hold."""
    if type(value) is not int or not 0 <= value <= MOST_COUNTED:
        raise ValueError
    return value


def _said(value: Any) -> str:
    """Return what was changed, in words; ValueError for what is no text."""
    if not isinstance(value, str):
        raise ValueError
    return plain_text(value)


def _read_own(path: Path) -> Any:
    """Return what a file of ours holds, None where it cannot be read."""
    try:
        return json.loads(read_regular(path, MOST_BYTES, SettingsError, "a file of this ride", "remove it"))
    except (SettingsError, ValueError, RecursionError):
        return None


def _write_head(ride: Path, head: Head) -> None:
    data = {
        "states": [[state.number, state.what] for state in head.states],
        "at": head.at,
        "change": head.change,
        "settled": head.settled,
    }
    write_durably(ride / FOLDER / HEAD, json.dumps(data, indent=1).encode("ascii"))


def _state_path(ride: Path, number: int) -> Path:
    return ride / FOLDER / f"{number:06d}.json"


def _sweep(ride: Path, head: Head) -> None:
    """Remove states that are no longer in the head, and what killed runs left half written."""
    kept = {_state_path(ride, state.number).name for state in head.states} | {HEAD, LOCK}
    sweep_away(path for path in (ride / FOLDER).iterdir() if path.name not in kept)
    sweep_away(ride.glob(f"{PART}*"))
