"""The cursor's card: every station at the minute pointed at, beside the cursor."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.charts.fonts import bold_font, measured, note_font
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
        bold, small = measured(bold_font()), measured(note_font())
        width = max(self._columns_px(), bold.width_px(self._time))
        lines = bold.height_px + small.height_px + len(self._rows) * bold.height_px
        for words in self._notes():
            lines += small.height_px
            width = max(width, small.width_px(words))
        return QSize(round(width) + 2 * INSET_PX, round(lines) + 2 * INSET_PX - 2)

    def _notes(self) -> list[str]:
        beside = [
            f"{station_style(row.index).letter}: {row.beside}" for row in self._rows if row.beside
        ]
        return [*beside, self._note] if self._note else beside

    def _widths(self) -> list[float]:
        body, small = measured(self.font()), measured(note_font())
        return [
            max(body.width_px(widest), small.width_px(head))
            for head, widest in zip(HEADS, WIDEST, strict=True)
        ]

    def _letter_px(self) -> float:
        return measured(bold_font()).width_px("W") + GAP_PX / 2

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
        bold, small, body = bold_font(), note_font(), self.font()
        high_px, low_px = measured(bold).height_px, measured(small).height_px
        y, left = float(INSET_PX) - 2, float(INSET_PX)
        painter.setFont(bold)
        painter.setPen(ink.text)
        painter.drawText(QRectF(left, y, self.width(), high_px), 0, self._time)
        y += high_px
        columns = self._columns()
        painter.setFont(small)
        _draw_cells(painter, HEADS, columns, (y, low_px), ink.faint_text)
        y += low_px
        for row in self._rows:
            painter.setFont(bold)
            painter.setPen(ink.station(row.index))
            letter = station_style(row.index).letter
            painter.drawText(QRectF(left, y, 40, high_px), 0, letter)
            painter.setFont(body)
            _draw_cells(painter, row.cells, columns, (y, high_px), ink.text)
            y += high_px
        painter.setFont(small)
        painter.setPen(ink.text)
        for words in self._notes():
            painter.drawText(QRectF(left, y, self.width(), low_px), 0, words)
            y += low_px

    def _columns(self) -> list[tuple[float, float]]:
        """Return left edge and width of each column. [px]"""
        x, columns = INSET_PX + self._letter_px(), []
        for width in self._widths():
            columns.append((x, width))
            x += width + GAP_PX
        return columns


def _draw_cells(
    painter: QPainter,
    texts: tuple[str, ...],
    columns: list[tuple[float, float]],
    line: tuple[float, float],
    colour: QColor,
) -> None:
    """Write texts in columns on a line of this top and height. [px]"""
    painter.setPen(colour)
    flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip
    top, height = line
    for text, (left, width) in zip(texts, columns, strict=True):
        painter.drawText(QRectF(left, top, width, height), flags, text)


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
