"""Paint a page: the one place where marks meet a device, be it paper, a file or the screen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPaintDevice, QPainter, QPen, QPolygonF

from app.printing.marks import Area, Page, Stroke, Text
from app.printing.type import font

INK = QColor(0, 0, 0)
LIGHT = QColor(222, 222, 222)
DARK = QColor(70, 70, 70)
HATCH_PITCH = 26.0


@contextmanager
def painting(device: QPaintDevice) -> Iterator[QPainter]:
    """Yield a painter that ends whatever happens: left active, it takes the process down."""
    painter = QPainter(device)
    try:
        yield painter
    finally:
        painter.end()


def paint_page(painter: QPainter, page: Page, area: QRectF) -> None:
    """Paint a page so that the whole sheet fills ``area`` of the painter's device."""
    painter.save()
    try:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
        painter.translate(area.topLeft())
        painter.scale(area.width() / page.width, area.height() / page.height)
        for mark in page.marks:
            if isinstance(mark, Area):
                _paint_area(painter, mark)
        for mark in page.marks:
            if isinstance(mark, Stroke):
                painter.setPen(_pen(mark.thickness, mark.pattern))
                painter.drawPolyline(_polygon(mark.points))
        painter.setPen(INK)
        for mark in page.marks:
            if isinstance(mark, Text):
                painter.setFont(font(mark.style))
                painter.drawText(QPointF(mark.x, mark.y), mark.text)
    finally:
        painter.restore()


def _pen(thickness: float, pattern: tuple[float, ...] = ()) -> QPen:
    pen = QPen(INK, thickness)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    if pattern:
        pen.setDashPattern(list(pattern))
    return pen


def _polygon(points: tuple[tuple[float, float], ...]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])


def _paint_area(painter: QPainter, area: Area) -> None:
    shape = _polygon(area.points)
    colours = {"light": LIGHT, "dark": DARK, "ink": INK}
    painter.setPen(Qt.PenStyle.NoPen)
    if area.fill in colours:
        painter.setBrush(QBrush(colours[area.fill]))
        painter.drawPolygon(shape)
    elif area.fill == "hatch":
        _paint_hatch(painter, shape)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if area.thickness > 0:
        painter.setPen(_pen(area.thickness))
        painter.drawPolygon(shape)


def _paint_hatch(painter: QPainter, shape: QPolygonF) -> None:
    """Draw slanting lines inside a shape; a pattern brush would come out as a picture."""
    bounds = shape.boundingRect()
    painter.save()
    painter.setPen(QPen(DARK, 2.5))
    painter.setClipRect(bounds)
    at = bounds.left() - bounds.height()
    while at < bounds.right():
        painter.drawLine(QPointF(at, bounds.bottom()), QPointF(at + bounds.height(), bounds.top()))
        at += HATCH_PITCH
    painter.restore()
