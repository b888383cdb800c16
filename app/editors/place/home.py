"""The home place: where a new scenario begins; remembered from start to start, and forgotten."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from app.editors.fields.editor import plain_tip
from app.state.edit_context import Desk
from app.state.settings import Settings
from model.library.new_scenario import Home, home_of

REMEMBER, FORGET = "Remember as home place", "Forget"
REMEMBER_TIP = (
    "File, New begins here from now on: place, zone, horizon and climate are kept in your"
    " settings, years of weather are not"
)
FORGET_TIP = "File, New begins at an invented place again"
NAME_LETTERS = 28


class HomePlace(QWidget):
    """Remembers the place of the scenario, and says which one is remembered.

    ``said`` carries a remark for the foot.
    """

    said = Signal(str)

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._settings = desk, settings
        self.words = QLabel()
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.remember, self.forget = QPushButton(REMEMBER), QPushButton(FORGET)
        self.forget.setAccessibleName("Forget the home place")
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.remember)
        line.addWidget(self.words)
        line.addWidget(self.forget)
        for button, tip in ((self.remember, REMEMBER_TIP), (self.forget, FORGET_TIP)):
            button.setAutoDefault(False)
            button.setToolTip(plain_tip(tip))
        self.remember.clicked.connect(self._on_remember)
        self.forget.clicked.connect(self._on_forget)

    def refresh(self) -> None:
        """Show which place is remembered, and whether it is this one."""
        home = self._settings.home
        here = home_of(self._desk.document.scenario)
        self.remember.setEnabled(home != here)
        self.forget.setVisible(home is not None)
        if home is None:
            words = ""
        elif home == here:
            words = "This is your home place."
        else:
            words = f"Home: {_name(home)}"
        self.words.setText(words)

    def _on_remember(self) -> None:
        home = home_of(self._desk.document.scenario)
        self._settings.remember_home(home)
        self.refresh()
        self.said.emit(f"File, New begins at {_name(home)} from now on")

    def _on_forget(self) -> None:
        self._settings.forget_home()
        self.refresh()
        self.remember.setFocus()
        self.said.emit("Your home place is forgotten")


def _name(home: Home) -> str:
    name = " ".join(home.site.name.split()) or "an unnamed place"
    return name if len(name) <= NAME_LETTERS else f"{name[: NAME_LETTERS - 1].rstrip()}…"
