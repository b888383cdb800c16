"""What a view of a scene showed last, so that what moves over it need not paint it anew."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QRect, QRectF
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QGraphicsView

from app.widgets.pixels import blank_pixels

# What is drawn without blur may reach this far out of the place a scene tells of. [px]
BLUR_PX = 2


class KeptPicture(QObject):
    """Holds the pixels of a view, and paints again only what the scene says has changed."""

    def __init__(self, view: QGraphicsView) -> None:
        super().__init__(view)
        self._view = view
        self._pixels: QPixmap | None = None
        # Places to be painted anew, none of which touches another.
        self._stale: list[QRect] = []
        view.scene().changed.connect(self._on_changed)

    def forget(self) -> None:
        """Paint all of it the next time: its colours or its size are others."""
        self._pixels = None

    def renew(self) -> bool:
        """Paint what has changed since the last time; return whether anything has."""
        # What was changed in this turn of the window is told of in the next one.
        QCoreApplication.sendPostedEvents(self._view.scene(), QEvent.Type.MetaCall)
        viewport = self._view.viewport()
        ratio = viewport.devicePixelRatioF()
        if self._pixels is None or self._pixels.devicePixelRatio() != ratio:
            self._pixels = blank_pixels(viewport.size(), ratio)
            self._stale = [viewport.rect()]
        stale, self._stale = self._stale, []
        if not stale:
            return False
        with QPainter(self._pixels) as painter:
            for place in stale:
                painter.setClipRect(place)
                self._view.render(painter, QRectF(place), place)
        return True

    def draw(self, painter: QPainter, place: QRectF) -> None:
        """Put the pixels of a place on the screen."""
        assert self._pixels is not None
        ratio = self._pixels.devicePixelRatio()
        source = QRectF(place.topLeft() * ratio, place.size() * ratio)
        painter.drawPixmap(place, self._pixels, source)

    def _on_changed(self, places: list[QRectF]) -> None:
        seen = self._view.viewport().rect()
        for place in places:
            box = self._view.mapFromScene(place).boundingRect()
            box = box.adjusted(-BLUR_PX, -BLUR_PX, BLUR_PX, BLUR_PX) & seen
            while touched := [each for each in self._stale if each.intersects(box)]:
                for each in touched:
                    self._stale.remove(each)
                    box |= each
            if not box.isEmpty():
                self._stale.append(box)
