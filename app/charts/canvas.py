"""The ground of everything drawn here: painted once for a size, with a cursor, and saved."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink
from app.charts.picture_file import save_lines, save_pixels
from app.widgets.pixels import blank_pixels

PICTURE_SCALE = 2.0


class Canvas(QWidget):
    """A drawing of its own; what does not follow the cursor is painted once and kept."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._kept: QPixmap | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def paint_still(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        """Paint what stays the same while the cursor moves, on the ground and in the font of it."""
        raise NotImplementedError

    def paint_cursor(self, painter: QPainter, ink: Ink) -> None:
        """Paint the cursor."""

    def renew(self) -> None:
        """Paint all of it again."""
        self._kept = None
        self.update()

    def picture(self) -> QImage:
        """Return the drawing as an image of twice the pixels, without the cursor."""
        image = QImage(self.size() * PICTURE_SCALE, QImage.Format.Format_RGB32)
        with QPainter(image) as painter:
            painter.scale(PICTURE_SCALE, PICTURE_SCALE)
            self._paint_sheet(painter)
        return image

    def save_png(self, path: Path) -> None:
        """Save the drawing as pixels; raise SaveError, which says why, where that fails."""
        save_pixels(self.picture(), path)

    def save_svg(self, path: Path) -> None:
        """Save the drawing as lines and text; raise SaveError, which says why, where that fails."""
        name, description = self.accessibleName(), self.accessibleDescription()
        save_lines(self._paint_sheet, self.size(), path, name, description)

    def _paint_sheet(self, painter: QPainter) -> None:
        size, ink = QRectF(self.rect()), Ink.of(self.palette())
        # New pixels hold anything until they are painted on.
        painter.fillRect(size, ink.ground)
        painter.setFont(self.font())
        self.paint_still(painter, size, ink)

    def paintEvent(self, event: QPaintEvent) -> None:
        ink = Ink.of(self.palette())
        ratio = self.devicePixelRatioF()
        if self._kept is None or self._kept.size() != self.size() * ratio:
            self._kept = blank_pixels(self.size(), ratio)
            with QPainter(self._kept) as painter:
                self._paint_sheet(painter)
        with QPainter(self) as painter:
            painter.drawPixmap(0, 0, self._kept)
            self.paint_cursor(painter, ink)
            if self.hasFocus():
                painter.setPen(ink.accent)
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(self.rect().adjusted(0, 0, -1, -1))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self.renew()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.renew()

    def sizeHint(self) -> QSize:
        return QSize(560, 400)
