"""Which of the two palettes the program wears: the system's choice, light or dark."""

from __future__ import annotations

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QApplication, QMenu, QWidget

from app.state.settings import THEMES, Settings
from app.widgets.tokens import dark_palette, entry_palette, light_palette

# What is typed in or ticked, by the names of its kinds.
ENTRIES = ("QLineEdit", "QPlainTextEdit", "QAbstractSpinBox", "QCheckBox")


class Theme(QObject):
    """Owns the choice, remembers it, and follows the system while that is the choice."""

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self._before = QApplication.palette()
        self._is_worn = True
        QApplication.styleHints().colorSchemeChanged.connect(self._on_system_changed)

    @property
    def choice(self) -> str:
        """One of system, light and dark."""
        return self._settings.theme

    def choose(self, choice: str) -> None:
        """Wear another palette from now on."""
        if choice != self._settings.theme:
            self._settings.theme = choice
            self.apply()

    def apply(self) -> None:
        """Give the program its palette."""
        dark = self._is_dark()
        palette = dark_palette() if dark else light_palette()
        if palette != QApplication.palette():
            QApplication.setPalette(palette)
            for kind in ENTRIES:
                # The stub asks for bytes, which Qt refuses.
                QApplication.setPalette(entry_palette(dark=dark), kind)  # type: ignore[arg-type]

    def restore(self) -> None:
        """Give the program back the palette it had before this window."""
        self._is_worn = False
        QApplication.setPalette(self._before)

    def _is_dark(self) -> bool:
        if self.choice == "system":
            return QApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
        return self.choice == "dark"

    def _on_system_changed(self) -> None:
        if self._is_worn:
            self.apply()


class ThemeMenu(QMenu):
    """The choice of colours, one of three."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__("C&olours", parent)
        self._theme = theme
        self._group = QActionGroup(self)
        texts = ("As the &system", "&Light", "&Dark")
        for choice, text in zip(THEMES, texts, strict=True):
            action = QAction(text, self)
            action.setData(choice)
            action.setCheckable(True)
            action.setChecked(choice == theme.choice)
            self._group.addAction(action)
            self.addAction(action)
        self._group.triggered.connect(self._on_chosen)

    def _on_chosen(self, action: QAction) -> None:
        self._theme.choose(action.data())
