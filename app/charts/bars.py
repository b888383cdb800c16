"""Plain bars sorted largest first: how far each input moves a result, either way."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.charts.canvas import Canvas
from app.charts.hatch import Hatch
from app.charts.ink import Ink
from app.charts.map_paint import paint_key, paint_swatch

LOWER, HIGHER = "input lower", "input higher"
KEY = ((Hatch.FALLING, False, LOWER), (Hatch.NONE, True, HIGHER))


@dataclass(frozen=True)
class Bar:
    """One input: its path and label, shares of the widest bar either way, and the result in words.

    ``lower_share`` is how far the lower input moves the result, negative to the left; inf beyond
    the end of the scale.
    """

    path: str
    label: str
    lower_share: float
    higher_share: float
    words: str


class Bars(Canvas):
    """Draws bars about a line that stands for the station as it is; one of them is chosen."""

    chosen = Signal(str)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.bars: tuple[Bar, ...] = ()
        self._at = 0
        self._middle = ""
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setToolTip("Up and down choose an input; so does a click.")

    @property
    def chosen_bar(self) -> Bar | None:
        """The bar that is chosen."""
        return self.bars[self._at] if self.bars else None

    def show_bars(self, bars: tuple[Bar, ...], middle: str) -> None:
        """Show other bars; the same input stays chosen where it is still there."""
        kept = self.chosen_bar.path if self.chosen_bar else ""
        self.bars, self._middle = bars, middle
        self._at = next((at for at, bar in enumerate(bars) if bar.path == kept), 0)
        self.setAccessibleDescription("\n".join(f"{bar.label}: {bar.words}" for bar in bars))
        self.updateGeometry()
        self.renew()

    def choose(self, at: int) -> None:
        """Choose a bar by its rank."""
        if self.bars:
            self._at = min(max(at, 0), len(self.bars) - 1)
            self.renew()
            self.chosen.emit(self.bars[self._at].path)

    def paint_still(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        metrics = QFontMetricsF(self.font())
        row_px = self._row_px()
        label_px = min(
            max((metrics.horizontalAdvance(bar.label) for bar in self.bars), default=0.0) + 20,
            size.width() * 0.4,
        )
        words_px = min(
            max((metrics.horizontalAdvance(bar.words) for bar in self.bars), default=0.0) + 12,
            size.width() * 0.4,
        )
        field = QRectF(label_px, row_px, size.width() - label_px - words_px, size.height() - row_px)
        painter.setPen(ink.text)
        wide = metrics.horizontalAdvance(self._middle) + 8
        head = QRectF(field.center().x() - wide / 2, 0, wide, row_px)
        painter.drawText(head, Qt.AlignmentFlag.AlignCenter, self._middle)
        for at, bar in enumerate(self.bars):
            self._paint_bar(painter, field, at, bar, ink)
        painter.setPen(QPen(ink.text, 1))
        middle, bottom = field.center().x(), row_px * (len(self.bars) + 1)
        painter.drawLine(QLineF(middle, row_px - 2, middle, bottom))
        paint_key(painter, QPointF(8.0, bottom + 4), KEY, ink)

    def _paint_bar(self, painter: QPainter, field: QRectF, at: int, bar: Bar, ink: Ink) -> None:
        top, height = self._row_px() * (at + 1), self._row_px()
        room = QRectF(0, top, self.width(), height)
        if at == self._at:
            painter.fillRect(room, ink.grid)
        half = field.width() / 2 - 8
        for share, hatch, toned in (
            (bar.lower_share, Hatch.FALLING, False), (bar.higher_share, Hatch.NONE, True),
        ):  # fmt: skip
            length = half * min(max(share, -1.0), 1.0)
            left = field.center().x() + min(length, 0.0)
            swatch = QRectF(left, top + 4, abs(length), height - 8)
            if swatch.width() >= 1:
                paint_swatch(painter, swatch, hatch, ink, is_toned=toned)
        painter.setPen(ink.text)
        metrics = QFontMetricsF(self.font())
        middle = Qt.AlignmentFlag.AlignVCenter
        label = metrics.elidedText(bar.label, Qt.TextElideMode.ElideMiddle, field.left() - 12)
        painter.drawText(QRectF(6, top, field.left() - 8, height), middle, label)
        rest = QRectF(field.right() + 6, top, self.width() - field.right() - 8, height)
        words = metrics.elidedText(bar.words, Qt.TextElideMode.ElideRight, rest.width())
        painter.drawText(rest, middle, words)

    def _row_px(self) -> float:
        return QFontMetricsF(self.font()).height() + 12

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        if event.key() in steps:
            self.choose(self._at + steps[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = int(event.position().y() / self._row_px()) - 1
        if 0 <= at < len(self.bars):
            self.choose(at)

    def sizeHint(self) -> QSize:
        return QSize(600, round(self._row_px() * (len(self.bars) + 2)))

    def minimumSizeHint(self) -> QSize:
        return QSize(320, self.sizeHint().height())
