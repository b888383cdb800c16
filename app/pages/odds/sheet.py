"""The ground of the drawings of odds: faded while they are out of date."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.charts.canvas import Canvas
from app.charts.ink import Ink

OUTDATED_OPACITY = 0.35


class Sheet(Canvas):
    """Paints what its own kind has to say, or nothing before there is anything."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._is_outdated = False
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        """Paint what there is."""
        raise NotImplementedError

    def show_outdated(self, is_outdated: bool) -> None:
        """Fade what belongs to an earlier scenario, or show it in full again."""
        if is_outdated != self._is_outdated:
            self._is_outdated = is_outdated
            self.renew()

    def paint_still(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        painter.setOpacity(OUTDATED_OPACITY if self._is_outdated else 1.0)
        self.paint_now(painter, size, ink)

    @property
    def line_px(self) -> float:
        """The height of a line of text."""
        return QFontMetricsF(self.font()).height()

    def words_px(self, words: str) -> float:
        """Return how wide words are."""
        return QFontMetricsF(self.font()).horizontalAdvance(words)

    def put_words(
        self, painter: QPainter, room: QRectF, words: str, side: Qt.AlignmentFlag
    ) -> None:
        """Write words on one line, shortened where there is no room for them."""
        metrics = QFontMetricsF(self.font())
        shown = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, side | Qt.AlignmentFlag.AlignVCenter, shown)

    def paint_tenths(self, painter: QPainter, field: QRectF, ink: Ink) -> None:
        """Paint the level lines of so many in ten, with their numbers at the left."""
        for tenths in (0, 5, 10):
            y = field.bottom() - field.height() * tenths / 10
            painter.setPen(QPen(ink.grid, 1))
            painter.drawLine(QLineF(field.left(), y, field.right(), y))
            painter.setPen(ink.faint_text)
            place = QRectF(0, y - self.line_px / 2, field.left() - 5, self.line_px)
            self.put_words(painter, place, str(tenths), Qt.AlignmentFlag.AlignRight)
