"""The cursor's card: every station at the minute pointed at, beside the cursor."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.charts.fonts import bold_font, note_font
from app.charts.ink import Ink
from app.widgets.number_text import fixed
from app.widgets.tokens import station_style
from model.results.minute import Moment
from model.support.figures import percent

AWAY_PX, INSET_PX, GAP_PX = 14, 9, 12
HEADS = ("charge", "usable", "battery", "radio", "load", "panel")
# The widest text of each column: the card keeps its size while the numbers change.
WIDEST = ("100 %", "888.8 Ah", "88.88 V", "88.88 V", "88.88 A", "888/888 W")


@dataclass(frozen=True)
class CardRow:
    """One station at one minute; without a moment it was not run."""

    index: int
    moment: Moment | None
    beside: str = ""

    @property
    def cells(self) -> tuple[str, ...]:
        """The numbers in the order of the columns."""
        if self.moment is None:
            return ("not run", *[""] * (len(HEADS) - 1))
        return cell_texts(self.moment)


class CursorCard(QWidget):
    """Lies over the curves and takes no clicks; says nothing that is not read out besides."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._time = ""
        self._rows: tuple[CardRow, ...] = ()
        self._note = ""
        self.hide()

    @property
    def time_text(self) -> str:
        """The minute shown."""
        return self._time

    @property
    def rows(self) -> tuple[CardRow, ...]:
        """What is shown of each station."""
        return self._rows

    @property
    def note(self) -> str:
        """What is said below the numbers."""
        return self._note

    def show_moments(self, time_text: str, rows: tuple[CardRow, ...]) -> None:
        """Show each station at one minute."""
        if (time_text, rows) != (self._time, self._rows):
            self._time, self._rows = time_text, rows
            self._fit()

    def say(self, note: str) -> None:
        """Say something below the numbers, such as what is being dragged."""
        if note != self._note:
            self._note = note
            self._fit()

    def stand_beside(self, x_px: float, room: QRect) -> None:
        """Stand beside the cursor, within a room; on its left where the right is too narrow."""
        left = round(x_px) + AWAY_PX
        if left + self.width() > room.right():
            left = round(x_px) - AWAY_PX - self.width()
        left = max(min(left, room.right() - self.width()), room.left())
        self.move(QPoint(left, max(room.top(), room.center().y() - self.height() // 2)))

    def sizeHint(self) -> QSize:
        """Return the size of all that is said."""
        bold, small = QFontMetricsF(bold_font()), QFontMetricsF(note_font())
        width = max(self._columns_px(), bold.horizontalAdvance(self._time))
        lines = bold.height() + small.height() + len(self._rows) * bold.height()
        for words in self._notes():
            lines += small.height()
            width = max(width, small.horizontalAdvance(words))
        return QSize(round(width) + 2 * INSET_PX, round(lines) + 2 * INSET_PX - 2)

    def _notes(self) -> list[str]:
        beside = [
            f"{station_style(row.index).letter}: {row.beside}" for row in self._rows if row.beside
        ]
        return [*beside, self._note] if self._note else beside

    def _widths(self) -> list[float]:
        metrics, small = QFontMetricsF(self.font()), QFontMetricsF(note_font())
        return [
            max(metrics.horizontalAdvance(widest), small.horizontalAdvance(head))
            for head, widest in zip(HEADS, WIDEST, strict=True)
        ]

    def _letter_px(self) -> float:
        return QFontMetricsF(bold_font()).horizontalAdvance("W") + GAP_PX / 2

    def _columns_px(self) -> float:
        return self._letter_px() + sum(self._widths()) + GAP_PX * (len(HEADS) - 1)

    def _fit(self) -> None:
        self.resize(self.sizeHint())
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        ink = Ink.of(self.palette())
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(QPen(ink.faint_text, 1))
            painter.setBrush(ink.ground)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 5, 5)
            self._draw(painter, ink)

    def _draw(self, painter: QPainter, ink: Ink) -> None:
        bold, small = QFontMetricsF(bold_font()), QFontMetricsF(note_font())
        y, left = float(INSET_PX) - 2, float(INSET_PX)
        painter.setFont(bold_font())
        painter.setPen(ink.text)
        painter.drawText(QRectF(left, y, self.width(), bold.height()), 0, self._time)
        y += bold.height()
        painter.setFont(note_font())
        self._draw_cells(painter, HEADS, y, small.height(), ink.faint_text)
        y += small.height()
        for row in self._rows:
            colour = ink.station(row.index)
            painter.setFont(bold_font())
            painter.setPen(colour)
            letter = station_style(row.index).letter
            painter.drawText(QRectF(left, y, 40, bold.height()), 0, letter)
            painter.setFont(self.font())
            self._draw_cells(painter, row.cells, y, bold.height(), ink.text)
            y += bold.height()
        painter.setFont(note_font())
        painter.setPen(ink.text)
        for words in self._notes():
            painter.drawText(QRectF(left, y, self.width(), small.height()), 0, words)
            y += small.height()

    def _draw_cells(
        self, painter: QPainter, texts: tuple[str, ...], y: float, height: float, colour: QColor
    ) -> None:
        x = INSET_PX + self._letter_px()
        painter.setPen(colour)
        flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for text, width in zip(texts, self._widths(), strict=True):
            painter.drawText(QRectF(x, y, width, height), flags | Qt.TextFlag.TextDontClip, text)
            x += width + GAP_PX


def cell_texts(moment: Moment) -> tuple[str, ...]:
    """Return the numbers of one station, in the order of the columns."""
    return (
        percent(moment.fraction),
        fixed(moment.usable_ah, 1, "Ah"),
        fixed(moment.battery_v, 2, "V"),
        fixed(moment.radio_v, 2, "V"),
        fixed(moment.load_a, 2, "A"),
        f"{fixed(moment.panel_w, 0)}/{fixed(moment.panel_able_w, 0, 'W')}",
    )
