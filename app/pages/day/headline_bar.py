"""The headline above the day: who ends, when and why, and what could be done about it."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from app.pages.day.chips import Chips
from app.state.display import Display
from app.widgets.tokens import HEADLINE, is_dark, station_style
from model.engine.comparison import Comparison
from model.verdict.headline import Headline, headline

WAITING = "Being worked out …"


class HeadlineBar(QWidget):
    """Shows the headline with its moment emphasised, its cause, and the offers."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self.headline: Headline | None = None
        self._basis = ""
        self.text, self.cause = QLabel(), QLabel()
        self.text.setTextFormat(Qt.TextFormat.RichText)
        self.cause.setTextFormat(Qt.TextFormat.PlainText)
        for label in (self.text, self.cause):
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.offers = Chips(display)
        self.now = self._tool("Now…", "Go on from the charge that is left now")
        self.now.setCheckable(True)
        self.held = self._tool("Hold", "Keep the present curves in grey, to compare with")
        self.held.setCheckable(True)
        self._line = line = QHBoxLayout()
        line.setSpacing(8)
        line.addWidget(self.cause, 1)
        for button in (self.now, self.held):
            line.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 8, 4)
        column.setSpacing(2)
        column.addWidget(self.text)
        column.addLayout(line)
        column.addWidget(self.offers)
        display.units_changed.connect(self._write)
        self._dress()

    def keep_low(self, is_low: bool) -> None:
        """Keep all offers in a menu beside the cause, where the window is low."""
        if is_low == self.offers.is_short:
            return
        self.offers.keep_short(is_low)
        if is_low:
            self._line.addWidget(self.offers, 0, Qt.AlignmentFlag.AlignTop)
        else:
            self._column.addWidget(self.offers)

    def _tool(self, text: str, tip: str) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(tip)
        button.setAccessibleName(text.removesuffix("…"))
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def show_now(self, is_now: bool) -> None:
        """Show whether what is said goes on from a reading."""
        self.now.setChecked(is_now)

    def show_comparison(self, comparison: Comparison, basis: str = "") -> None:
        """Show the headline of a comparison; offers of an earlier one turn grey.

        ``basis`` says from where it counts, where that is not the start of the run.
        """
        self.headline, self._basis = headline(comparison), basis
        self._write()
        self.offers.show_outdated()

    def show_waiting(self) -> None:
        """Say that nothing is known yet of what is entered."""
        self.show_failure(WAITING)

    def show_failure(self, words: str) -> None:
        """Say that there is no result on what is entered, and why."""
        self.headline = None
        self.text.setText(escape(words))
        self.cause.clear()
        self._announce(words, "")

    def _write(self) -> None:
        told = self.headline
        if told is None:
            return
        begin, end = told.emphasis
        parts = (told.text[:begin], told.text[begin:end], told.text[end:])
        before, moment, after = (escape(part) for part in parts)
        if told.station is not None and moment:
            colour = station_style(told.station).colour(dark=is_dark(self.palette()))
            moment = f'<b><span style="color:{colour}">{moment}</span></b>'
        self.text.setText(before + moment + after)
        cause = self._display.sentence(" ".join(filter(None, (self._basis, told.cause))))
        self.cause.setText(cause)
        self._announce(told.text, cause)

    def _announce(self, text: str, cause: str) -> None:
        """Tell those who listen, once for each new headline."""
        if (text, cause) == (self.accessibleName(), self.accessibleDescription()):
            return
        self.setAccessibleName(text)
        self.setAccessibleDescription(cause)
        self.text.setAccessibleName(text)
        for event in (QAccessible.Event.NameChanged, QAccessible.Event.DescriptionChanged):
            QAccessible.updateAccessibility(QAccessibleEvent(self, event))

    def _dress(self) -> None:
        font = self.font()
        font.setPointSizeF(font.pointSizeF() * HEADLINE)
        if self.text.font() != font:
            self.text.setFont(font)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._dress()
        elif event.type() == QEvent.Type.PaletteChange:
            self._write()
