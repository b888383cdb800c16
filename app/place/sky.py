"""The sky in words: one choice for all days, and behind it one for each day and the numbers."""

from __future__ import annotations

from datetime import timedelta
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QStandardItemModel
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.fields.choices import QuietCombo
from app.fields.editor import plain_tip
from app.fields.texts import NumbersEditor
from app.flow import FlowLayout
from app.state.edit_context import Desk
from model.scenario.scenario import Day
from model.sky.cloud_words import SKY_WORDS, sky_range, sky_word, with_sky, with_sky_on

PATH = "day.cloud_okta"
OWN, EACH, ASK_OWN = "own numbers", "differs by day", "in detail…"
RAIN = (
    "8/8 is thin overcast, which lets a quarter of clear light through; rain leaves nearer a"
    " tenth. For rain choose overcast, and count on less than half of the sun shown."
)
TIP = f"How much of the sky is cloud, in the words of a forecast. {RAIN}"


class WordCombo(QuietCombo):
    """The words for a sky; what none of them fits is said so, and can be read but not chosen."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._foreign = ""
        self.setAccessibleName(name)
        self.setAccessibleDescription(TIP)
        self.setToolTip(plain_tip(TIP))
        for word in SKY_WORDS:
            self.addItem(word, word)
            low, high = sky_range(word)
            eighths = f"{low}" if low == high else f"{low} to {high}"
            tip = f"{eighths} eighths of the sky covered."
            if word == "overcast":
                tip = f"{tip} {RAIN}"
            self.setItemData(self.count() - 1, plain_tip(tip), Qt.ItemDataRole.ToolTipRole)

    def show_words(self, words: str) -> None:
        """Show a word that stands in the list, or another one for as long as it is needed."""
        if self._foreign and self._foreign != words:
            self.removeItem(self.findText(self._foreign))
            self._foreign = ""
        if self.findText(words) < 0:
            self._foreign = words
            self.addItem(words)
            item = cast("QStandardItemModel", self.model()).item(self.count() - 1)
            item.setEnabled(False)
        self.setCurrentIndex(self.findText(words))


class SkyChoice(QWidget):
    """The sky of all days in the line of place and day; its last entry opens the days."""

    days_wanted = Signal()
    days_done = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.edit = WordCombo("day, sky")
        self.edit.insertSeparator(self.edit.count())
        self.edit.addItem(ASK_OWN, "")
        label = QLabel("Sky")
        label.setToolTip(plain_tip(TIP))
        label.setBuddy(self.edit)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        line.addWidget(label)
        line.addWidget(self.edit)
        self.setFocusProxy(self.edit)
        self.edit.activated.connect(self._on_activated)

    def refresh(self) -> None:
        """Show what the document holds."""
        cloud = self._desk.document.scenario.day.cloud_okta
        words = {sky_word(okta) for okta in cloud}
        self.edit.show_words(EACH if len(words) > 1 else words.pop() or OWN)

    def _on_activated(self, index: int) -> None:
        word = self.edit.itemData(index)
        if not word:
            self.refresh()
            self.days_wanted.emit()
            return
        day = self._desk.document.scenario.day
        self._desk.document.edit(PATH, with_sky(day.cloud_okta, word), "change of the sky")
        self._desk.document.end_burst()
        self.refresh()
        self.days_done.emit()


class DaySky(QWidget):
    """The sky of one day, under its date."""

    chosen = Signal(int, str)

    def __init__(self, index: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._index = index
        self.edit = WordCombo(f"day {index + 1}, sky")
        self.label = QLabel()
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setBuddy(self.edit)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        line.addWidget(self.label)
        line.addWidget(self.edit)
        self.edit.activated.connect(self._on_activated)

    def show_day(self, day: Day) -> None:
        """Show the date and what sky it has."""
        date = day.date + timedelta(days=self._index)
        self.label.setText(f"{date:%a} {date.day}")
        cloud = day.cloud_okta
        okta = cloud[self._index] if self._index < len(cloud) else cloud[0]
        self.edit.show_words(sky_word(okta) or OWN)

    def _on_activated(self, index: int) -> None:
        self.chosen.emit(self._index, self.edit.itemData(index))


class SkyDays(QWidget):
    """A choice for each day and the eighths behind them; opens where one word is not enough."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._days: list[DaySky] = []
        self.numbers = NumbersEditor(desk, PATH)
        self.numbers.label.setWordWrap(False)
        self._line = FlowLayout(self)
        self._line.addWidget(self.numbers)
        self.hide()

    def refresh(self) -> None:
        """Show what the document holds, and stand open where words for all days cannot say it."""
        self.numbers.refresh()
        day = self._desk.document.scenario.day
        self._match(day.days if day.days > 1 else 0)
        for editor in self._days:
            editor.show_day(day)
        words = {sky_word(okta) for okta in day.cloud_okta}
        if len(words) > 1 or None in words:
            self.show()

    def open(self) -> None:
        """Show the choices, and give the first one the keyboard."""
        self.show()
        (self._days[0].edit if self._days else self.numbers).setFocus()

    def close_days(self) -> None:
        """Hide the choices, unless a text that was refused stands among them."""
        self.setVisible(bool(self.numbers.fault))

    def _match(self, count: int) -> None:
        while len(self._days) > count:
            day = self._days.pop()
            self._line.removeWidget(day)
            day.hide()
            day.deleteLater()
        while len(self._days) < count:
            day = DaySky(len(self._days))
            day.chosen.connect(self._on_chosen)
            self._days.append(day)
            self._line.insert(len(self._days) - 1, day)

    def _on_chosen(self, index: int, word: str) -> None:
        document = self._desk.document
        day = document.scenario.day
        cloud = with_sky_on(day.cloud_okta, word, index, day.days)  # type: ignore[arg-type]
        document.edit(PATH, cloud, f"change of the sky on day {index + 1}")
        document.end_burst()
        self._days[index].show_day(document.scenario.day)
