"""The ground the curves over time stand on: panes over one time axis, lines and export.

Only here and in the scale beside a pane is the plotting library known. Positions along the time
axis are elapsed minutes since the start of the run; what they are called is the business of the
marks.
"""

from __future__ import annotations

from math import ceil

import pyqtgraph as pg
from PySide6.QtCore import QLineF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QGuiApplication,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QFrame,
    QGraphicsView,
    QGraphicsWidget,
    QSizePolicy,
    QWidget,
)

from app.charts.bands import Bands, Levels
from app.charts.ink import Ink
from app.charts.kept_picture import KeptPicture
from app.charts.labels import PaneLabel, PaneLabels
from app.charts.line import Line
from app.charts.margins import Margin
from app.charts.span import Span
from app.charts.spots import Spot, Spots
from app.charts.value_axis import ValueAxis

PICTURE_SCALE = 2.0
LEAST_HEIGHT_PX = 160
# A pane below the first is at least so many lines of text high.
LEAST_PANE_LINES = 2.8


class Pane:
    """One plot over the common time axis, with its scale at the left."""

    def __init__(self, chart: Chart, row: int, title: str) -> None:
        self._span = chart.span
        self._title = title
        self.view = QGraphicsWidget()
        self.view.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._axis = ValueAxis("left")
        self._axis.enableAutoSIPrefix(False)
        self._axis.setStyle(tickLength=-4, autoExpandTextSpace=False, maxTickLevel=0)
        self.bands = Bands(chart.span, self.view)
        self.levels = Levels(chart.span, self.view)
        self._spots = Spots(chart.span, self.view)
        self.labels = PaneLabels(chart.span, self.view)
        self.labels.set_title(title)
        self._levels = (0.0, 1.0)
        self._lines: list[Line] = []
        chart.ci.addItem(self._axis, row, 0)
        chart.ci.addItem(self.view, row, 1)

    @property
    def title(self) -> str:
        """What the scale shows, with its unit."""
        return self._title

    def add_line(self, *, level: int, steps: bool = False) -> Line:
        """Return a new curve; a higher level is drawn over a lower one, steps without blur."""
        line = Line(self._span, self.view, level=level, steps=steps)
        line.set_levels(*self._levels)
        self._lines.append(line)
        return line

    @property
    def values(self) -> tuple[float, float]:
        """What the scale runs from and to."""
        return self._levels

    def set_levels(self, low: float, high: float) -> None:
        """Set what the scale runs from and to."""
        if (low, high) != self._levels:
            self._levels = (low, high)
            self._axis.setRange(low, high)
            for line in self._lines:
                line.set_levels(low, high)

    @property
    def scale_marks(self) -> tuple[list[float], list[str]]:
        """The values marked along the scale, and their texts."""
        values = self._axis.marked(*self._levels)
        return values, self._axis.tickStrings(values)

    def set_title(self, title: str, share: float = 1.0) -> None:
        """Say what the scale shows, with its unit, below a share of the pane's height."""
        self._title = title
        self.labels.set_title(title, share)

    def set_labels(
        self,
        labels: tuple[PaneLabel, ...],
        curves: list[Line],
        floors: list[Line],
        floor_words: str = "",
    ) -> None:
        """Put words beside moments, clear of these curves and of what lies below the floors."""
        self.labels.set_labels(labels, list(curves), self._levels, list(floors), floor_words)

    def set_marks(self, spots: list[tuple[float, float, str, QColor]]) -> None:
        """Put a marker at each elapsed minute and value."""
        low, high = self._levels
        self._spots.set_spots(
            tuple(
                Spot(minute, (value - low) / (high - low), marker, colour)
                for minute, value, marker, colour in spots
            )
        )

    def height_at(self, value: float) -> float:
        """Return how far below the top of the scene a value stands. [px]"""
        (low, high), place = self._levels, self.place
        return place.bottom() - (value - low) / (high - low) * place.height()

    @property
    def place(self) -> QRectF:
        """Where the pane stands in the scene. [px]"""
        return QRectF(self.view.sceneBoundingRect())

    def reach(self) -> tuple[float, float]:
        """Return the top and the bottom of the pane in the scene. [px]"""
        return self.place.top(), self.place.bottom()

    def follow_span(self) -> None:
        """Take over the stretch shown."""
        for line in self._lines:
            line.thin()
            line.follow()
        self.bands.follow()
        self.levels.follow()
        self._spots.follow()
        self.labels.follow()

    def thin(self) -> None:
        """Choose the points to draw of those curves that changed."""
        for line in self._lines:
            line.thin()

    def show(self, is_shown: bool) -> None:
        """Show the pane with its scale, or neither."""
        self.view.setVisible(is_shown)
        self._axis.setVisible(is_shown)

    @property
    def is_shown(self) -> bool:
        """Whether the pane is shown."""
        return bool(self.view.isVisible())

    def dress(self, ink: Ink, axis_px: float) -> None:
        """Take over colours and size of text."""
        self._axis.setWidth(axis_px)
        self._axis.setPen(pg.mkPen(ink.faint_text))
        self._axis.setTextPen(pg.mkPen(ink.text))
        self._axis.setTickFont(QGuiApplication.font())
        self.bands.dress(ink)
        self.labels.dress(ink)


class Chart(pg.GraphicsLayoutWidget):  # type: ignore[misc]
    """Panes one above the other over one time axis."""

    stretch_changed = Signal()
    painted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.span = Span()
        self._panes: list[Pane] = []
        self._margins: list[Margin] = []
        # The stretch and the places that all is drawn for.
        self._followed: tuple[object, ...] = ()
        self._first_pane_px = 0
        self._kept = KeptPicture(self)
        self._cursor: tuple[float, QColor] | None = None
        self.ci.layout.setSpacing(0)
        self.ci.layout.setContentsMargins(2, 2, 2, 2)
        self.setFrameShape(QFrame.Shape.NoFrame)
        # What is drawn stays within its own place: a name beside a pane is no reason to draw it.
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontAdjustForAntialiasing)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(320, LEAST_HEIGHT_PX)

    def add_pane(self, row: int, title: str, stretch: int) -> Pane:
        """Return a new pane in a row; a greater stretch makes it higher."""
        pane = Pane(self, row, title)
        if not self._panes:
            pane.view.geometryChanged.connect(self._on_geometry_changed)
        self._panes.append(pane)
        self.ci.layout.setRowStretchFactor(row, stretch)
        return pane

    def add_margin(
        self, margin: Margin, row: int, column: int, *, rows: int = 1, columns: int = 1
    ) -> None:
        """Put something that is drawn beside the panes in a cell, or over several."""
        self._margins.append(margin)
        self.ci.addItem(margin, row, column, rows, columns)

    def sizeHint(self) -> QSize:
        """Return a size in which everything can be read."""
        return QSize(760, 460)

    def show_stretch(self, low: float, high: float) -> None:
        """Show the run from one elapsed minute to another, as far as there is a run."""
        self.span.show(low, high)
        self._follow_span()

    def show_whole(self) -> None:
        """Show the whole run."""
        self.show_stretch(0.0, self.span.total)

    def reach(self) -> tuple[float, float]:
        """Return the top of the first pane and the bottom of the last one seen. [px]"""
        seen = [pane for pane in self._panes if pane.is_shown]
        return seen[0].reach()[0], seen[-1].reach()[1]

    def minute_at(self, x_px: float) -> float:
        """Return the elapsed minute at a place across the widget."""
        left, right = self.span.left_px, self.span.left_px + self.span.width_px
        return self.span.minute(min(max(x_px, left), right), left, right)

    def keep_first_pane(self, height_px: int) -> None:
        """Keep the first pane at least so high, and the whole as high as that needs."""
        if height_px != self._first_pane_px:
            self._first_pane_px = height_px
            self._keep_heights()

    def _keep_heights(self) -> None:
        layout = self.ci.layout
        line_px = self.fontMetrics().height()
        for row, pane in enumerate(self._panes, start=1):
            is_shown = pane.is_shown
            least_px = self._first_pane_px if row == 1 else line_px * LEAST_PANE_LINES
            layout.setRowMinimumHeight(row, least_px if is_shown else 0)
            layout.setRowMaximumHeight(row, 1e6 if is_shown else 0)
            # The lowest number of one scale and the highest of the next need room.
            layout.setRowSpacing(row, line_px * 0.5 if is_shown else 0)
        needed = layout.effectiveSizeHint(Qt.SizeHint.MinimumSize).height()
        self.setMinimumHeight(max(LEAST_HEIGHT_PX, ceil(needed) + 2))

    def least_height_px(self, panes: int) -> float:
        """Return what so many panes below the first need, with the room between them. [px]"""
        return float(panes * self.fontMetrics().height() * (LEAST_PANE_LINES + 0.5))

    def dress(self, ink: Ink, axis_px: float) -> None:
        """Take over colours and size of text."""
        self.setBackground(ink.ground)
        self._kept.forget()
        for pane in self._panes:
            pane.dress(ink, axis_px)
        for margin in self._margins:
            margin.dress(ink)
        self._keep_heights()
        self.lay_out()

    def lay_out(self) -> bool:
        """Give every pane its place now and not at the next turn of the event loop.

        Return whether places or stretch are others, and ``stretch_changed`` told so.
        """
        self.ci.layout.activate()
        self._measure()
        return self._follow_span()

    def paint_on(self, painter: QPainter, target: QRectF) -> None:
        """Draw the chart for a picture."""
        painter.fillRect(target, self.backgroundBrush())
        self.render(painter, target, self.rect())

    def _measure(self) -> bool:
        """Take over where the panes stand; return whether that changed."""
        box = self._panes[0].place
        before = self.span.left_px, self.span.width_px
        self.span.left_px, self.span.width_px = box.left(), box.width()
        return before != (self.span.left_px, self.span.width_px)

    def _on_geometry_changed(self) -> None:
        if self._measure():
            self._follow_span()

    def _follow_span(self) -> bool:
        """Draw all anew where stretch or places changed, else only the curves that did."""
        wanted = (self.span.low, self.span.high, *(pane.place for pane in self._panes))
        if wanted == self._followed:
            for pane in self._panes:
                pane.thin()
            return False
        self._followed = wanted
        for pane in self._panes:
            pane.follow_span()
        for margin in self._margins:
            margin.update()
        self.stretch_changed.emit()
        return True

    def show_cursor(self, minute: float | None, colour: QColor) -> None:
        """Draw the cursor over the panes; outside the stretch shown there is none."""
        is_seen = minute is not None and self.span.low <= minute <= self.span.high
        cursor = (minute, colour) if minute is not None and is_seen else None
        if cursor != self._cursor:
            before, self._cursor = self._cursor, cursor
            for each in (before, cursor):
                if each is not None:
                    x = round(self._cursor_px(each[0]))
                    self.viewport().update(x - 2, 0, 4, self.viewport().height())

    def _cursor_px(self, minute: float) -> float:
        left = self.span.left_px
        return self.span.px(minute, left, left + self.span.width_px)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what has changed, and tell of it; over it stands the cursor."""
        is_new = self._kept.renew()
        with QPainter(self.viewport()) as painter:
            self._kept.draw(painter, QRectF(event.rect()))
            if self._cursor is not None:
                x = self._cursor_px(self._cursor[0])
                painter.setPen(QPen(self._cursor[1], 1))
                for top, bottom in (pane.reach() for pane in self._panes if pane.is_shown):
                    painter.drawLine(QLineF(x, top, x, bottom))
        if is_new:
            self.painted.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the panes out anew."""
        super().resizeEvent(event)
        if getattr(self, "_kept", None):
            self._kept.forget()
        if getattr(self, "_panes", None):
            self.lay_out()
