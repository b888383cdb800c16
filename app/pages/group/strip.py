"""The day of each post as a small curve of its charge, all on one time axis under one ruler."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QLineF, QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPalette, QPen
from PySide6.QtWidgets import (
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.charts.hatch import Hatch, box, hatch_lines
from app.charts.ink import Ink
from app.charts.pieces import in_pieces
from app.charts.ruler import Ruler
from app.charts.span import Span
from app.charts.thinning import bent, thinned
from app.pages.group.posts_model import PostsModel
from model.engine.run import StationRun
from model.group.group_run import PostRun
from model.results.minute import stretches
from model.sky.sun_times import night_spans

Index = QModelIndex | QPersistentModelIndex
PAD_PX = 3
KEPT_RUNS = 80
Minutes = list[tuple[float, float]]
Bands = tuple[Minutes, Minutes]


class DayStrip(QStyledItemDelegate):
    """Paints the charge of a post over the whole run; nights are shaded."""

    def __init__(self, model: PostsModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self._bands: dict[int, tuple[StationRun, Bands]] = {}

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one row."""
        ink = Ink.of(option.palette)
        area = QRectF(option.rect).adjusted(0, PAD_PX, 0, -PAD_PX)
        row = self._model.result(index.row())
        painter.save()
        painter.setClipRect(area)
        painter.fillRect(area, ink.ground)
        if row is not None and row.planned is not None:
            self._paint(painter, area, row, row.planned, ink)
        painter.restore()

    def _paint(
        self, painter: QPainter, area: QRectF, row: PostRun, run: StationRun, ink: Ink
    ) -> None:
        total = run.clock.steps * run.clock.step_min
        nights, off_air = self._bands_of(row, run)
        for begin, end in nights:
            painter.fillRect(_across(area, begin / total, end / total), ink.night)
        painter.setPen(QPen(ink.faint_text, 1))
        outlines = [box(_across(area, begin / total, end / total)) for begin, end in off_air]
        painter.drawLines(hatch_lines(outlines, Hatch.FALLING, 5))
        reserve = area.bottom() - area.height() * run.station.reserve_fraction
        painter.setPen(QPen(ink.faint_text, 1, Qt.PenStyle.DotLine))
        painter.drawLine(QLineF(area.left(), reserve, area.right(), reserve))
        is_old = not self._model.is_current
        colour = ink.faint_text if is_old else ink.station(0)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if row.bad is not None:
            self._line(painter, area, row.bad, QPen(ink.station(1), 1, Qt.PenStyle.DashLine))
        self._line(painter, area, run, QPen(colour, 1))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.setPen(QPen(ink.grid, 1))
        painter.drawRect(area.adjusted(0, 0, -1, -1))

    def _line(self, painter: QPainter, area: QRectF, run: StationRun, pen: QPen) -> None:
        steps = np.linspace(0.0, 1.0, run.fraction.size)
        x, y = thinned(steps, run.fraction, 0.0, 1.0, max(round(area.width() / 2), 1))
        x, y = bent(area.left() + x * area.width(), area.bottom() - y * area.height(), 0.2)
        piece, lines = in_pieces(pen, x, y)
        painter.setPen(piece)
        painter.drawLines(lines)

    def _bands_of(self, row: PostRun, run: StationRun) -> Bands:
        """Return the nights of a run and what it is off the air, in elapsed minutes; kept."""
        held = self._bands.get(id(run))
        if held is None or held[0] is not run:
            if len(self._bands) > KEPT_RUNS:
                self._bands.clear()
            nights = night_spans(row.kit.site, row.kit.trip, run.clock.step_min)
            held = (
                run,
                (
                    [(run.clock.minutes_to(a), run.clock.minutes_to(b)) for a, b in nights],
                    [
                        (each.begin_step * run.clock.step_min, each.end_step * run.clock.step_min)
                        for each in stretches(run)
                        if each.phase == "silent"
                    ],
                ),
            )
            self._bands[id(run)] = held
        return held[1]

    def sizeHint(self, _option: QStyleOptionViewItem, _index: Index) -> QSize:
        """Return the least room of a strip."""
        return QSize(160, 30)


def _across(area: QRectF, begin: float, end: float) -> QRectF:
    left, right = (area.left() + area.width() * share for share in (begin, end))
    return QRectF(left, area.top(), right - left, area.height())


class StripHeader(QHeaderView):
    """The heads of the columns; over the strips stands their one time axis."""

    def __init__(self, model: PostsModel, column: int, parent: QTableView) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._posts, self._column = model, column
        self.setSectionsClickable(False)
        self.setHighlightSections(False)

    def paintSection(self, painter: QPainter, rect: object, section: int) -> None:
        """Paint the ruler where the strips are, text elsewhere."""
        run = next(
            (row.planned for row in map(self._posts.result, range(self._posts.rowCount()))
             if row is not None and row.planned is not None),
            None,
        )  # fmt: skip
        if section != self._column or run is None:
            super().paintSection(painter, rect, section)  # type: ignore[arg-type]
            return
        area = QRectF(rect)  # type: ignore[call-overload]
        span = Span(left_px=0.0, width_px=area.width())
        span.set_total(run.clock.steps * run.clock.step_min)
        ruler = Ruler(span)
        ruler.show_clock(run.clock)
        painter.save()
        painter.fillRect(area, self.palette().color(QPalette.ColorRole.Button))
        ruler.draw(painter, Ink.of(self.palette()), QPointF(area.left(), area.top()))
        painter.restore()

    def sizeHint(self) -> QSize:
        """Return the height of two lines, those of the ruler."""
        return QSize(super().sizeHint().width(), round(Ruler(Span()).height_px()) + 4)
