"""Ways to the parts library, and to the class and the group, which have windows of their own."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.pages.group.opening import Groups
from app.pages.lens import Lens
from app.pages.lenses import Lenses
from app.pages.view import Around
from app.state.file_commands import FileCommands
from model.scenario.station import Part

if TYPE_CHECKING:
    from app.classroom import ClassroomWindow


class Views(QObject):
    """Opens the library at the right of the window; holds the windows of class and group."""

    def __init__(
        self,
        window: QWidget,
        lenses: Lenses,
        around: Around,
        files: FileCommands,
        reveal: Callable[[str], object],
    ) -> None:
        super().__init__(window)
        self._window, self._lenses, self._display = window, lenses, around.desk.display
        self.groups = Groups(window, files, around.document, self._display, reveal)
        self.classroom: ClassroomWindow | None = None

    def slots(self) -> dict[str, Callable[..., object]]:
        """Return what opens each, by the key of its command."""
        return {
            "station.library": self.open_library,
            "view.class": self.open_class,
            "file.group": self.groups.open,
            "file.new_group": self.groups.begin,
        }

    def open_library(self) -> Lens:
        """Show the person's parts, and give them the keyboard."""
        return self._lenses.open("library")

    def keep_part(self, index: int, part: Part) -> None:
        """Show the person's parts, and what taking in a part of a station would change there."""
        # Loaded when first opened, so that the main window need not wait for it.
        from app.pages.library.page import LibraryPage

        view = self.open_library().view
        assert isinstance(view, LibraryPage)
        view.keep(index, part)

    def keep_measured(self, index: int) -> None:
        """Put a station's measured numbers into the person's parts, and show them there."""
        from app.pages.library.page import LibraryPage

        view = self.open_library().view
        assert isinstance(view, LibraryPage)
        view.keep_measured(index)

    def open_class(self) -> None:
        """Show the lessons, in a window that never tells what they hold."""
        if self.classroom is None or not self.classroom.isVisible():
            from app.classroom import open_classroom

            self.close()
            self.classroom = open_classroom(self._display, self._window)
        self.classroom.raise_()
        self.classroom.activateWindow()

    def may_close(self) -> bool:
        """Close the group, whose work is saved or not wanted then; return whether it went."""
        return self.groups.close()

    def close(self) -> None:
        """Close the window of the class: to be called before the main one goes."""
        if self.classroom is not None:
            self.classroom.close()
            self.classroom.deleteLater()
            self.classroom = None
