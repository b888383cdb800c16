"""Opens the parts library, the class and the group, feeds them, remembers them and ends them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from app.pages.group.opening import Groups
from app.pages.view import Around
from app.pages.view_window import ViewWindow
from app.state.file_commands import FileCommands
from app.state.session import Session
from model.engine.comparison import Comparison
from model.scenario.station import Part

if TYPE_CHECKING:
    from app.classroom import ClassroomWindow

LIBRARY = "library"


class Views(QObject):
    """Holds the windows beside the main one, each from when it is first opened.

    ``library_changed`` carries the person's library after each change.
    """

    library_changed = Signal(object)

    def __init__(
        self,
        window: QWidget,
        around: Around,
        session: Session,
        files: FileCommands,
        reveal: Callable[[str], object],
    ) -> None:
        super().__init__(window)
        self._window, self._around = window, around
        self._session, self._settings = session, around.settings
        self.groups = Groups(window, files, around.document, around.desk.display, reveal)
        self._shared: list[QAction] = []
        self._is_ending = False
        self.classroom: ClassroomWindow | None = None
        self.library: ViewWindow | None = None
        session.comparison_changed.connect(self._on_comparison_changed)

    def slots(self) -> dict[str, Callable[..., object]]:
        """Return what opens each window, by the key of its command."""
        return {
            "station.library": self.open_library,
            "view.class": self.open_class,
            "file.group": self.groups.open,
        }

    def share(self, actions: Iterable[QAction]) -> None:
        """Let the shortcuts of these actions work in every window."""
        self._shared = list(actions)

    def open_library(self) -> ViewWindow:
        """Show the person's parts, and give them the keyboard."""
        if self.library is None:
            self.library = self._made()
        self.library.show_comparison(self._session.comparison)
        self.library.bring_up()
        return self.library

    def keep_part(self, index: int, part: Part) -> None:
        """Show the person's parts, and what taking in a part of a station would change there."""
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

            self._drop_class()
            is_us = self._around.desk.display.is_us
            self.classroom = open_classroom(self._window, "letter" if is_us else "a4")
        self.classroom.raise_()
        self.classroom.activateWindow()

    def may_close(self) -> bool:
        """Close the group, whose work is saved or not wanted then; return whether it went."""
        return self.groups.close()

    def close(self) -> None:
        """Close every window: to be called before the main one goes."""
        self._is_ending = True
        if self.library is not None:
            self.library.close()
        self._drop_class()

    def _drop_class(self) -> None:
        if self.classroom is not None:
            self.classroom.close()
            self.classroom.deleteLater()
            self.classroom = None

    def _made(self) -> ViewWindow:
        # Loaded when first opened, so that the main window need not wait for it.
        from app.pages.library.page import LibraryPage

        view = LibraryPage(self._around)
        view.library_changed.connect(self.library_changed)
        window = ViewWindow(LIBRARY, view, self._window)
        window.addActions(self._shared)
        window.closed.connect(self._on_closed)
        screen = self._window.screen().availableGeometry()
        kept = self._settings.view_geometry(LIBRARY)
        window.place(kept, self._window.frameGeometry(), screen)
        return window

    def _on_comparison_changed(self, comparison: Comparison) -> None:
        if self.library is not None:
            self.library.show_comparison(comparison)

    def _on_closed(self, key: str) -> None:
        window, self.library = self.library, None
        if window is not None:
            self._settings.keep_view_geometry(key, window.saveGeometry())
            window.deleteLater()
        if not self._is_ending:
            self._window.activateWindow()
