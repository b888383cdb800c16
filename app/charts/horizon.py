"""A sketch of the horizon that is drawn by hand, with the path of the sun behind it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.charts.ink import Ink, mixed
from app.charts.scale import even_ticks, room_up
from app.widgets.number_text import fixed
from model.editing.edit_horizon import REACH_DEG, with_height
from model.sky.horizon import HorizonPoints, horizon_height_deg
from model.sky.sun_position import SunPosition

LEAST_TOP_DEG = 30.0
FIRST_BEARING_DEG = 180.0
STEP_DEG = int(REACH_DEG)
UPRIGHT_DEG = 0.01
WINDS = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
    "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
NAME = "Horizon sketch"
KEYS = (
    "Left and right arrows choose a bearing, up and down change the height there by one degree,"
    " page keys by five; Delete makes it level."
)


class HorizonSketch(QWidget):
    """Shows the ridge around a site and says when it is drawn anew; it changes nothing itself."""

    horizon_changed = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._points: HorizonPoints = ()
        self._paths: tuple[tuple[np.ndarray, np.ndarray], ...] = ()
        self._bearing = FIRST_BEARING_DEG
        self._middle = 180.0
        self._drawn_from: tuple[float, float] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.setAccessibleName(NAME)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setToolTip("Drag along the ridge to draw it: true bearing across, height upwards.")
        self._tell()

    @property
    def points(self) -> HorizonPoints:
        """The horizon shown."""
        return self._points

    @property
    def bearing_deg(self) -> float:
        """The bearing that the arrow keys change."""
        return self._bearing

    def show_horizon(self, points: HorizonPoints) -> None:
        """Show a horizon."""
        if tuple(points) != self._points:
            self._points = tuple(points)
            self._tell()
            self.update()

    def show_paths(self, paths: Sequence[SunPosition]) -> None:
        """Show the sun's path of a day or of several."""
        self._paths = tuple((path.azimuth_deg, path.apparent_elevation_deg) for path in paths)
        self._middle = self._sunny_side()
        self._tell()
        self.update()

    def sizeHint(self) -> QSize:
        """Return a small size in which the winds can be read."""
        metrics = self.fontMetrics()
        return QSize(metrics.averageCharWidth() * 48, metrics.height() * 8)

    def minimumSizeHint(self) -> QSize:
        """Return the least size of use."""
        metrics = self.fontMetrics()
        return QSize(metrics.averageCharWidth() * 30, metrics.height() * 6)

    def x_of(self, bearing_deg: float) -> float:
        """Return where a bearing stands across the widget. [px]"""
        box = self._box()
        return box.left() + self._across_deg(bearing_deg) / 360.0 * box.width()

    def y_of(self, height_deg: float) -> float:
        """Return where a height stands. [px]"""
        box = self._box()
        return box.bottom() - height_deg / self._top_deg() * box.height()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw sky, sun and ridge."""
        ink = Ink.of(self.palette())
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), ink.ground)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_scale(painter, ink)
            self._draw_ridge(painter, ink)
            painter.setClipRect(self._box())
            for path in self._paths:
                self._draw_path(painter, path, ink)
            painter.setClipping(False)
            self._draw_bearing(painter, ink)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to draw."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._drawn_from = None
            self._draw_to(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Draw on, over the bearings that the pointer passed since."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._draw_to(event.position())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End drawing."""
        self._drawn_from = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose a bearing or change its height."""
        turn = {Qt.Key.Key_Left: -STEP_DEG, Qt.Key.Key_Right: STEP_DEG}.get(Qt.Key(event.key()))
        rise = {
            Qt.Key.Key_Up: 1.0,
            Qt.Key.Key_Down: -1.0,
            Qt.Key.Key_PageUp: 5.0,
            Qt.Key.Key_PageDown: -5.0,
            Qt.Key.Key_Delete: -90.0,
        }.get(Qt.Key(event.key()))
        if turn is not None:
            self._bearing = (self._bearing + turn) % 360.0
            self._tell()
            self.update()
        elif rise is not None:
            self._raise_to(self._bearing, self._height_at(self._bearing) + rise)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the bearing that the keys change."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show it no longer."""
        super().focusOutEvent(event)
        self.update()

    def _draw_to(self, place: QPointF) -> None:
        box = self._box()
        across = min(max((place.x() - box.left()) / box.width(), 0.0), 1.0) * 360.0
        height = min(max((box.bottom() - place.y()) / box.height(), 0.0), 1.0) * self._top_deg()
        begun, self._drawn_from = self._drawn_from or (across, height), (across, height)
        for at in _passed(begun[0], across):
            share = 1.0 if across == begun[0] else (at - begun[0]) / (across - begun[0])
            between = begun[1] + (height - begun[1]) * min(max(share, 0.0), 1.0)
            self._bearing = (at + self._middle - 180.0) % 360.0
            self._raise_to(self._bearing, between, last=False)
        self.horizon_changed.emit(self._points)

    def _raise_to(self, bearing_deg: float, height_deg: float, *, last: bool = True) -> None:
        height = float(round(min(max(height_deg, 0.0), 90.0)))
        try:
            self._points = with_height(self._points, bearing_deg, height)
        except ValueError as refusal:
            self.setAccessibleDescription(f"Not drawn: {refusal}.")
            self.setToolTip(f"Not drawn: {refusal}.")
            return
        self._tell()
        self.update()
        if last:
            self.horizon_changed.emit(self._points)

    def _height_at(self, bearing_deg: float) -> float:
        return float(horizon_height_deg(self._points, np.array([bearing_deg]))[0])

    def _sunny_side(self) -> float:
        """Return the bearing in the middle: that of the highest sun, so that no path is cut."""
        tops = [
            (float(height.max()), float(azimuth[height.argmax()]))
            for azimuth, height in self._paths
        ]
        _, bearing = max(tops, default=(0.0, 180.0))
        return 180.0 if 90.0 <= bearing <= 270.0 else 0.0

    def _across_deg(self, bearing_deg: float) -> float:
        return (bearing_deg - self._middle + 180.0) % 360.0

    def _top_deg(self) -> float:
        sun = max((float(height.max()) for _, height in self._paths), default=0.0)
        ridge = max((height for _, height in self._points), default=0.0)
        return min(max(LEAST_TOP_DEG, math.ceil((sun + 2.0) / 10.0) * 10.0, ridge + 5.0), 90.0)

    def _box(self) -> QRectF:
        metrics = QFontMetricsF(self.font())
        left = metrics.horizontalAdvance("90°") + 6
        right = metrics.horizontalAdvance("N") / 2 + 4
        box = QRectF(self.rect())
        return box.adjusted(left, metrics.height() / 2 + 2, -right, -metrics.height() - 6)

    def _draw_scale(self, painter: QPainter, ink: Ink) -> None:
        box, metrics = self._box(), QFontMetricsF(self.font())
        top = self._top_deg()
        for height in even_ticks(0.0, top, room_up(box.height(), metrics.height())):
            y = self.y_of(height)
            painter.setPen(QPen(ink.grid, 1))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            painter.setPen(ink.text)
            place = QRectF(0, y - metrics.height() / 2, box.left() - 4, metrics.height())
            painter.drawText(place, Qt.AlignmentFlag.AlignRight, f"{height:.0f}°")
        for quarter in range(5):
            wind = WINDS[round((quarter * 90 + self._middle - 180.0) % 360 / 22.5) % 16]
            x = box.left() + quarter / 4 * box.width()
            painter.setPen(QPen(ink.grid, 1))
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
            painter.setPen(ink.text)
            place = QRectF(x - 20, box.bottom() + 3, 40, metrics.height())
            painter.drawText(place, Qt.AlignmentFlag.AlignHCenter, wind)

    def _draw_ridge(self, painter: QPainter, ink: Ink) -> None:
        box = self._box()
        # Between its points the horizon is straight; before one it may have an upright edge.
        bends = [self._across_deg(bearing) for bearing, _ in self._points]
        befores = [(bend - UPRIGHT_DEG) % 360.0 for bend in bends]
        across = np.unique([0.0, *befores, *bends, 360.0])
        heights = horizon_height_deg(self._points, across + self._middle - 180.0)
        line = self._placed(across, heights)
        ground = mixed(ink.ground, ink.text, 0.35)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QBrush(ground, Qt.BrushStyle.Dense4Pattern))
        painter.drawPolygon(QPolygonF([*line, box.bottomRight(), box.bottomLeft()]))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(ink.text, 2))
        painter.drawPolyline(QPolygonF(line))

    def _draw_path(self, painter: QPainter, path: tuple[np.ndarray, np.ndarray], ink: Ink) -> None:
        """Draw the sun's path: a line where it is seen, dots where the ridge hides it."""
        azimuth, height = path[0][::5], path[1][::5]
        across = (azimuth - self._middle + 180.0) % 360.0
        seen = height >= horizon_height_deg(self._points, azimuth)
        up = height > 0.0
        jumps = np.abs(np.diff(across, prepend=across[:1])) > 90.0
        kind = np.where(up, np.where(seen, 2, 1), 0)
        cuts = np.flatnonzero((np.diff(kind, prepend=kind[:1]) != 0) | jumps)
        places = self._placed(across, height)
        for begin, end in zip([0, *cuts.tolist()], [*cuts.tolist(), kind.size], strict=True):
            if end > begin and kind[begin]:
                style = Qt.PenStyle.SolidLine if kind[begin] == 2 else Qt.PenStyle.DotLine
                painter.setPen(QPen(ink.station(1), 2, style))
                painter.drawPolyline(QPolygonF(places[begin:end]))

    def _placed(self, across_deg: np.ndarray, height_deg: np.ndarray) -> list[QPointF]:
        """Return where points stand in the widget."""
        box = self._box()
        x_px = box.left() + across_deg / 360.0 * box.width()
        y_px = box.bottom() - height_deg / self._top_deg() * box.height()
        return [QPointF(x, y) for x, y in zip(x_px.tolist(), y_px.tolist(), strict=True)]

    def _draw_bearing(self, painter: QPainter, ink: Ink) -> None:
        if self.hasFocus():
            x, y = self.x_of(self._bearing), self.y_of(self._height_at(self._bearing))
            painter.setPen(QPen(ink.accent, 2))
            painter.drawLine(QPointF(x, self._box().top()), QPointF(x, self._box().bottom()))
            painter.setBrush(ink.accent)
            painter.drawEllipse(QPointF(x, y), 4, 4)

    def _tell(self) -> None:
        """Say what is shown, for those who hear it."""
        height = self._height_at(self._bearing)
        wind = WINDS[round(self._bearing / 22.5) % 16]
        parts = [f"Bearing {self._bearing:.0f} degrees, {wind}: height {height:.0f} degrees."]
        if self._points:
            highest = max(self._points, key=lambda point: point[1])
            parts.append(f"Highest {highest[1]:.0f} degrees at {highest[0]:.0f}.")
        else:
            parts.append("Level all round.")
        hidden = sum(_hidden_share(path, self._points) for path in self._paths)
        if self._paths:
            share = hidden / len(self._paths) * 100
            parts.append(
                f"The ridge hides the sun for {fixed(share, 0, '%')} of the time it is up."
            )
        self.setAccessibleDescription(" ".join([*parts, KEYS]))


def _hidden_share(path: tuple[np.ndarray, np.ndarray], points: HorizonPoints) -> float:
    azimuth, height = path
    up = height > 0.0
    if not up.any():
        return 0.0
    return float(np.mean(height[up] < horizon_height_deg(points, azimuth[up])))


def _passed(begin: float, end: float) -> list[float]:
    """Return the bearings on the grid between two places, at least the one nearest to the end."""
    low, high = sorted((begin, end))
    grid = np.arange(np.ceil(low / STEP_DEG), np.floor(high / STEP_DEG) + 1) * STEP_DEG
    if not grid.size:
        return [float(round(end / STEP_DEG) * STEP_DEG)]
    return [float(at) for at in (grid if end >= begin else grid[::-1])]
