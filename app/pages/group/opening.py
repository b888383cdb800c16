"""Opens groups beside the main window, one at a time, and their kits in the main window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint
from PySide6.QtWidgets import QWidget

from app.state.display import Display
from app.state.document import UNSAVED_WORK, Document
from app.state.file_commands import FileCommands
from app.widgets import dialogs
from app.widgets.fitting import fit_in
from model.editing.faults import ScenarioError
from model.files.atomic_write import SaveError, shown_name
from model.scenario.scenario import Block

if TYPE_CHECKING:
    from app.pages.group.window import GroupWindow

KEPT_CHOICES = ("Go on with it", "Forget it")
SAVE_FIRST = ("Save the scenario",)
# How far from the corner of the main window it opens. [px]
BESIDE = QPoint(48, 48)
NEW_NAME = "group.toml"


class Groups(QObject):
    """Holds the window of a group from when a group is opened."""

    def __init__(
        self,
        window: QWidget,
        files: FileCommands,
        document: Document,
        display: Display,
        choose_station: Callable[[str], object],
    ) -> None:
        super().__init__(window)
        self._main, self._files, self._document = window, files, document
        self._display, self._choose_station = display, choose_station
        self.window: GroupWindow | None = None
        document.file_changed.connect(self._on_file_changed)
        files.group_wanted.connect(self.open_path)

    def open(self) -> None:
        """Ask for the file of a group and open it."""
        folder = self._document.path.parent if self._document.path else Path.home()
        path = dialogs.ask_for_group_to_open(self._main, str(folder))
        if path is not None:
            self.open_path(path)

    def begin(self) -> bool:
        """Make a group of the open scenario's stations, ask where to save it, and open it."""
        from app.state.group_document import begun

        if not self._has_file():
            return False
        source = self._document.path
        assert source is not None
        path = dialogs.ask_for_group_to_save(self._main, str(source.parent / NEW_NAME))
        if path is None:
            return False
        try:
            begun(path, source, self._document.scenario)
        except SaveError as error:
            dialogs.tell(self._main, "The group was not saved", str(error))
            return False
        return self.open_path(path)

    def _has_file(self) -> bool:
        """Have the scenario in a file, which a group can name; ask where it is in none."""
        if self._document.path is not None and self._document.is_clean:
            return True
        answer = dialogs.choose(
            self._main, "A group names the files of its kits", "Its posts are then the stations"
            " of the file, as they are in it.", SAVE_FIRST,
        )  # fmt: skip
        return answer == 0 and self._files.save()

    def open_path(self, path: Path) -> bool:
        """Open the file of a group once the work in the one before is safe."""
        from app.pages.group.window import GroupWindow
        from app.state.group_document import opened

        if self.window is not None and not self.window.close():
            return False
        try:
            document = opened(path)
        except ScenarioError as error:
            faults = [fault.at_line for fault in error.faults]
            title = f"{shown_name(path)} could not be opened"
            dialogs.tell_faults(self._main, title, faults)
            return False
        self.window = GroupWindow(document, self._display)
        self.window.kit_wanted.connect(self._on_kit_wanted)
        self.window.shared.plan_wanted.connect(self._on_plan_wanted)
        self.window.shared.plan_given.connect(self._on_plan_given)
        self.window.closed.connect(self._on_closed)
        self.window.move(self._main.pos() + BESIDE)
        fit_in(self.window, self._main.screen().availableGeometry())
        self.window.show()
        self.window.raise_()
        self.window.activateWindow()
        self.window.posts.setFocus()
        self._offer_kept(self.window)
        return True

    def close(self) -> bool:
        """Close the window of the group; return whether it went."""
        return self.window is None or self.window.close()

    def keep_now(self) -> None:
        """Keep what is not saved, and wait until it is kept."""
        if self.window is not None:
            self.window.kept.keep_now()
            self.window.kept.wait()

    def end(self) -> None:
        """Let the window go without a question: what is not saved is kept for the next start."""
        window, self.window = self.window, None
        if window is not None:
            window.kept.keep_now()
            window.kept.wait()
            window.work.close()
            window.deleteLater()

    def _offer_kept(self, window: GroupWindow) -> None:
        found = window.kept.found()
        if found is None:
            return
        name = shown_name(window.document.path)
        answer = dialogs.choose(
            window,
            f"Changes of {name} were not saved",
            "They were kept when the program ended. The file itself is as it was.",
            KEPT_CHOICES,
        )
        if answer == 0:
            try:
                window.document.put(UNSAVED_WORK, found)
            except ScenarioError as error:
                window.say(str(error.faults[0]))
        elif answer == 1:
            window.kept.drop()

    def _on_kit_wanted(self, path: Path, station: int) -> None:
        if self._document.path != path and not self._files.open_path(path):
            return
        if station <= len(self._document.scenario.stations):
            self._choose_station(f"stations.{station - 1}.name")
        self._main.raise_()
        self._main.activateWindow()

    def _on_plan_wanted(self, role: str) -> None:
        if self.window is not None:
            self.window.shared.take_plan(role, self._document.scenario.plan)

    def _on_plan_given(self, role: str, blocks: tuple[Block, ...]) -> None:
        self._document.end_burst()
        self._document.edit("plan", blocks, f"plan of {role}")
        self._document.end_burst()
        self._main.raise_()
        self._main.activateWindow()

    def _on_file_changed(self) -> None:
        """Take over a kit that was saved in the main window."""
        if self.window is None or not self._document.is_clean or self._document.path is None:
            return
        names = [post.scenario for post in self.window.document.group.posts]
        folder = self.window.document.path.parent
        if any(folder / name == self._document.path for name in names):
            self.window.read_kits_again()

    def _on_closed(self) -> None:
        window, self.window = self.window, None
        if window is not None:
            window.deleteLater()
