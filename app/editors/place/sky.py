"""The sky in words: one choice for all dates, and behind it one for each date and the index."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QStandardItemModel
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.editors.fields.choices import QuietCombo
from app.editors.fields.editor import plain_tip
from app.editors.fields.texts import SkiesEditor
from app.state.edit_context import Desk
from app.widgets.flow import FlowLayout
from model.scenario.daily import SKY_WORDS, SkyWord
from model.scenario.scenario import Scenario
from model.sky.cloud_words import WORD_CLASSES, index_of, sky_text, with_sky
from model.sky.timeline import date_name, timeline

PATH = "day.sky"
EACH, ASK_OWN = "differs by date", "in detail…"
SPREAD = "Give or take is one standard deviation: about one day in three lies outside."
TIP = (
    "What each local date is like, as a forecast says it. A word stands for the day's light over"
    f" that of a clear day. {SPREAD}"
)


def word_tip(word: SkyWord) -> str:
    """Return what a word stands for, with its spreads."""
    stands = WORD_CLASSES[word]
    rain = " Six hours of rain or more." if word == "rain" else ""
    return (
        f"About {stands.index:.2f} of a clear day's light, give or take {stands.sd_within:.2f} from"
        f" day to day and {stands.sd_between:.2f} from place to place; a climate with cloud cover"
        f" scales that to the place.{rain}"
    )


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
            tip = plain_tip(word_tip(word))
            self.setItemData(self.count() - 1, tip, Qt.ItemDataRole.ToolTipRole)

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
    """The sky of all dates in the line of place and day.

    Below the words stands rain for each date by itself; the last entry opens the dates.
    """

    days_wanted = Signal()
    days_done = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._dates: tuple[str, ...] = ()
        self.edit = WordCombo("day, sky")
        self.index = QLabel()
        self.index.setToolTip(plain_tip("The light of these days over that of clear ones."))
        label = QLabel("Sky")
        label.setToolTip(plain_tip(TIP))
        label.setBuddy(self.edit)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        for widget in (label, self.edit, self.index):
            line.addWidget(widget)
        self.setFocusProxy(self.edit)
        self.edit.activated.connect(self._on_activated)

    def refresh(self) -> None:
        """Show what the document holds."""
        scenario = self._desk.document.scenario
        self._offer(dates_of(scenario))
        skies = skies_of(scenario)
        words = dict.fromkeys(shown_word(sky) for sky in skies)
        self.edit.show_words(EACH if len(words) > 1 else next(iter(words)))
        indices = [index_of(sky, scenario.climate) for sky in skies]
        low, high = (f"{end(indices):.2f}" for end in (min, max))
        self.index.setText(low if low == high else f"{low}–{high}")

    def _offer(self, dates: tuple[str, ...]) -> None:
        """Let the list end with rain on each date, and with the dates themselves."""
        if dates == self._dates:
            return
        self._dates = dates
        while self.edit.count() > len(SKY_WORDS):
            self.edit.removeItem(self.edit.count() - 1)
        self.edit.insertSeparator(self.edit.count())
        if len(dates) > 1:
            for number, date in enumerate(dates):
                self.edit.addItem(f"rain on {date}", number)
            self.edit.insertSeparator(self.edit.count())
        self.edit.addItem(ASK_OWN, "")

    def _on_activated(self, index: int) -> None:
        chosen = self.edit.itemData(index)
        scenario = self._desk.document.scenario
        if chosen == "":
            self.refresh()
            self.days_wanted.emit()
        elif isinstance(chosen, int):
            put_sky(self._desk, "rain", chosen)
            self.refresh()
            self.days_wanted.emit()
        elif scenario.day.sky != (chosen,):
            self._desk.document.edit(PATH, (chosen,), "change of the sky")
            self._desk.document.end_burst()
            self.refresh()
            self.days_done.emit()


class DateSky(QWidget):
    """The sky of one date, under its name, with the index it counts as."""

    chosen = Signal(int, str)

    def __init__(self, number: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._number = number
        self.edit = WordCombo(f"date {number + 1}, sky")
        self.label, self.index = QLabel(), QLabel()
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setBuddy(self.edit)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(4)
        for widget in (self.label, self.edit, self.index):
            line.addWidget(widget)
        self.edit.activated.connect(self._on_activated)

    def show_date(self, scenario: Scenario, name: str) -> None:
        """Show the date and what sky it has."""
        sky = skies_of(scenario)[self._number]
        self.label.setText(name)
        self.edit.setAccessibleName(f"{name}, sky")
        self.edit.show_words(shown_word(sky))
        self.index.setText(f"{index_of(sky, scenario.climate):.2f}")

    def _on_activated(self, index: int) -> None:
        word = self.edit.itemData(index)
        if word:
            self.chosen.emit(self._number, word)


class SkyDates(QWidget):
    """A choice for each date and the text behind them; opens where one word is not enough."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._dates: list[DateSky] = []
        self.numbers = SkiesEditor(desk, PATH)
        self.numbers.label.setWordWrap(False)
        self._line = FlowLayout(self)
        self._line.addWidget(self.numbers)
        self.hide()

    def refresh(self) -> None:
        """Show what the document holds, and stand open where words for all dates cannot say it."""
        self.numbers.refresh()
        scenario = self._desk.document.scenario
        names = dates_of(scenario)
        self._match(len(names) if len(names) > 1 else 0)
        for editor, name in zip(self._dates, names, strict=False):
            editor.show_date(scenario, name)
        given = scenario.day.sky
        if len(set(given)) > 1 or not isinstance(given[0], str):
            self.show()

    def open(self) -> None:
        """Show the choices, and give the first one the keyboard."""
        self.show()
        (self._dates[0].edit if self._dates else self.numbers).setFocus()

    def close_days(self) -> None:
        """Hide the choices, unless a text that was refused stands among them."""
        self.setVisible(bool(self.numbers.fault))

    def _match(self, count: int) -> None:
        while len(self._dates) > count:
            date = self._dates.pop()
            self._line.removeWidget(date)
            date.hide()
            date.deleteLater()
        while len(self._dates) < count:
            date = DateSky(len(self._dates))
            date.chosen.connect(self._on_chosen)
            self._dates.append(date)
            self._line.insert(len(self._dates) - 1, date)

    def _on_chosen(self, number: int, word: SkyWord) -> None:
        put_sky(self._desk, word, number)
        scenario = self._desk.document.scenario
        self._dates[number].show_date(scenario, dates_of(scenario)[number])


def dates_of(scenario: Scenario) -> tuple[str, ...]:
    """Return the names of the local dates that the run touches."""
    return tuple(date_name(date) for date in timeline(scenario.site, scenario.day).dates)


def skies_of(scenario: Scenario) -> tuple[SkyWord | float, ...]:
    """Return the sky of each date that the run touches."""
    count = len(timeline(scenario.site, scenario.day).dates)
    given = scenario.day.sky
    return (given + given[-1:] * count)[:count]


def shown_word(sky: SkyWord | float) -> str:
    """Return a sky as it stands in a choice: its word, or its index in words."""
    return sky if isinstance(sky, str) else sky_text(sky)


def put_sky(desk: Desk, word: SkyWord, number: int) -> None:
    """Give one date another sky, as one undo step."""
    scenario = desk.document.scenario
    names = dates_of(scenario)
    changed = with_sky(scenario.day.sky, word, number, len(names))
    desk.document.edit(PATH, changed, f"change of the sky on {names[number]}")
    desk.document.end_burst()
