"""Which question of the class this is: a dot for each, filled up to here."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPen

from app.classroom.picture import RIGHT, Lettering, Picture

DOTS_LIMIT = 14


class Progress(Picture):
    """Words and dots, right-aligned; words alone where there are many questions."""

    lines_least = 1.4

    def __init__(self) -> None:
        super().__init__()
        self._at = self._count = 0

    def show_place(self, at: int, count: int) -> None:
        """Show a place counted from 1; 0 shows nothing."""
        self._at, self._count = at, count
        self.say(f"{at} of {count}" if at else "")
        self.update()

    def forget(self) -> None:
        """Show no place."""
        self.show_place(0, 0)

    def has_something(self) -> bool:
        return self._at > 0 and self._count > 1

    def paint(self, pen: Lettering) -> None:
        px, x = pen.px, pen.room.right()
        radius, y = px * 0.26, pen.room.center().y()
        if self._count <= DOTS_LIMIT:
            for place in range(self._count, 0, -1):
                x -= px * 0.85
                pen.painter.setPen(QPen(pen.quiet, 2))
                pen.painter.setBrush(pen.quiet if place <= self._at else pen.ground)
                pen.painter.drawEllipse(QPointF(x + radius, y), radius, radius)
        words = f"{self._at} of {self._count}"
        room = QRectF(0, 0, x - px * 0.4, pen.room.height())
        pen.put(room, RIGHT, words, colour=pen.quiet)
