"""A picture for a whole room: its type, its inks, and what found no room on it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.charts.ink import Ink, mixed
from app.classroom.big_text import least_px, sized
from app.printing.paint import painting
from app.widgets.tokens import tints

LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
CENTRE = Qt.AlignmentFlag.AlignCenter
SPARE_PX = 1.0


class Lettering:
    """A painter and the least size of type, in which everything on a picture is measured."""

    def __init__(self, painter: QPainter, widget: QWidget) -> None:
        self.painter, self._widget = painter, widget
        self.px = float(least_px(widget))
        self.room = QRectF(widget.rect())
        self.ink = Ink.of(widget.palette())
        own = tints(widget.palette())
        self.text, self.quiet = QColor(own.text), QColor(own.quiet_text)
        self.accent, self.line = QColor(own.accent), QColor(own.line)
        self.ground = QColor(own.window)
        # First guesses stand behind what was said after talking.
        self.faint = mixed(self.ground, self.quiet, 0.6)
        self.measured, self.model = self.ink.station(1), self.ink.station(0)
        self.written: list[tuple[QRectF, str]] = []
        self.lost: list[str] = []

    def put(
        self,
        room: QRectF,
        flags: Qt.AlignmentFlag,
        text: str,
        *,
        bold: bool = False,
        colour: QColor | None = None,
        size: float = 1.0,
    ) -> QRectF:
        """Write text into its room, wrapped where it is long; return the place it takes."""
        if not text:
            return QRectF(room.topLeft(), room.topLeft())
        painter, wanted = self.painter, int(flags | Qt.TextFlag.TextWordWrap)
        painter.setFont(sized(self._widget.font(), round(self.px * size), bold=bold))
        painter.setPen(colour or self.text)
        needed = QFontMetricsF(painter.font()).boundingRect(room, wanted, text)
        fits = room.adjusted(-SPARE_PX, -SPARE_PX, SPARE_PX, SPARE_PX).contains(needed)
        if not (fits and self.room.adjusted(0, 0, SPARE_PX, SPARE_PX).contains(needed)):
            self.lost.append(text)
        self.written.append((needed, text))
        painter.drawText(room, wanted, text)
        return needed

    def width(self, text: str, *, bold: bool = False, size: float = 1.0) -> float:
        """Return how wide a line of text is. [px]"""
        font = sized(self._widget.font(), round(self.px * size), bold=bold)
        return QFontMetricsF(font).horizontalAdvance(text) + 2

    def height(self, text: str, width_px: float, *, bold: bool = False) -> float:
        """Return how high text is when wrapped. [px]"""
        font = sized(self._widget.font(), round(self.px), bold=bold)
        room = QRectF(0, 0, width_px, 1e5)
        return QFontMetricsF(font).boundingRect(room, Qt.TextFlag.TextWordWrap, text).height() + 1

    def rule(self, begin: QPointF, end: QPointF, colour: QColor, width_px: float = 2.0) -> None:
        """Draw a straight line."""
        self.painter.setPen(QPen(colour, width_px))
        self.painter.drawLine(begin, end)

    @contextmanager
    def filled(self, colour: QColor) -> Iterator[QPainter]:
        """Yield a painter that fills without an outline."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(colour)
        yield self.painter
        self.painter.setBrush(Qt.BrushStyle.NoBrush)


class Picture(QWidget):
    """Paints what it was given; blank until then.

    ``lost`` holds the texts that found no room when it was painted last, ``written`` all of them
    with their places.
    """

    lines_least: float = 6.0

    def __init__(self) -> None:
        super().__init__()
        self.lost: tuple[str, ...] = ()
        self.written: tuple[tuple[QRectF, str], ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def has_something(self) -> bool:
        """Whether there is anything to paint."""
        raise NotImplementedError

    def forget(self) -> None:
        """Hold nothing any more."""
        raise NotImplementedError

    def paint(self, pen: Lettering) -> None:
        """Paint it."""
        raise NotImplementedError

    def say(self, name: str, lines: list[str] | None = None) -> None:
        """Give a screen reader the picture in words."""
        self.setAccessibleName(name)
        self.setAccessibleDescription("\n".join(lines or []))

    def sizeHint(self) -> QSize:
        return QSize(800, round(least_px(self) * self.lines_least * 1.5))

    def minimumSizeHint(self) -> QSize:
        return QSize(300, round(least_px(self) * self.lines_least))

    def paintEvent(self, event: QPaintEvent) -> None:
        self.lost, self.written = (), ()
        if not self.has_something():
            return
        with painting(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            pen = Lettering(painter, self)
            self.paint(pen)
        self.lost, self.written = tuple(pen.lost), tuple(pen.written)
