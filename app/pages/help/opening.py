"""Opens the guide at the chapter that is asked for, and remembers where its window stood."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.pages.help.chapters import ABOUT, KEYS, LENS_CHAPTERS, Chapter, chapters
from app.pages.help.window import GuideWindow
from app.pages.lenses import Lenses
from app.state.display import Display
from app.state.settings import Settings

WINDOW = "guide"


class Help(QObject):
    """Holds the one window of the guide, from when it is first opened."""

    def __init__(
        self, window: QWidget, lenses: Lenses, settings: Settings, display: Display
    ) -> None:
        super().__init__(window)
        self._window, self._lenses, self._settings = window, lenses, settings
        self._display = display
        display.units_changed.connect(self._on_units_changed)
        self.guide: GuideWindow | None = None

    def slots(self) -> dict[str, Callable[..., object]]:
        """Return what each command of the menu does, by its key."""
        return {
            "help.guide": self.open_guide,
            "help.keys": self.open_keys,
            "help.about": self.open_about,
        }

    def open_guide(self) -> None:
        """Open the guide at what the lens in sight is about."""
        self._open(LENS_CHAPTERS[self._lenses.current])

    def open_keys(self) -> None:
        """Open the list of keys."""
        self._open(KEYS)

    def open_about(self) -> None:
        """Say which version this is, and what a prediction is worth."""
        self._open(ABOUT)

    def close(self) -> None:
        """Close the window: to be called before the main one goes."""
        if self.guide is not None:
            self.guide.close()

    def _open(self, title: str) -> None:
        if self.guide is None:
            self.guide = GuideWindow(self._chapters(), self._window)
            self.guide.closed.connect(self._on_closed)
            screen = self._window.screen().availableGeometry()
            kept = self._settings.view_geometry(WINDOW)
            self.guide.place(kept, self._window.frameGeometry(), screen)
        self.guide.open_at(title)

    def _chapters(self) -> tuple[Chapter, ...]:
        return chapters(us=self._display.is_us)

    def _on_units_changed(self) -> None:
        if self.guide is not None:
            self.guide.show_chapters(self._chapters())

    def _on_closed(self) -> None:
        guide, self.guide = self.guide, None
        if guide is not None:
            self._settings.keep_view_geometry(WINDOW, guide.saveGeometry())
            guide.deleteLater()
