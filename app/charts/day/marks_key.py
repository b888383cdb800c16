"""What the marks mean: a sample of each beside its words."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.charts.day.courses import SUN_SHARE, SUN_TINT
from app.charts.day.lanes import BAR_LOOKS
from app.charts.ink import Ink, mixed
from app.charts.markers import draw_marker
from app.widgets.tokens import STATION_STYLES
from model.results.minute import Phase

Draw = Callable[[QPainter, QRectF, Ink], None]
WIDE_PX, HIGH_PX = 56, 18


class Sample(QWidget):
    """A small piece of the day, drawn as it is there."""

    def __init__(self, draw: Draw) -> None:
        super().__init__()
        self._draw = draw
        self.setFixedSize(QSize(WIDE_PX, HIGH_PX))

    def paintEvent(self, event: QPaintEvent) -> None:
        ink = Ink.of(self.palette())
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), ink.ground)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw(painter, QRectF(self.rect()).adjusted(3, 3, -3, -3), ink)


class MarksKey(QWidget):
    """All marks of the day, each with its words."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(4)
        for row, (draw, words) in enumerate(KEY):
            label = QLabel(words)
            label.setTextFormat(Qt.TextFormat.PlainText)
            grid.addWidget(Sample(draw), row, 0)
            grid.addWidget(label, row, 1)
        grid.setColumnStretch(1, 1)


def _line(index: int) -> Draw:
    def draw(painter: QPainter, box: QRectF, ink: Ink) -> None:
        painter.setPen(QPen(ink.station(index), 2, STATION_STYLES[index].line))
        painter.drawLine(QLineF(box.left(), box.center().y(), box.right(), box.center().y()))

    return draw


def _lane(phase: Phase) -> Draw:
    height, pattern = BAR_LOOKS[phase]

    def draw(painter: QPainter, box: QRectF, ink: Ink) -> None:
        bar = QRectF(box.left(), box.center().y() - height / 2, box.width(), height)
        painter.fillRect(bar, QBrush(ink.station(0), pattern))
        if pattern != Qt.BrushStyle.SolidPattern:
            painter.setPen(QPen(ink.station(0), 1))
            painter.drawRect(bar)

    return draw


def _nothing(_painter: QPainter, _box: QRectF, _ink: Ink) -> None:
    """Draw no bar: off the air."""


def _end(painter: QPainter, box: QRectF, ink: Ink) -> None:
    painter.setPen(QPen(ink.station(1), 1))
    painter.drawLine(QLineF(box.center().x(), box.top() - 3, box.center().x(), box.bottom() + 3))
    draw_marker(painter, box.center(), STATION_STYLES[1].marker, ink.station(1))


def _plain(colour: Callable[[Ink], QColor]) -> Draw:
    def draw(painter: QPainter, box: QRectF, ink: Ink) -> None:
        painter.fillRect(box, colour(ink))

    return draw


def _hatch(painter: QPainter, box: QRectF, ink: Ink) -> None:
    painter.fillRect(box, QBrush(ink.faint_text, Qt.BrushStyle.BDiagPattern))


def _dashes(painter: QPainter, box: QRectF, ink: Ink) -> None:
    painter.setPen(QPen(ink.faint_text, 1.5, Qt.PenStyle.DashLine))
    painter.drawLine(QLineF(box.left(), box.center().y(), box.right(), box.center().y()))


def _start(painter: QPainter, box: QRectF, ink: Ink) -> None:
    painter.setPen(QPen(ink.station(0), 1))
    painter.setBrush(ink.station(0))
    middle = box.center()
    painter.drawPolygon([middle + QPointF(-5, -5), middle + QPointF(6, 0), middle + QPointF(-5, 5)])


def _night(ink: Ink) -> QColor:
    return ink.night


def _twilight(ink: Ink) -> QColor:
    return ink.twilight


def _sun(ink: Ink) -> QColor:
    return mixed(ink.ground, SUN_TINT, SUN_SHARE)


def _band(ink: Ink) -> QColor:
    return mixed(ink.ground, ink.station(0), 0.22)


KEY: tuple[tuple[Draw, str], ...] = (
    (_line(0), "A, and the other stations each in a kind of line"),
    (_lane("full power"), "full power"),
    (_lane("reduced power"), "reduced power"),
    (_lane("receive"), "receive only"),
    (_nothing, "no bar: off the air"),
    (_end, "an ability of the station ends"),
    (_dashes, "reserve; its words at the right can be dragged"),
    (_start, "charge at the start; can be dragged"),
    (_hatch, "charge unavailable in the cold"),
    (_plain(_night), "night"),
    (_plain(_twilight), "twilight"),
    (_plain(_sun), "what the panel could give; the lines are what is used"),
    (_plain(_band), "uncertainty band: 8 of 10 trial trips (View menu)"),
)
