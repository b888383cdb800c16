"""The menus of files known already: those of late, and the examples that ship with the program."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget

from app.state.file_commands import FileCommands, read_at
from app.state.settings import Settings
from app.state.starting import example_files, example_groups
from model.editing.faults import ScenarioError
from model.files.atomic_write import shown_name

NO_EXAMPLES = "None lies in this copy of the program"
COPY = "Opens as a copy without a file: saving it asks for a name"


GROUP = "Opens in a window of its own; saving it asks for a name"


class RecentMenu(QMenu):
    """Files opened or saved of late, by their names."""

    def __init__(self, files: FileCommands, settings: Settings, parent: QWidget) -> None:
        super().__init__("Open &recent", parent)
        self._files, self._settings = files, settings
        self.triggered.connect(self._on_triggered)
        files.recent_changed.connect(self.fill)
        self.fill()

    def fill(self) -> None:
        """List them, the latest first."""
        self.clear()
        for name in self._settings.recent_files:
            action = self.addAction(shown_name(name).replace("&", "&&"))
            action.setData(name)
            action.setStatusTip(name)
        self.setEnabled(not self.isEmpty())

    def _on_triggered(self, action: QAction) -> None:
        self._files.open_path(Path(action.data()))


class ExamplesMenu(QMenu):
    """The scenarios that ship with the program, by their titles; filled when it first opens."""

    def __init__(self, files: FileCommands, parent: QWidget) -> None:
        super().__init__("E&xamples", parent)
        self._files = files
        self.setToolTipsVisible(True)
        self.aboutToShow.connect(self.fill)
        self.triggered.connect(self._on_triggered)

    def fill(self) -> None:
        """List the examples; a damaged one is left out."""
        if not self.isEmpty():
            return
        for path in example_files():
            try:
                title = read_at(path).title
            except ScenarioError:
                continue
            action = self.addAction((title or path.stem).replace("&", "&&"))
            action.setData(path)
            action.setToolTip(COPY)
            action.setStatusTip(COPY)
        for path, title in example_groups():
            action = self.addAction(f"{title} (group)".replace("&", "&&"))
            action.setData(path)
            action.setToolTip(GROUP)
            action.setStatusTip(GROUP)
        if self.isEmpty():
            self.addAction(NO_EXAMPLES).setEnabled(False)

    def _on_triggered(self, action: QAction) -> None:
        self._files.open_example(action.data())
