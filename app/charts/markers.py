"""The one painter of the stations' markers, and of the sample of a line that names it."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF

SAMPLE_PX = 26.0
MARKER_PX = 4.5
# A square and a diamond of these shares look as large as a circle of the same radius.
SQUARE, DIAMOND_WIDE, DIAMOND_HIGH = 0.9, 0.9, 1.3


def draw_shape(painter: QPainter, at: QPointF, marker: str, radius_px: float) -> None:
    """Draw a marker's shape with whatever pen and brush the painter holds."""
    r = radius_px
    if marker == "o":
        painter.drawEllipse(at, r, r)
    elif marker == "s":
        side = r * SQUARE
        painter.drawRect(QRectF(at.x() - side, at.y() - side, 2 * side, 2 * side))
    elif marker == "t":
        painter.drawPolygon(_polygon(at, ((-r, -r), (r, -r), (0.0, r))))
    else:
        wide, high = r * DIAMOND_WIDE, r * DIAMOND_HIGH
        painter.drawPolygon(_polygon(at, ((0.0, -high), (wide, 0.0), (0.0, high), (-wide, 0.0))))


def draw_marker(painter: QPainter, at: QPointF, marker: str, colour: QColor) -> None:
    """Draw a station's marker in its colour."""
    painter.setPen(QPen(colour, 1))
    painter.setBrush(QBrush(colour))
    draw_shape(painter, at, marker, MARKER_PX)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def draw_sample(
    painter: QPainter, at: QPointF, colour: QColor, line: Qt.PenStyle, marker: str = ""
) -> None:
    """Draw a short piece of a line to the right of a place, with its marker in the middle."""
    pen = QPen(colour, 2, line)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    painter.drawLine(QLineF(at.x(), at.y(), at.x() + SAMPLE_PX, at.y()))
    if marker:
        draw_marker(painter, QPointF(at.x() + SAMPLE_PX / 2, at.y()), marker, colour)


def _polygon(at: QPointF, corners: tuple[tuple[float, float], ...]) -> QPolygonF:
    return QPolygonF([at + QPointF(x, y) for x, y in corners])
