"""Opens the windows beside the main one, feeds them, remembers them and ends them with it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from app.state.session import Session
from app.state.settings import Settings
from app.views.view import Around, View
from app.views.view_window import ViewWindow
from model.engine.comparison import Comparison
from model.scenario.station import Part

if TYPE_CHECKING:
    from app.classroom import ClassroomWindow

# Modules of this package and the view in each: loaded when first opened, so that the main window
# need not wait for them.
PAGES = {
    "kit_page": "KitPage",
    "leads": "LeadsPage",
    "sizing": "SizingPage",
    "sureness": "SurenessPage",
    "signals": "SignalsPage",
    "library": "LibraryPage",
    "bench": "BenchPage",
    "field_check": "FieldCheckPage",
}


class Views(QObject):
    """Holds each window from when it is first opened until it is closed.

    ``library_changed`` carries the person's library after each change.
    """

    library_changed = Signal(object)

    def __init__(
        self, window: QWidget, around: Around, session: Session, settings: Settings
    ) -> None:
        super().__init__(window)
        self._window, self._around = window, around
        self._session, self._settings = session, settings
        self._shared: list[QAction] = []
        self._is_ending = False
        self.classroom: ClassroomWindow | None = None
        self.windows: dict[str, ViewWindow] = {}
        session.comparison_changed.connect(self._on_comparison_changed)

    def slots(self) -> dict[str, Callable[..., object]]:
        """Return what opens each window, by the key of its command."""
        return {
            "more.kit_page": self.open_kit_page,
            "more.leads": self.open_leads,
            "more.sizing": self.open_sizing,
            "more.sureness": self.open_sureness,
            "more.signals": self.open_signals,
            "more.library": self.open_library,
            "more.bench": self.open_bench,
            "more.field_check": self.open_field_check,
            "more.class": self.open_class,
        }

    def share(self, actions: Iterable[QAction]) -> None:
        """Let the shortcuts of these actions work in every window."""
        self._shared = list(actions)

    def open_kit_page(self) -> None:
        """Show the pages to print, check and sign."""
        self.open("kit_page")

    def open_leads(self) -> None:
        """Show the leads of the station the keyboard is in."""
        self.open("leads")

    def open_sizing(self) -> None:
        """Show what could stay at home."""
        self.open("sizing")

    def open_variants(self) -> None:
        """Show the variants of the scenario side by side."""
        from app.views.sizing import SizingPage

        page = self.open("sizing").view
        assert isinstance(page, SizingPage)
        page.sizing.look_at_variants()

    def open_sureness(self) -> None:
        """Show how sure the ends are."""
        self.open("sureness")

    def open_signals(self) -> None:
        """Show how well each is heard, and how far people keep clear."""
        self.open("signals")

    def open_library(self) -> None:
        """Show the person's parts."""
        self.open("library")

    def keep_part(self, index: int, part: Part) -> None:
        """Show the person's parts, and what taking in a part of a station would change there."""
        from app.views.library import LibraryPage

        view = self.open("library").view
        assert isinstance(view, LibraryPage)
        view.keep(index, part)

    def open_bench(self) -> None:
        """Show what to measure at the bench, and take what was read."""
        self.open("bench")

    def open_field_check(self) -> None:
        """Show the log of the trip."""
        self.open("field_check")

    def open_class(self) -> None:
        """Show the lessons, in a window that never tells what they hold."""
        if self.classroom is None or not self.classroom.isVisible():
            from app.classroom import open_classroom

            self._drop_class()
            self.classroom = open_classroom(self._window)
        self.classroom.raise_()
        self.classroom.activateWindow()

    def open(self, key: str) -> ViewWindow:
        """Show a window, made anew if it is not there, and give it the keyboard."""
        if key not in self.windows:
            self.windows[key] = self._made(key)
        window = self.windows[key]
        window.show_comparison(self._session.comparison)
        window.bring_up()
        return window

    def close(self) -> None:
        """Close every window: to be called before the main one goes."""
        self._is_ending = True
        for window in list(self.windows.values()):
            window.close()
        self._drop_class()

    def _drop_class(self) -> None:
        if self.classroom is not None:
            self.classroom.close()
            self.classroom.deleteLater()
            self.classroom = None

    def _made(self, key: str) -> ViewWindow:
        maker = getattr(import_module(f"app.views.{key}"), PAGES[key])
        view: View = maker(self._around)
        view.library_changed.connect(self.library_changed)
        window = ViewWindow(key, view, self._window)
        window.addActions(self._shared)
        window.closed.connect(self._on_closed)
        screen = self._window.screen().availableGeometry()
        kept = self._settings.view_geometry(key)
        window.place(kept, self._window.frameGeometry(), screen)
        return window

    def _on_comparison_changed(self, comparison: Comparison) -> None:
        for window in self.windows.values():
            window.show_comparison(comparison)

    def _on_closed(self, key: str) -> None:
        window = self.windows[key]
        self._settings.keep_view_geometry(key, window.saveGeometry())
        if not window.view.keeps_typing:
            del self.windows[key]
            window.deleteLater()
        if not self._is_ending:
            self._window.activateWindow()
