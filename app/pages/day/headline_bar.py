"""The headline above the day: who ends, when and why, and what could be done about it."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, QObject, QSize, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from app.flow import FlowLayout
from app.widgets.tokens import HEADLINE, is_dark, station_style
from model.advice.offers import Offer
from model.engine.comparison import Comparison
from model.verdict.headline import Headline, headline

GROUPS = {"fix": "Fix", "what if": "What if"}
# Around the words of a chip and beside it. [px]
CHIP_MARGIN_PX = 56
OUTDATED = "Out of date: being worked out again for what is entered now"


class HeadlineBar(QWidget):
    """Shows the headline with its moment emphasised, its cause, and a chip for each offer.

    Pointing at a chip or giving it the keyboard previews its change, a click applies it.
    """

    previewed = Signal(object)
    applied = Signal(object, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.headline: Headline | None = None
        self.text, self.cause = QLabel(), QLabel()
        self.chips: list[_Chip] = []
        self.text.setTextFormat(Qt.TextFormat.RichText)
        self.cause.setTextFormat(Qt.TextFormat.PlainText)
        for label in (self.text, self.cause):
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        row = QWidget()
        self._row = FlowLayout(row)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 8, 4)
        column.setSpacing(2)
        for widget in (self.text, self.cause, row):
            column.addWidget(widget)
        self._dress()

    def show_comparison(self, comparison: Comparison) -> None:
        """Show the headline of a comparison; offers of an earlier one turn grey."""
        self.headline = headline(comparison)
        self._write()
        self.show_outdated()

    def show_outdated(self) -> None:
        """Turn every offer grey until there are newer ones."""
        for chip in self.chips:
            chip.setEnabled(False)
            chip.setToolTip(OUTDATED)

    def show_failure(self, words: str) -> None:
        """Say that there is no result on what is entered, and why."""
        self.headline = None
        self.text.setText(escape(words))
        self.cause.clear()
        self._announce(words, "")

    def show_offers(self, offers: tuple[Offer, ...]) -> None:
        """Show these offers, in place of earlier ones."""
        while len(self.chips) < len(offers):
            chip = _Chip(self)
            self.chips.append(chip)
            self._row.addWidget(chip)
        for chip, offer in zip(self.chips, offers, strict=False):
            chip.show_offer(offer)
        for chip in self.chips[len(offers) :]:
            chip.hide()
        self._row.invalidate()

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
        self.cause.setText(told.cause)
        self._announce(told.text, told.cause)

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

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        for chip in self.chips:
            chip.fit(self.width())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._dress()
        elif event.type() == QEvent.Type.PaletteChange:
            self._write()


class _Chip(QPushButton):
    """One offer."""

    def __init__(self, bar: HeadlineBar) -> None:
        super().__init__()
        self._bar = bar
        self._offer: Offer | None = None
        self._words = ""
        self.clicked.connect(self._on_clicked)
        self.installEventFilter(self)

    def show_offer(self, offer: Offer) -> None:
        self._offer = offer
        tail = f"; {offer.price}" if offer.price else ""
        words = f"{GROUPS[offer.group]}: {offer.words}: {offer.outcome}{tail}"
        self._words = words
        self.setAccessibleName(words)
        self.setToolTip(f"{words}. Point to preview, click to apply")
        self.setEnabled(True)
        self.fit(self._bar.width())
        self.show()

    def fit(self, room_px: int) -> None:
        """Shorten the words to the width of the bar; the tip has them whole."""
        text_px = max(room_px - CHIP_MARGIN_PX, CHIP_MARGIN_PX)
        words = self.fontMetrics().elidedText(self._words, Qt.TextElideMode.ElideRight, text_px)
        self.setText(words.replace("&", "&&"))

    def minimumSizeHint(self) -> QSize:
        return QSize(CHIP_MARGIN_PX, super().minimumSizeHint().height())

    def _on_clicked(self) -> None:
        if self._offer is not None:
            self._bar.applied.emit(self._offer.changed, self._offer.words)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self._offer is not None and self.isEnabled():
            if event.type() in (QEvent.Type.Enter, QEvent.Type.FocusIn):
                self._bar.previewed.emit(self._offer.changed)
            elif event.type() in (QEvent.Type.Leave, QEvent.Type.FocusOut):
                self._bar.previewed.emit(None)
        return super().eventFilter(watched, event)
