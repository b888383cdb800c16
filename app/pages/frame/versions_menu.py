"""The menu of the earlier versions of a file that saves have replaced."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.state.backups import words_of_time
from app.state.document import Document
from app.state.file_commands import FileCommands, read_at
from model.editing.differences import changed_paths
from model.editing.faults import ScenarioError

NONE = "None yet: a version is kept whenever a save replaces one"

UNSAVED = "&Unsaved work of windows that are gone…"


class VersionsMenu(QMenu):
    """Filled when it opens: when each version was replaced, and how much of it differs."""

    def __init__(self, document: Document, files: FileCommands, parent: QWidget) -> None:
        super().__init__("Earlier &versions", parent)
        self._document, self._files = document, files
        self.aboutToShow.connect(self.fill)
        self.triggered.connect(self._on_triggered)

    def fill(self) -> None:
        """List the versions of the present file, the newest first."""
        self.clear()
        path = self._document.path
        for backup in self._files.versions(path) if path is not None else ():
            words = f"{words_of_time(backup)}{self._difference(backup.path)}"
            self.addAction(words.replace("&", "&&")).setData(backup)
        if self.isEmpty():
            self.addAction(NONE).setEnabled(False)
        self.addSeparator()
        self.addAction(UNSAVED)

    def _difference(self, path: Path) -> str:
        try:
            held = read_at(path)
        except ScenarioError:
            return ": cannot be read"
        count = len(changed_paths(self._document.scenario, held))
        if not count:
            return ": the same as now"
        return f": {count} field differs" if count == 1 else f": {count} fields differ"

    def _on_triggered(self, action: QAction) -> None:
        if action.data() is None:
            self._files.recover()
        else:
            self._files.go_back_to(action.data())
