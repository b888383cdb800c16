"""The sky of each date in the line of the window: one button a date, a menu of the words."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QToolButton, QWidget

from app.editors.place.sky import dates_of, put_sky, shown_word, skies_of, word_tip
from app.state.edit_context import Desk
from model.scenario.daily import SKY_WORDS, SkyWord
from model.scenario.scenario import Scenario

# More dates than this are changed in the sheet of place and day.
MOST_DATES = 3
MORE = "Sky of all {} dates…"


class SkyButton(QToolButton):
    """The sky of one date; ``chosen`` carries the date, from 0, and a word."""

    chosen = Signal(int, str)

    def __init__(self, number: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._number = number
        self._shown = "", ""
        self.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._words = QMenu(self)
        for word in SKY_WORDS:
            action = self._words.addAction(word)
            action.setToolTip(word_tip(word))
        self._words.setToolTipsVisible(True)
        self._words.triggered.connect(self._on_chosen)
        self.setMenu(self._words)

    def show_date(self, name: str, words: str) -> None:
        """Show a date and its sky."""
        if (name, words) == self._shown:
            return
        self._shown = name, words
        self.setText(f"{name.split()[0]} {words}")
        self.setAccessibleName(f"sky on {name}: {words}")
        self.setToolTip(f"Sky on {name}: {words}")

    def _on_chosen(self, action: QAction) -> None:
        self.chosen.emit(self._number, action.text())


class SkyButtons(QWidget):
    """A button for each of the first dates; the rest stand behind one more, which opens a sheet."""

    all_wanted = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._shown: tuple[object, ...] = ()
        self._buttons = [SkyButton(number) for number in range(MOST_DATES)]
        self._all = QToolButton()
        self._all.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._all.setToolTip("Change the sky of every date")
        self._all.clicked.connect(self.all_wanted)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        line.addWidget(QLabel("Sky"))
        for button in self._buttons:
            button.chosen.connect(self._on_chosen)
            line.addWidget(button)
        line.addWidget(self._all)

    def show_scenario(self, scenario: Scenario) -> None:
        """Show the sky of a scenario."""
        if (scenario.site, scenario.day) == self._shown:
            return
        self._shown = (scenario.site, scenario.day)
        words = [shown_word(sky) for sky in skies_of(scenario)]
        shown = tuple(zip(dates_of(scenario), words, strict=True))
        for button, date in zip(self._buttons, shown, strict=False):
            button.show_date(*date)
        for number, button in enumerate(self._buttons):
            button.setVisible(number < len(shown))
        self._all.setVisible(len(shown) > MOST_DATES)
        self._all.setText(MORE.format(len(shown)))

    def _on_chosen(self, number: int, word: SkyWord) -> None:
        # A menu left open may outlast its date: another file, opened meanwhile, has fewer.
        if number < len(dates_of(self._desk.document.scenario)):
            put_sky(self._desk, word, number)
