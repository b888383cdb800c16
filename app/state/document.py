"""The one state of the window: the scenario, its file, and how to undo."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from model.editing.faults import Fault, ScenarioError
from model.editing.field_facts import describe
from model.editing.paths import with_value
from model.editing.variant_moves import following
from model.files.scenario_file import dump_scenario, parse_scenario, read_bytes, write_text
from model.scenario.scenario import Scenario

UNDO_LIMIT = 500
QUIET_MS = 1000


class Document(QObject):
    """Owns the current scenario; every change passes here and makes a new one."""

    scenario_changed = Signal()
    file_changed = Signal()

    def __init__(self, scenario: Scenario, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._scenario = scenario
        self._kept = scenario
        self._path: Path | None = None
        self._on_disk = ""
        self._burst = 0
        self.undo_stack = QUndoStack(self)
        self.undo_stack.setUndoLimit(UNDO_LIMIT)
        self.undo_stack.cleanChanged.connect(self.file_changed)
        self._quiet = QTimer(self, singleShot=True, interval=QUIET_MS)
        self._quiet.timeout.connect(self.end_burst)

    @property
    def scenario(self) -> Scenario:
        """The scenario as it is now."""
        return self._scenario

    @property
    def kept(self) -> Scenario:
        """The scenario as it was begun with, opened or last saved."""
        return self._kept

    @property
    def path(self) -> Path | None:
        """The file it came from or was last saved to."""
        return self._path

    @property
    def is_clean(self) -> bool:
        """Whether the file holds the scenario as it is."""
        return self.undo_stack.isClean()

    def edit(self, path: str, value: Any, text: str = "") -> tuple[Fault, ...]:
        """Put a value at a path as one undo step; return the faults if it is refused."""
        try:
            changed = with_value(self._scenario, path, value)
        except ScenarioError as error:
            return error.faults
        self.replace(text or f"change of {describe(path)}", changed, path)
        return ()

    def replace(self, text: str, scenario: Scenario, merge_key: str = "") -> None:
        """Make ``scenario`` the current one; edits with one key in one burst undo together.

        Its variants follow what was moved, added or removed.
        """
        scenario = following(self._scenario, scenario)
        if scenario == self._scenario:
            return
        key = f"{merge_key} {self._burst}" if merge_key else ""
        self.undo_stack.push(_Change(self, text, self._scenario, scenario, key))
        if merge_key:
            self._quiet.start()

    def end_burst(self) -> None:
        """Let the next edit be an undo step of its own, even of the same field."""
        self._quiet.stop()
        self._burst += 1

    def start(self, scenario: Scenario) -> None:
        """Begin with a scenario that has no file yet."""
        self._begin(scenario, None)

    def open(self, path: Path) -> None:
        """Open a file; raises ScenarioError, with every fault, when it holds no scenario."""
        data = read_bytes(path)
        self._begin(parse_scenario(data), path, _digest(data))

    def save(self, path: Path) -> None:
        """Save to a file; raises SaveError when that fails, and nothing has changed then."""
        text = dump_scenario(self._scenario)
        write_text(text, path)
        self._path, self._on_disk = path, _digest(text.encode())
        self._kept = self._scenario
        self.end_burst()
        self.undo_stack.setClean()
        self.file_changed.emit()

    def is_changed_on_disk(self) -> bool:
        """Whether something else has written the file since it was opened or saved."""
        if self._path is None or not self._path.exists():
            return False
        try:
            return _digest(read_bytes(self._path)) != self._on_disk
        except ScenarioError:
            # Whatever stands there now, it is not what was read.
            return True

    def recover(self, scenario: Scenario, path: Path | None) -> None:
        """Begin with work that was never saved; the file as it stands is one undo away."""
        if path is not None and self._opened(path):
            self.replace("opening of unsaved work", scenario)
        else:
            self._begin(scenario, None)
            self.undo_stack.resetClean()

    def _opened(self, path: Path) -> bool:
        try:
            self.open(path)
        except ScenarioError:
            return False
        return True

    def _begin(self, scenario: Scenario, path: Path | None, on_disk: str = "") -> None:
        self.end_burst()
        self.undo_stack.clear()
        self._path, self._on_disk = path, on_disk
        self._kept = scenario
        self._set(scenario)
        self.file_changed.emit()

    def _set(self, scenario: Scenario) -> None:
        self._scenario = scenario
        self.scenario_changed.emit()


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


class _Change(QUndoCommand):
    """From one scenario to another; both share all that did not change."""

    def __init__(
        self, document: Document, text: str, before: Scenario, after: Scenario, merge_key: str
    ) -> None:
        super().__init__(text)
        self._document = document
        self._before = before
        self.after = after
        self.merge_key = merge_key

    def redo(self) -> None:
        self._document._set(self.after)  # noqa: SLF001

    def undo(self) -> None:
        self._document.end_burst()
        self._document._set(self._before)  # noqa: SLF001

    def id(self) -> int:
        return 1 if self.merge_key else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Change) or other.merge_key != self.merge_key:
            return False
        self.after = other.after
        self.setObsolete(self.after == self._before)
        return True
