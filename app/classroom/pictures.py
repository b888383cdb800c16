"""Results of a run as pictures for a whole room: charge, sun, uses, and a short table."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.charts.scale import Scale, room_up
from app.charts.time_marks import marks_across
from app.classroom.big_text import least_px, sized
from app.printing.paint import painting
from app.widgets.tokens import is_dark, station_style
from model.engine.comparison import Comparison
from model.engine.outcome import USES
from model.engine.run import StationRun
from model.lessons.text import number_words
from model.results.wording import USE_WORDS
from model.scenario.declare import MINUTES_A_DAY
from model.verdict.sentences import name_of
from model.verdict.table import verdict

TITLES = {
    "charge": "State of charge",
    "sun": "Watts from the panel",
    "uses": "What took the Ah",
    "table": "Side by side",
}
TABLE_ROWS = 7
POINTS = 600
# From the back of a room fewer numbers are read: a line of text counts so many times.
LINES_APART = 2.0
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
CENTRE = Qt.AlignmentFlag.AlignCenter


class ResultPicture(QWidget):
    """Paints one result of a comparison; empty until one is given."""

    def __init__(self) -> None:
        super().__init__()
        self._comparison: Comparison | None = None
        self._result = "charge"
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_result(self, comparison: Comparison, result: str) -> None:
        """Show one result; the words for a screen reader come with it."""
        self._comparison, self._result = comparison, result
        self.setAccessibleName(TITLES[result])
        self.setAccessibleDescription("\n".join(_words(comparison, result)))
        self.update()

    def forget(self) -> None:
        """Hold nothing of a run."""
        self._comparison = None
        self.setAccessibleName("")
        self.setAccessibleDescription("")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(800, 500)

    def minimumSizeHint(self) -> QSize:
        return QSize(400, least_px(self) * 8)

    def paintEvent(self, event: QPaintEvent) -> None:
        comparison = self._comparison
        if comparison is None:
            return
        with painting(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setFont(sized(self.font(), least_px(self)))
            painter.setPen(self.palette().windowText().color())
            if self._result == "uses":
                self._paint_uses(painter, comparison)
            elif self._result == "table":
                self._paint_table(painter, comparison)
            else:
                self._paint_curves(painter, comparison)

    def _paint_curves(self, painter: QPainter, comparison: Comparison) -> None:
        px, runs = least_px(self), _runs(comparison)
        legend = px * 1.5 * len(runs) if len(runs) > 1 else 0
        field = QRectF(px * 5, px + legend, self.width() - px * 7, self.height() - px * 3 - legend)
        curves = [(index, _curve(run, self._result)) for index, run in runs]
        top = 1.0 if self._result == "charge" else max(*map(np.max, _all(curves)), 1.0)
        self._paint_axes(painter, comparison, field, top)
        dark = is_dark(self.palette())
        for row, (index, values) in enumerate(curves):
            style = station_style(index)
            painter.setPen(QPen(QColor(style.colour(dark=dark)), 6, style.line))
            painter.drawPolyline(_polygon(values, field, top))
            if legend:
                y = px * (0.8 + 1.5 * row)
                painter.drawLine(QPointF(field.left(), y), QPointF(field.left() + px * 3, y))
                painter.setPen(self.palette().windowText().color())
                room = QRectF(field.left() + px * 3.5, y - px * 0.7, field.width(), px * 1.4)
                painter.drawText(room, LEFT, f"{style.letter}  {name_of(comparison, index)}")

    def _paint_axes(
        self, painter: QPainter, comparison: Comparison, field: QRectF, top: float
    ) -> None:
        px, clock = least_px(self), comparison.clock
        painter.setPen(QPen(self.palette().windowText().color(), 2))
        painter.drawRect(field)
        unit = "%" if self._result == "charge" else "W"
        scale = Scale("", 0.0, top, in_ratios=False, factor=100.0 if unit == "%" else 1.0)
        for value, text in scale.ticks(room_up(field.height(), LINES_APART * px)):
            y = field.bottom() - field.height() * scale.share(value)
            painter.drawLine(QPointF(field.left() - px * 0.3, y), QPointF(field.left(), y))
            room = QRectF(0, y - px * 0.7, field.left() - px * 0.5, px * 1.4)
            painter.drawText(room, RIGHT, f"{text} {unit}")
        for mark in marks_across(clock, field.width(), px * 4):
            x = field.left() + field.width() * mark.minute / (clock.days * MINUTES_A_DAY)
            painter.drawLine(QPointF(x, field.bottom()), QPointF(x, field.bottom() + px * 0.3))
            room = QRectF(x - px * 3, field.bottom() + px * 0.3, px * 6, px * 1.4)
            painter.drawText(room, CENTRE, mark.text)

    def _paint_uses(self, painter: QPainter, comparison: Comparison) -> None:
        px, runs = least_px(self), _runs(comparison)
        most = max((max(run.sums.by_use_ah.values()) for _, run in runs), default=1.0) or 1.0
        rows = sum(len(_uses(run)) for _, run in runs) + len(runs)
        pitch = min(self.height() / max(rows, 1), px * 2.2)
        bar_left, bar_room = self.width() * 0.34, self.width() * 0.48
        y = 0.0
        for index, run in runs:
            painter.setFont(sized(self.font(), px, bold=True))
            name = f"{station_style(index).letter}  {name_of(comparison, index)}"
            painter.drawText(QRectF(0, y, self.width(), pitch), LEFT, name)
            painter.setFont(sized(self.font(), px))
            y += pitch
            for words, ah in _uses(run):
                painter.drawText(QRectF(0, y, bar_left - px * 0.5, pitch), RIGHT, words)
                length = bar_room * ah / most
                bar = QRectF(bar_left, y + pitch * 0.15, length, pitch * 0.7)
                colour = station_style(index).colour(dark=is_dark(self.palette()))
                painter.fillRect(bar, QColor(colour))
                room = QRectF(bar_left + length + px * 0.4, y, px * 8, pitch)
                painter.drawText(room, LEFT, number_words(ah, "Ah"))
                y += pitch

    def _paint_table(self, painter: QPainter, comparison: Comparison) -> None:
        px, rows = least_px(self), _table(comparison)
        pitch = min(self.height() / len(rows), px * 2.4)
        columns = len(comparison.runs)
        label = self.width() * 0.36
        wide = (self.width() - label) / columns
        for number, row in enumerate(rows):
            painter.setFont(sized(self.font(), px, bold=number == 0))
            y = number * pitch
            for place, text in enumerate(row):
                left = 0 if place == 0 else label + wide * (place - 1)
                room = QRectF(left, y, (label if place == 0 else wide) - px * 0.4, pitch)
                shown = painter.fontMetrics().elidedText(
                    text, Qt.TextElideMode.ElideRight, int(room.width())
                )
                painter.drawText(room, LEFT if place == 0 else RIGHT, shown)


def _runs(comparison: Comparison) -> list[tuple[int, StationRun]]:
    return [(index, run) for index, run in enumerate(comparison.runs) if run is not None]


def _curve(run: StationRun, result: str) -> np.ndarray:
    values = run.fraction[:-1] if result == "charge" else run.flow.panel_able_a * run.flow.bus_v
    return values[:: max(values.size // POINTS, 1)]


def _all(curves: Sequence[tuple[int, np.ndarray]]) -> list[np.ndarray]:
    return [values for _, values in curves] or [np.ones(1)]


def _polygon(values: np.ndarray, field: QRectF, top: float) -> QPolygonF:
    across = field.width() / max(values.size - 1, 1)
    return QPolygonF(
        [
            QPointF(field.left() + across * index, field.bottom() - field.height() * value / top)
            for index, value in enumerate(values.tolist())
        ]
    )


def _uses(run: StationRun) -> list[tuple[str, float]]:
    used = [(USE_WORDS[use], run.sums.by_use_ah[use]) for use in USES]
    return sorted(((words, ah) for words, ah in used if ah > 0.005), key=lambda pair: -pair[1])


def _table(comparison: Comparison) -> list[list[str]]:
    names = [name_of(comparison, index) for index in range(len(comparison.runs))]
    rows = [
        [f"{row.label}, {row.unit}" if row.unit not in ("", "time") else row.label, *row.texts]
        for row in verdict(comparison).rows
        if any(text not in ("–", "0", "0.0") for text in row.texts)
    ]
    return [["", *names], *rows[:TABLE_ROWS]]


def _words(comparison: Comparison, result: str) -> list[str]:
    """Return a picture in words, for who cannot see it."""
    if result == "table":
        return [", ".join(row) for row in _table(comparison)[1:]]
    found = []
    for index, run in _runs(comparison):
        name = name_of(comparison, index)
        if result == "uses":
            uses = ", ".join(f"{words} {number_words(ah, 'Ah')}" for words, ah in _uses(run))
            found.append(f"{name}: {uses}")
        else:
            values = _curve(run, result)
            unit = "%" if result == "charge" else "W"
            low, high = number_words(values.min(), unit, 0), number_words(values.max(), unit, 0)
            found.append(f"{name}: from {low} to {high}")
    return found
