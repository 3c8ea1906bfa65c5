"""One ride on the table: its folder, the plan shown of it, and what is new."""

import contextlib
import hashlib
import threading
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from terrain_fuel.errors import SettingsError, TerrainFuelError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.start_time import zone_at
from terrain_fuel.outputs.compare import Outline
from terrain_fuel.outputs.words import Words, words_for
from terrain_fuel.page.bell import Bell
from terrain_fuel.page.coming import Coming
from terrain_fuel.page.look_back import LookBack
from terrain_fuel.page.luck import Chances
from terrain_fuel.page.planning import Planner
from terrain_fuel.page.ride_road import RideRoad
from terrain_fuel.page.shown import Shown, shown_plan, state_data
from terrain_fuel.page.take_along import Outputs
from terrain_fuel.page.told import told_of, words_of
from terrain_fuel.plan import Plan
from terrain_fuel.planner import plan_in_turn
from terrain_fuel.rides.edits import Edit, apply_edits
from terrain_fuel.rides.ride_folder import (
    SETTINGS,
    RideSettings,
    read_settings,
    settings_path,
)
from terrain_fuel.rides.steps import FOLDER, HEAD, Head, keep_change, open_steps, step_back, step_on
from terrain_fuel.rides.texts import read_texts
from terrain_fuel.rides.trial import tried
from terrain_fuel.wanted import NoLongerWantedError, go_on, wanted_while

TAKEN_WITHIN_S, REST_S = 0.25, 0.3
"""After each plan whose points are new the next waits so long for a page to take it, and, where they stand,
then for another change: one processor does both, and whoever turns a knob waits for the first alone."""


class Ride:
    """A ride's folder on the table.

    The folder is the truth: a change is planned while it is written there, and shown only once it is.
    """

    def __init__(self, folder: Path, bell: Bell, log: Path) -> None:
        self.folder = folder
        self.key = hashlib.sha256(str(folder).encode("utf-8", "surrogateescape")).hexdigest()[:16]
        self.bell = bell
        self.outputs = Outputs(folder)
        self.look_back = LookBack(folder, log)
        self.shown: Shown | None = None
        self.fault = ""
        self.busy = False
        self.chances = Chances(bell.ring)
        self._road = RideRoad(folder)
        self._outline_before: Outline | None = None
        self._lock = threading.Lock()
        self._touched = threading.Event()
        self._seen: object = None
        self._tried = 0
        self._coming: Coming | None = None

    @property
    def stale(self) -> bool:
        """True where the folder holds something that has not been planned, nor tried to be."""
        return self.head.change != self._tried

    @property
    def news(self) -> dict[str, Any]:
        """What a page needs to know to see whether what it shows is still so."""
        return self._news(self.head)

    def _news(self, head: Head) -> dict[str, Any]:
        return {
            "change": head.change,
            "planned": self.shown.change if self.shown else 0,
            "turn": self.shown.turn if self.shown else 0,
            "placed": self.shown.placed if self.shown else 0,
            "busy": self.busy,
            "fault": self.fault,
            "drawing": self.outputs.drawing,
            "drawn": self.outputs.drawn,
            "ridden": round(self.chances.ridden_share, 2),
            "after": self.look_back.count,
        }

    @property
    def head(self) -> Head:
        """The head of the ride's steps as the folder has it."""
        return open_steps(self.folder)

    @property
    def words(self) -> Words:
        """The words of the ride's rider."""
        return words_of(settings_path(self.folder, "rider"))

    def state(self) -> dict[str, Any]:
        """Return settings and steps for the page."""
        head = self.head
        return {**state_data(head, self.folder, self.words), **self._news(head)}

    def change(self, edits: Sequence[Edit], change: int, planner: Planner) -> None:
        """Keep edits, refused where their values cannot be; with pins it is planned before they are kept.

        All else is planned while it is being kept.

        Raises
        ------
        TerrainFuelError
            If they cannot be; nothing is kept then.
        """
        texts, said = apply_edits(read_texts(self.folder), edits)
        with tried(self.folder, texts) as trial:
            settings = self.settings(trial)
            if "pins" in texts and settings.pins:
                self._touched.set()
                planner.at_once(lambda: self._try_pins(settings, texts, said, change))
                return
        self._coming = coming = Coming(settings)
        self._touched.set()
        planner.want(self)
        try:
            self._tried = coming.keep(lambda: keep_change(self.folder, texts, said, change)).change
        except BaseException:
            self._touched.set()
            raise

    def try_luck(self) -> dict[str, Any]:
        """Ride the plan that is shown a thousand times and return what the page says of it.

        Raises
        ------
        SettingsError
            If there is no plan yet, or but a first one.
        """
        shown = self.planned()
        return {"change": shown.change, **self.chances.ride(shown.plan)}

    def planned(self) -> Shown:
        """Return the plan that is shown, once its points stand.

        Raises
        ------
        SettingsError
            If there is none yet, or but a first one.
        """
        if self.shown is None:
            raise SettingsError("this ride is not planned yet", fact("refused_not_planned"))
        if self.shown.early:
            raise SettingsError(
                "the first plan of this ride is still being improved; ask again in a moment",
                fact("refused_first_plan"),
            )
        return self.shown

    def undo(self) -> None:
        """Take the last change back."""
        step_back(self.folder)
        self._touched.set()

    def redo(self) -> None:
        """Bring the change taken back last again."""
        step_on(self.folder)
        self._touched.set()

    def plan_once(self) -> None:
        """Plan what the folder holds now or is about to; show it unless something newer does by then.

        What hinders it is told of the ride: the thread that plans goes on to other rides.
        """
        self._touched.clear()
        coming, self._coming = self._coming, None
        if coming is None and not self._is_due():
            return
        with self._at_work():
            if coming is not None:
                self._plan(coming)
                if coming.kept.result() is not None:
                    return
            change = -1
            try:
                change = self._tried = self.head.change
                held = Coming.held(self.settings(self.folder), change)
            except Exception as fault:
                self._fail(fault, change)
            else:
                self._plan(held)

    def _is_due(self) -> bool:
        """Return whether there is something to plan, or a folder that does not say, which planning tells."""
        try:
            return self.stale
        except TerrainFuelError:
            return True

    def _plan(self, coming: Coming) -> None:
        """Plan a change and, once it is kept, show its plans in turn, as long as nothing newer comes."""
        settings, shown = coming.settings, None

        def show(plan: Plan, *, early: bool = False) -> None:
            nonlocal shown
            change = coming.kept.result()
            if change is None:
                raise NoLongerWantedError
            shown = self._show(change, plan, settings, shown, early=early, only_if_newest=True)
            if self.bell.ears and not settings.pins and shown.turn == shown.placed:
                shown.taken.wait(TAKEN_WITHIN_S)
                self._touched.wait(0.0 if early else REST_S)
            go_on()

        try:
            with wanted_while(lambda: self._is_wanted(coming)):
                for plan in self._plans(settings, lambda first: show(first, early=True)):
                    show(plan)
        except NoLongerWantedError:
            return
        except Exception as fault:
            change = coming.kept.result()
            if change is not None:
                self._fail(fault, change)

    def _is_wanted(self, coming: Coming) -> bool:
        """Return whether nothing newer than a change has come, as far as anything has been touched."""
        if not self._touched.is_set():
            return True
        self._touched.clear()
        if self._coming is not None:
            return False
        return not coming.kept.done() or coming.kept.result() == self.head.change

    @contextlib.contextmanager
    def _at_work(self) -> Iterator[None]:
        """Let every page know that the ride is being planned, as long as it is."""
        self.busy = True
        self.bell.ring()
        try:
            yield
        finally:
            self.busy = False
            self.bell.ring()

    def settings(self, folder: Path) -> RideSettings:
        """Return what the settings files in a folder say of this ride.

        Raises
        ------
        TerrainFuelError
            If they, or the route, cannot be read.
        """
        track, _ = self._road.route()
        return read_settings(folder, zone_at(float(track.lat_deg[0]), float(track.lon_deg[0])))

    def looks_other(self) -> bool:
        """Return whether the folder's files are not as they were when this was asked last."""
        paths = [*(self.folder / f"{name}.toml" for name in SETTINGS), self.folder / FOLDER / HEAD]
        seen = [(path.stat().st_mtime_ns, path.stat().st_size) if path.exists() else None for path in paths]
        before, self._seen = self._seen, seen
        return before is not None and before != seen

    def _plans(
        self, settings: RideSettings, on_first: Callable[[Plan], None] | None = None
    ) -> Iterator[Plan]:
        """Yield the plan as soon as its points stand, then the whole; ``on_first`` as in `plan_in_turn`."""
        ridden = self._road.ridden(settings.rider, settings.day)
        yield from plan_in_turn(ridden, settings.pantry, settings.pins, on_first)

    def _try_pins(self, settings: RideSettings, texts: dict[str, str], said: str, change: int) -> None:
        with self._at_work():
            (plan,) = self._plans(settings)
            head = keep_change(self.folder, texts, said, change)
            self._tried = head.change
            self._show(head.change, plan, settings)

    def _show(
        self,
        change: int,
        plan: Plan,
        settings: RideSettings,
        before: Shown | None = None,
        *,
        early: bool = False,
        only_if_newest: bool = False,
    ) -> Shown:
        """Show a plan, or the next one of the same change after the one ``before``.

        What moved is told beside the last plan of another change that was no early one, at every turn.
        """
        words = words_for(settings.rider).on_panels
        if before is None and self.shown is not None and not self.shown.early:
            self._outline_before = self.shown.outline
        turn = 0 if before is None else before.turn + 1
        if before is None or before.early:
            shown = shown_plan(change, turn, plan, self._outline_before, settings.pins, words, early=early)
        else:
            shown = before.with_more(plan, self._outline_before, words)
        with self._lock:
            if not only_if_newest or self.head.change == change:
                self.shown, self.fault = shown, ""
        self.bell.ring()
        return shown

    def _fail(self, fault: Exception, change: int) -> None:
        """Tell what hindered planning a change, -1 for one not known; not of settings that hold no more."""
        with self._lock:
            if isinstance(fault, TerrainFuelError) and change >= 0:
                with contextlib.suppress(TerrainFuelError):  # the folder itself may be what hinders
                    if self.head.change != change:
                        return
            self.fault = told_of(fault, self.words)
