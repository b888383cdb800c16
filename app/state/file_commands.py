"""New, open, save: each asks before work is lost, and a save that failed keeps the window."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.state.backups import Backup, Backups, words_of_time
from app.state.document import Document
from app.state.settings import Settings
from app.state.starting import begun_scenario
from app.widgets import dialogs
from app.work.disk import absolute, disk, reading
from app.work.jobs import window_first
from model.editing.faults import ScenarioError
from model.files.atomic_write import reason_of, shown_name
from model.files.scenario_file import SaveError, read_bytes, read_scenario
from model.files.work_record import Work
from model.group.group_file import is_group
from model.library.catalogue import Library
from model.scenario.scenario import Scenario

UNNAMED = "scenario.toml"
KEPT_VERSION = "Saving over it keeps what stands there now among the earlier versions."


class FileCommands(QObject):
    """Moves scenarios between the document and files; ``said`` carries remarks for the foot.

    The file of a group is not read into the document: ``group_wanted`` carries its path.
    """

    recent_changed = Signal()
    said = Signal(str)
    recovery_wanted = Signal()
    group_wanted = Signal(object)

    def __init__(
        self, window: QWidget, document: Document, settings: Settings, library: Library
    ) -> None:
        super().__init__(window)
        self._window = window
        self._document = document
        self._settings = settings
        self._library = library
        self.backups = Backups()

    def new(self) -> None:
        """Begin at the home place with two stations of the library, once all work is safe."""
        if self.may_go_on():
            self._document.start(begun_scenario(self._library, self._settings.home))

    def open_example(self, path: Path) -> bool:
        """Begin with a copy of a scenario that ships with the program; saving asks for a name."""
        if not self._may_read(path):
            return False
        try:
            self._document.start(read_at(path))
        except ScenarioError as error:
            if self._is_group(path):
                return False
            self._tell_faults(path, error)
            return False
        return True

    def open(self) -> None:
        """Ask for a file and open it."""
        if not self.may_go_on():
            return
        path = dialogs.ask_for_file_to_open(self._window, str(self._folder()))
        if path is not None:
            self._read(path)

    def open_path(self, path: Path) -> bool:
        """Open a file known already: a recent one, or one dragged in."""
        path = absolute(path)
        return self._may_read(path) and self._read(path)

    def _may_read(self, path: Path) -> bool:
        """Ask about changes not saved, unless a group leaves them as they are."""
        if self._document.is_clean:
            return True
        return not self._is_group(path) and self.may_go_on()

    def _is_group(self, path: Path) -> bool:
        """Return whether a file holds a group; it is then asked for where groups are opened."""
        try:
            found = is_group(reading(read_bytes, path))
        except ScenarioError:
            # Reading it as a scenario says what is wrong.
            return False
        if found:
            self.group_wanted.emit(path)
        return found

    def save(self) -> bool:
        """Save to the file it came from, or ask for one; return whether it was done."""
        path = self._document.path
        if path is None:
            return self.save_as()
        if self._document.is_changed_on_disk():
            answer = dialogs.ask_about_changed(self._window, shown_name(path), KEPT_VERSION)
            if answer != 0:
                return answer == 1 and self.save_as()
        return self._write(path)

    def save_as(self) -> bool:
        """Ask for a file and save; return whether it was done."""
        suggestion = self._document.path or self._folder() / UNNAMED
        path = dialogs.ask_for_file_to_save(self._window, str(suggestion))
        return path is not None and self._write(path)

    def may_go_on(self) -> bool:
        """Ask about changes not saved; a save that did not happen counts as cancel."""
        if self._document.is_clean:
            return True
        answer = dialogs.ask_about_unsaved(self._window, self.name())
        if answer is dialogs.Answer.SAVE:
            return self.save()
        return answer is dialogs.Answer.DISCARD

    def name(self) -> str:
        """Return what the present work is called."""
        path = self._document.path
        return shown_name(path) if path else self._document.scenario.title or "this scenario"

    def _folder(self) -> Path:
        if self._document.path is not None:
            return self._document.path.parent
        recent = self._settings.recent_files
        return Path(recent[0]).parent if recent else Path.home()

    def _read(self, path: Path) -> bool:
        window_first()
        try:
            self._document.open(path)
        except ScenarioError as error:
            if self._is_group(path):
                return False
            self._settings.forget_file(str(path))
            self.recent_changed.emit()
            self._tell_faults(path, error)
            return self._offer_earlier(path)
        self._remember(path)
        if self._document.remarks:
            title = f"{shown_name(path)} is of format 1; some answers change"
            dialogs.tell(self._window, title, "\n\n".join(self._document.remarks))
        return True

    def _tell_faults(self, path: Path, error: ScenarioError) -> None:
        faults = [fault.at_line for fault in error.faults]
        dialogs.tell_faults(self._window, f"{shown_name(path)} could not be opened", faults)

    def _offer_earlier(self, path: Path) -> bool:
        """Offer the latest version kept of a file that cannot be opened."""
        kept = self.versions(path)
        if not kept:
            return False
        answer = dialogs.choose(
            self._window,
            f"Open the version of {shown_name(path)} that was kept?",
            f"It was replaced {words_of_time(kept[0])}. The file itself is left as it is.",
            ("Open the version",),
        )
        if answer is None:
            return False
        try:
            scenario = read_at(kept[0].path)
        except ScenarioError as error:
            self._tell_faults(kept[0].path, error)
            return False
        self._document.recover(Work(scenario, (), 0))
        return True

    def recover(self) -> None:
        """Ask for the unsaved work of windows that are gone, once the present work is safe."""
        if self.may_go_on():
            self.recovery_wanted.emit()

    def go_back_to(self, backup: Backup) -> None:
        """Bring an earlier version of the file into the window, as one step that can be undone."""
        try:
            scenario = read_at(backup.path)
        except ScenarioError as error:
            self._tell_faults(backup.path, error)
            return
        self._document.replace(f"return to the version of {words_of_time(backup)}", scenario)

    def _write(self, path: Path) -> bool:
        window_first()
        path, now = absolute(path), datetime.now(UTC)
        try:
            missed = disk.get(partial(self.backups.keep, path, now))
        except OSError as error:
            missed = f"{shown_name(path)}: {reason_of(error)}"
        try:
            self._document.save(path)
        except SaveError as error:
            dialogs.tell(self._window, "The scenario was not saved", str(error))
            return False
        self._remember(path)
        if missed:
            self.said.emit(f"Saved, but the previous version could not be kept: {missed}")
        return True

    def versions(self, path: Path) -> list[Backup]:
        """Return the earlier versions of a file, the newest first."""
        try:
            return disk.get(partial(self.backups.of, path))
        except OSError:
            return []

    def _remember(self, path: Path) -> None:
        self._settings.remember_file(str(path))
        self.recent_changed.emit()


def read_at(path: Path) -> Scenario:
    """Return the scenario in a file; raises ScenarioError, also where the disk gives no answer."""
    return reading(read_scenario, path)
