"""After the ride: the recordings dropped, looked back on as the command does it, kept in the log."""

import hashlib
import shutil
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from terrain_fuel.errors import SettingsError
from terrain_fuel.facts import fact
from terrain_fuel.inputs.after_file import read_after
from terrain_fuel.inputs.planned import read_planned
from terrain_fuel.inputs.recordings.read import read_recordings
from terrain_fuel.log.entry import entry_of
from terrain_fuel.log.rides import delete_ride, keep_ride, read_rides
from terrain_fuel.outputs.after.review_page import Beside
from terrain_fuel.outputs.generation import generation_in
from terrain_fuel.outputs.review_folder import review_in
from terrain_fuel.page.after_form import form_text
from terrain_fuel.recorded import RecordedRide
from terrain_fuel.review.look_back import Settings, review_ride
from terrain_fuel.review.model import Review
from terrain_fuel.review.planned import Planned
from terrain_fuel.rides.durable import refuse_link, sweep_away, write_durably
from terrain_fuel.rides.texts import read_text
from terrain_fuel.rides.trial import tried

FOLDER = "after"
RECORDING, PLAN, FORM = "recording", "plan.json", "after.toml"
MOST_FILES = 4
"""A ride may lie in so many files: its parts, or those of several devices."""

OUTPUTS: Mapping[str, str] = {
    "review.html": "text/html; charset=utf-8",
    "review.json": "application/json",
    FORM: "application/toml",
}
"""What can be saved of a review, with its kind."""


class LookBack:
    """What was ridden of one ride: its recording, the plan as it stood when that came, and the form.

    They lie in a folder of the ride's own, where ``terrain-fuel review recording* --plan plan.json --after
    after.toml`` finds them. A further file of the ride carries in its name which first file it goes with.
    """

    def __init__(self, ride: Path, log: Path) -> None:
        self.folder = ride / FOLDER
        self._log = log
        self._lock = threading.Lock()
        self.count = 0
        self._read: tuple[RecordedRide, Planned] | None = None

    @property
    def is_there(self) -> bool:
        """Whether a recording has been dropped."""
        files = (self.folder / RECORDING, self.folder / PLAN)
        return all(path.is_file() for path in files) and not self.folder.is_symlink()

    @property
    def mark(self) -> str:
        """By what the ride's first file is known from another's."""
        return _mark((self.folder / RECORDING).read_bytes())

    def take(self, recording: bytes, plan_text: str) -> None:
        """Keep a recording with the plan that it was ridden by, and look back on it.

        Raises
        ------
        TerrainFuelError
            If it is no recording of a ride, or cannot be kept; then all is as it was.
        """
        with self._lock:
            before = self._files()[0].digest if self.is_there else ""
            with tried(Path(), {}) as aside:
                (aside / RECORDING).write_bytes(recording)
                (aside / PLAN).write_text(plan_text, encoding="utf-8")
                read = read_recordings([aside / RECORDING]), read_planned(aside / PLAN)
                self._review(*read, None)
            refuse_link(self.folder)
            with generation_in(self.folder, (RECORDING, PLAN, FORM)) as aside:
                (aside / RECORDING).write_bytes(recording)
                (aside / PLAN).write_text(plan_text, encoding="utf-8")
                (aside / FORM).write_text("", encoding="utf-8")
            sweep_away(set(self.folder.glob(f"{RECORDING}-*")) - set(self._recordings()))
            self._read = read
            self._keep()
            self._forget(before)

    def add(self, recording: bytes) -> None:
        """Keep a further file of the same ride beside what is there, and look back on both as one.

        Raises
        ------
        TerrainFuelError
            If there is none yet, it is there already, or none of the same ride; then all is as it was.
        """
        with self._lock:
            recorded, planned = self._files()
            held = [path.read_bytes() for path in self._recordings()]
            if recording in held:
                raise SettingsError(
                    "this file is there already; choose the ride's other file", fact("refused_same_file")
                )
            if len(held) >= MOST_FILES:
                raise SettingsError(
                    f"a ride lies in at most {MOST_FILES} files; take the recording out first",
                    fact("refused_more_files", most=MOST_FILES),
                )
            with tried(Path(), {}) as aside:
                paths = [aside / f"{RECORDING}-{number}" for number in range(len(held) + 1)]
                for path, content in zip(paths, (*held, recording), strict=True):
                    path.write_bytes(content)
                self._review(read_recordings(paths), planned, None)
            path = self.folder / f"{RECORDING}-{_mark(held[0])}-{len(held) + 1}"
            write_durably(path, recording)
            self._read = None
            try:
                self._keep()
            except BaseException:
                path.unlink()
                self._read = None
                raise
            self._forget(recorded.digest)

    def fill_in(self, asked: Mapping[str, Any]) -> None:
        """Write the form as the page has it, and look back once more.

        Raises
        ------
        TerrainFuelError
            If it says what cannot be; then all is as it was.
        """
        with self._lock:
            _, planned = self._files()
            path = self.folder / FORM
            text = form_text(read_text(path) if path.exists() else "", asked)
            with tried(Path(), {}) as aside:
                (aside / FORM).write_text(text, encoding="utf-8")
                read_after(aside / FORM, planned.pantry)
            write_durably(path, text.encode("utf-8"))
            self._keep()

    def take_out(self) -> None:
        """Remove the recording and all that was made of it, from the log too.

        Raises
        ------
        TerrainFuelError
            If there is none, or the log cannot be written.
        """
        with self._lock:
            self._forget(self._files()[0].digest, kept="")
            shutil.rmtree(self.folder)
            self._read = None
            self.count += 1

    def seen(self) -> tuple[Review, Beside]:
        """Return the review as the files have it now.

        Raises
        ------
        TerrainFuelError
            If there is no recording, or it cannot be read.
        """
        with self._lock:
            return self._seen()

    def _seen(self) -> tuple[Review, Beside]:
        recorded, planned = self._files()
        path = self.folder / FORM
        after = read_after(path, planned.pantry) if path.exists() else None
        return self._review(recorded, planned, after), Beside(planned.rider, planned, after)

    def _keep(self) -> None:
        """Write the review and keep the ride in the log, both or neither."""
        review, beside = self._seen()
        _, planned = self._files()
        entry = entry_of(review, planned.rider, planned.day, planned)
        keep_ride(self._log, entry, review_in(self.folder, review, beside))
        self.count += 1

    def _forget(self, digest: str, kept: str | None = None) -> None:
        """Take what was recorded before out of the log, unless it is what is kept now."""
        kept = self._files()[0].digest if kept is None else kept
        for ride in read_rides(self._log) if digest and digest != kept else ():
            if ride.digest == digest:
                delete_ride(self._log, ride.number)

    def _recordings(self) -> list[Path]:
        """Return the ride's files, the first and those that go with it."""
        first = self.folder / RECORDING
        return [first, *sorted(self.folder.glob(f"{RECORDING}-{_mark(first.read_bytes())}-*"))]

    def _files(self) -> tuple[RecordedRide, Planned]:
        if not self.is_there:
            raise SettingsError("there is no recording of this ride yet", fact("refused_no_recording"))
        if self._read is None:
            self._read = read_recordings(self._recordings()), read_planned(self.folder / PLAN)
        return self._read

    @staticmethod
    def _review(recorded: RecordedRide, planned: Planned, after: Any) -> Review:
        return review_ride(recorded, Settings(planned.rider, planned.pantry, planned.day), planned, after)


def _mark(first: bytes) -> str:
    """Return by what a ride's further files are known to go with its first."""
    return hashlib.sha256(first).hexdigest()[:16]
