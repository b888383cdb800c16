"""Plain bars, the greatest first: what raises the odds, or what drives the uncertainty."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink, mixed
from app.pages.odds.sheet import Sheet
from app.widgets.tokens import GRID_PX


@dataclass(frozen=True)
class Ranked:
    """One row: its label, how far its bar reaches and from where it adds, and words beside it."""

    label: str
    share: float
    before_share: float
    words: str


class RankBars(Sheet):
    """Rows with a label, a bar and words; one of them can be chosen."""

    chosen = Signal(int)

    def __init__(self, name: str, *, chooses: bool, parent: QWidget | None = None) -> None:
        super().__init__(name, parent)
        self.rows: tuple[Ranked, ...] = ()
        self._index, self._at, self._chooses = 0, 0, chooses
        if chooses:
            self.setToolTip("Up and down choose one; so does a click.")
        else:
            self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    @property
    def at(self) -> int:
        """Which row is chosen."""
        return self._at

    def show_rows(self, rows: tuple[Ranked, ...], index: int) -> None:
        """Show other rows, about one station."""
        self.rows, self._index, self._at = rows, index, 0
        self.setAccessibleDescription("\n".join(f"{row.label}: {row.words}" for row in rows))
        self.setVisible(bool(rows))
        self.updateGeometry()
        self.renew()

    def choose(self, at: int) -> None:
        """Choose a row by its rank."""
        if self._chooses and self.rows:
            self._at = min(max(at, 0), len(self.rows) - 1)
            self.renew()
            self.chosen.emit(self._at)

    @property
    def _row_px(self) -> float:
        # A line of words above each bar: labels are sentences.
        return 2 * self.line_px + GRID_PX

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        wide = max((self.words_px(row.words) for row in self.rows), default=0.0) + GRID_PX
        words_px = min(wide, 0.5 * size.width())
        metrics = QFontMetricsF(self.font())
        for at, row in enumerate(self.rows):
            top = at * self._row_px
            if self._chooses and at == self._at:
                painter.fillRect(QRectF(0, top, size.width(), self._row_px - 2), ink.grid)
            label = metrics.elidedText(
                row.label, Qt.TextElideMode.ElideMiddle, size.width() - 2 * GRID_PX
            )
            painter.setPen(ink.text)
            place = QRectF(GRID_PX, top, size.width() - 2 * GRID_PX, self.line_px + 2)
            painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, label)
            room = QRectF(GRID_PX, top + self.line_px + 2, size.width() - words_px - 3 * GRID_PX,
                          self.line_px)  # fmt: skip
            self._paint_bar(painter, room.adjusted(0, 2, 0, -2), row, ink)
            painter.setPen(ink.faint_text)
            rest = QRectF(room.right() + GRID_PX, room.top(), words_px, room.height())
            self.put_words(painter, rest, row.words, Qt.AlignmentFlag.AlignLeft)

    def _paint_bar(self, painter: QPainter, room: QRectF, row: Ranked, ink: Ink) -> None:
        painter.fillRect(room, mixed(ink.ground, ink.text, 0.07))
        whole = QRectF(room.left(), room.top(), room.width() * row.share, room.height())
        painter.fillRect(whole, ink.accent if self._chooses else mixed(ink.ground, ink.text, 0.6))
        if row.before_share > 0:
            before = QRectF(whole)
            before.setWidth(room.width() * row.before_share)
            painter.fillRect(before, ink.station(self._index))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        if self._chooses and event.key() in steps:
            self.choose(self._at + steps[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = int(event.position().y() / self._row_px)
        if 0 <= at < len(self.rows):
            self.choose(at)

    def sizeHint(self) -> QSize:
        return QSize(360, round(self._row_px * max(len(self.rows), 1)))

    def minimumSizeHint(self) -> QSize:
        return QSize(240, self.sizeHint().height())
