"""Shares of paths against transmit power: a line for each mode, the kit's powers marked."""

from __future__ import annotations

from bisect import bisect_left
from itertools import groupby

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink, mixed
from app.charts.markers import draw_marker, draw_sample
from app.charts.scale import Scale, room_across
from app.pages.odds.sheet import Sheet
from app.widgets.tokens import GRID_PX, station_style
from model.reception.power_curves import drawn_modes, drawn_powers_w, power_curve, power_words
from model.reception.requests import Answer
from model.reception.sentences import base_words
from model.reception.station_answers import CellAnswers
from model.support.figures import entered

HEIGHT_LINES = 15
POWER = "transmit power, W"
# Modes are no stations: they share the colour of text, and differ by their line.
LINES = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine, Qt.PenStyle.DotLine)
BAND = 0.1


class ShareChart(Sheet):
    """Curves as far as they are known, each within its interval.

    The arrow keys and the mouse read out one power.
    """

    pointed = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("share of paths against power", parent)
        self.curves: tuple[tuple[Answer, ...], ...] = ()
        self._powers_w: tuple[float, ...] = ()
        self._kit_w: tuple[float, ...] = ()
        self._index, self._at = 0, 0
        self.setMouseTracking(True)
        self.setToolTip("Arrow keys and the mouse read out a power.")

    def show_cell(self, found: CellAnswers, kit_w: tuple[float, ...], index: int) -> None:
        """Draw other reports, for the powers of a station, read out at the first of them."""
        cell = found.cell
        self._kit_w, self._index = kit_w, index
        self._powers_w = drawn_powers_w(cell, kit_w)
        self.curves = tuple(power_curve(cell, mode, self._powers_w) for mode in drawn_modes(cell))
        told = [self.words_at(self._powers_w.index(watts)) for watts in kit_w]
        self.setAccessibleDescription("\n".join([f"{base_words(cell)}:", *told]))
        self.renew()
        self.put_cursor(self._powers_w.index(kit_w[0]))

    def clear(self) -> None:
        """Draw nothing."""
        self.curves, self._powers_w, self._kit_w = (), (), ()
        self.setAccessibleDescription("")
        self.renew()

    def words_at(self, at: int) -> str:
        """Return what is known at one of the powers."""
        return power_words(tuple(curve[at] for curve in self.curves))

    def put_cursor(self, at: int) -> None:
        """Read out a power."""
        if self.curves:
            self._at = min(max(at, 0), len(self._powers_w) - 1)
            self.update()
            self.pointed.emit(self.words_at(self._at))

    @property
    def power_at_cursor_w(self) -> float | None:
        """The power that is read out; None without any."""
        return self._powers_w[self._at] if self.curves else None

    def _scale(self) -> Scale:
        return Scale(POWER, self._powers_w[0], self._powers_w[-1])

    def _field(self, size: QRectF) -> QRectF:
        left = self.words_px("10") + 10
        return size.adjusted(left, 2.6 * self.line_px, -GRID_PX, -2.6 * self.line_px)

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        if not self.curves:
            return
        field = self._field(size)
        self._paint_grid(painter, field, ink)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for curve in self.curves:
            self._paint_band(painter, field, curve, ink)
        for curve, line in zip(self.curves, LINES, strict=True):
            painter.setPen(QPen(ink.text, 2, line))
            for stretch in self._stretches(curve):
                points = [self._point(field, curve[at], "share") for at in stretch]
                painter.drawPolyline(QPolygonF(points))
        self._paint_key(painter, size, ink)
        self._paint_kit(painter, field, ink)

    def _paint_grid(self, painter: QPainter, field: QRectF, ink: Ink) -> None:
        self.paint_tenths(painter, field, ink)
        scale = self._scale()
        for watts, text in scale.ticks(room_across(field.width(), self.line_px)):
            x = field.left() + field.width() * scale.share(watts)
            painter.setPen(QPen(ink.grid, 1))
            painter.drawLine(QLineF(x, field.top(), x, field.bottom()))
            painter.setPen(ink.faint_text)
            wide = self.words_px(text) + 2
            left = min(max(x - wide / 2, 0.0), field.right() - wide + GRID_PX)
            painter.drawText(
                QRectF(left, field.bottom() + 2, wide, self.line_px),
                Qt.AlignmentFlag.AlignCenter,
                text,
            )
        below = QRectF(field.left(), field.bottom() + 1.3 * self.line_px, field.width(),
                       self.line_px)  # fmt: skip
        self.put_words(painter, below, f"of ten paths; {POWER}", Qt.AlignmentFlag.AlignHCenter)

    def _stretches(self, curve: tuple[Answer, ...]) -> list[list[int]]:
        """Return the places of the powers that are known, without what is not between them."""
        runs = groupby(range(len(curve)), key=lambda at: curve[at].share is not None)
        return [list(places) for is_known, places in runs if is_known]

    def _point(self, field: QRectF, answer: Answer, bound: str) -> QPointF:
        x = field.left() + field.width() * self._scale().share(answer.power_w)
        return QPointF(x, field.bottom() - field.height() * getattr(answer.share, bound))

    def _paint_band(
        self, painter: QPainter, field: QRectF, curve: tuple[Answer, ...], ink: Ink
    ) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        colour = mixed(ink.ground, ink.text, 1.0)
        colour.setAlphaF(BAND)
        painter.setBrush(colour)
        for stretch in self._stretches(curve):
            low, high = (
                [self._point(field, curve[at], bound) for at in stretch]
                for bound in ("low", "high")
            )
            painter.drawPolygon(QPolygonF([*low, *reversed(high)]))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_key(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        x = size.left() + GRID_PX
        for curve, line in zip(self.curves, LINES, strict=True):
            words = curve[0].mode.label
            draw_sample(painter, QPointF(x, 0.7 * self.line_px), ink.text, line)
            x += 32
            painter.setPen(ink.text)
            wide = self.words_px(words)
            painter.drawText(
                QRectF(x, 0.2 * self.line_px, wide + 2, self.line_px),
                Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter,
                words,
            )
            x += wide + 2 * GRID_PX

    def _paint_kit(self, painter: QPainter, field: QRectF, ink: Ink) -> None:
        style, colour = station_style(self._index), ink.station(self._index)
        taken = 0.0
        for watts in self._kit_w:
            x = field.left() + field.width() * self._scale().share(watts)
            painter.setPen(QPen(colour, 1.5, style.line))
            painter.drawLine(QLineF(x, field.top(), x, field.bottom()))
            draw_marker(painter, QPointF(x, field.top()), style.marker, colour)
            words = f"{style.letter} {entered(watts, 'W')}"
            wide = self.words_px(words) + 2
            left = max(min(x - wide / 2, field.right() - wide), taken)
            painter.setPen(colour)
            painter.drawText(
                QRectF(left, field.top() - 1.4 * self.line_px, wide, self.line_px),
                Qt.AlignmentFlag.AlignCenter,
                words,
            )
            taken = left + wide + GRID_PX

    def paint_cursor(self, painter: QPainter, ink: Ink) -> None:
        watts = self.power_at_cursor_w
        if watts is None:
            return
        field = self._field(QRectF(self.rect()))
        x = field.left() + field.width() * self._scale().share(watts)
        painter.setPen(QPen(ink.faint_text, 1, Qt.PenStyle.DotLine))
        painter.drawLine(QLineF(x, field.top(), x, field.bottom()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self.curves:
            field = self._field(QRectF(self.rect()))
            share = (event.position().x() - field.left()) / max(field.width(), 1.0)
            at = bisect_left(self._powers_w, self._scale().value(share))
            if at != self._at:
                self.put_cursor(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        if self.curves and event.key() in steps:
            self.put_cursor(self._at + steps[Qt.Key(event.key())])
        else:
            super().keyPressEvent(event)

    def sizeHint(self) -> QSize:
        return QSize(420, round(HEIGHT_LINES * self.line_px))

    def minimumSizeHint(self) -> QSize:
        return QSize(260, self.sizeHint().height())
