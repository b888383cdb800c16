"""The year as one strip a station: by day, how much of the run the kit holds."""

from __future__ import annotations

from datetime import date as Date
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.charts.canvas import Canvas
from app.charts.hatch import Hatch, box, hatch_lines
from app.charts.ink import Ink
from app.charts.map_paint import HATCH_PX, hatch_tone, paint_key, patch_tone
from app.widgets.tokens import station_style
from model.sizing.year import Year

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
KEY = ((Hatch.NONE, True, "share of the run completed"), (Hatch.FALLING, False, "fails"))


class YearStrip(Canvas):
    """Plain as far as a kit holds, hatched where it fails; a date can be pointed at."""

    pointed = Signal(int)
    chosen = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._year: Year | None = None
        self._run_h = 24.0
        self._at: int | None = None
        self.setAccessibleName("the year by day")
        self.setMouseTracking(True)
        self.setToolTip("Arrow keys go from date to date; a click or Enter runs that date.")

    def show_year(self, year: Year, run_h: float, words: str, at: int) -> None:
        """Show another year, with the cursor on one of its dates."""
        self._year, self._run_h, self._at = year, run_h, at
        self.setAccessibleDescription(words)
        self.updateGeometry()
        self.renew()
        self.pointed.emit(at)

    def put_cursor(self, at: int) -> None:
        """Put the cursor on a date, round the turn of the year, and read it out."""
        if self._year is not None:
            self._at = at % len(self._year.dates)
            self.update()
            self.pointed.emit(self._at)

    def _field(self, size: QRectF) -> QRectF:
        line_px = QFontMetricsF(self.font()).height()
        return size.adjusted(1.8 * line_px, 4, -8, -(2.9 * line_px))

    def paint_still(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        year = self._year
        if year is None:
            return
        field = self._field(size)
        row_px = field.height() / len(year.stations)
        for index, station in enumerate(year.stations):
            row = QRectF(field.left(), field.top() + index * row_px, field.width(), row_px - 6)
            painter.setPen(ink.station(index))
            letter = QRectF(0, row.top(), field.left() - 4, row.height())
            painter.drawText(letter, Qt.AlignmentFlag.AlignCenter, station_style(index).letter)
            if station is None:
                painter.setPen(ink.text)
                painter.drawText(row, Qt.AlignmentFlag.AlignCenter, "not run: see its findings")
            else:
                self._paint_row(painter, row, station.held_h / self._run_h, station.works, ink)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(ink.faint_text, 1))
            painter.drawRect(row)
        self._paint_months(painter, field, year.dates, ink)
        below = size.bottom() - 1.4 * QFontMetricsF(self.font()).height()
        paint_key(painter, QPointF(field.left(), below), KEY, ink)

    def _paint_row(
        self, painter: QPainter, row: QRectF, held: np.ndarray, works: np.ndarray, ink: Ink
    ) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        share = np.where(works, 1.0, np.clip(held, 0.0, 1.0))
        failing = []
        for begin, end in _runs(share):
            left, right = (row.left() + row.width() * at / share.size for at in (begin, end))
            top = row.bottom() - row.height() * float(share[begin])
            painter.fillRect(QRectF(left, top, right - left, row.bottom() - top), patch_tone(ink))
            if share[begin] < 1.0:
                failing.append(box(QRectF(left, row.top(), right - left, top - row.top())))
        painter.setPen(QPen(hatch_tone(ink), 1))
        painter.drawLines(hatch_lines(failing, Hatch.FALLING, HATCH_PX - 1))

    def _paint_months(
        self, painter: QPainter, field: QRectF, dates: tuple[Date, ...], ink: Ink
    ) -> None:
        line_px = QFontMetricsF(self.font()).height()
        for month, name in enumerate(MONTHS, start=1):
            first = next(at for at, date in enumerate(dates) if date.month == month)
            x = field.left() + field.width() * first / len(dates)
            painter.setPen(QPen(ink.faint_text, 1))
            painter.drawLine(QLineF(x, field.bottom() - 6, x, field.bottom()))
            painter.setPen(ink.text)
            place = QRectF(x, field.bottom(), field.width() / 12, line_px)
            painter.drawText(place, Qt.AlignmentFlag.AlignHCenter, name)

    def paint_cursor(self, painter: QPainter, ink: Ink) -> None:
        if self._year is None or self._at is None:
            return
        field = self._field(QRectF(self.rect()))
        x = field.left() + field.width() * (self._at + 0.5) / len(self._year.dates)
        painter.setPen(QPen(ink.accent, 2))
        painter.drawLine(QLineF(x, field.top(), x, field.bottom()))

    def _day_at(self, x: float) -> int | None:
        field = self._field(QRectF(self.rect()))
        if self._year is None or not field.left() <= x < field.right():
            return None
        return int((x - field.left()) / field.width() * len(self._year.dates))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = self._day_at(event.position().x())
        if at is not None and at != self._at:
            self.put_cursor(at)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = self._day_at(event.position().x())
        if at is not None and event.button() == Qt.MouseButton.LeftButton:
            self.put_cursor(at)
            self.chosen.emit(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {
            Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1,
            Qt.Key.Key_PageUp: -30, Qt.Key.Key_PageDown: 30,
        }  # fmt: skip
        if self._at is None:
            super().keyPressEvent(event)
        elif event.key() in steps:
            self.put_cursor(self._at + steps[Qt.Key(event.key())])
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.chosen.emit(self._at)
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        rows = len(self._year.stations) if self._year is not None else 2
        return QSize(600, 70 * rows + 60)

    def minimumSizeHint(self) -> QSize:
        return QSize(320, self.sizeHint().height() * 2 // 3)


def _runs(share: np.ndarray) -> list[tuple[int, int]]:
    """Return begin and end of every stretch of equal values."""
    changes = np.flatnonzero(np.diff(share)) + 1
    edges = [0, *changes.tolist(), share.size]
    return list(pairwise(edges))
