"""The chain drawn as one line from the cells outwards, with volts at every point."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.pages.wiring.words import link_words
from app.state.display import Display
from app.widgets.number_text import fixed
from app.widgets.tokens import level_colour
from model.results.voltage_drop import Branch, Chain, Link
from model.scenario.station import Station

WEAKEST = "weakest"
HEADS = ("", "mΩ", "receive", "key down", "lost")
# The widest that stands below each head; a battery being charged takes a current below nothing.
_WIDEST = ("0000.0", "\N{MINUS SIGN}00.00 A", "00.00 A", "00.00 V")
_GAP = 10
_RAIL = 26


@dataclass(frozen=True)
class Row:
    """One row: a point of the chain with its volts, or a link between two points."""

    words: str
    cells: tuple[str, str, str, str]
    is_point: bool
    is_weakest: bool
    depth: int


def rows_of(chain: Chain, station: Station, display: Display) -> tuple[Row, ...]:
    """Return the rows of a chain, from the cells to the sets."""
    rows = [_point("battery at rest", chain.rest_v, chain.rest_v)]
    branches: tuple[tuple[Branch, str, int], ...] = (
        ("battery", "where the loads join", 0),
        ("radio", "at the radio", 1),
        ("amplifier", "at the amplifier", 1),
    )
    for branch, end, depth in branches:
        if branch == "amplifier" and station.amplifier is None:
            continue
        links = [link for link in chain.links if link.branch == branch]
        rows += [_link(link, link_words(link, station, display), depth) for link in links]
        rows.append(_point(end, *chain.at_set_v(branch), depth))
    return tuple(rows)


def _point(words: str, receive_v: float, key_down_v: float, depth: int = 0) -> Row:
    cells = ("", fixed(receive_v, 2, "V"), fixed(key_down_v, 2, "V"), "")
    return Row(words, cells, True, False, depth)


def _link(link: Link, words: str, depth: int) -> Row:
    mohm = f"{link.resistance_mohm:.1f}"
    receive, key_down = (fixed(value, 2, "A") for value in (link.receive_a, link.key_down_a))
    cells = (mohm, receive, key_down, fixed(link.lost_v, 2, "V"))
    marked = f"{WEAKEST}: {words}" if link.weakest else words
    return Row(marked, cells, False, link.weakest, depth)


class ChainSketch(QWidget):
    """Draws the rows under one another, beside a rail that runs through every point."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self.rows: tuple[Row, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("chain from battery to radio")

    def show_chain(self, chain: Chain | None, station: Station | None) -> None:
        """Show a chain; none clears it."""
        self.rows = rows_of(chain, station, self._display) if chain and station else ()
        self.setAccessibleDescription(self.in_words())
        self.updateGeometry()
        self.update()

    def in_words(self) -> str:
        """Return the drawing as text, one row a line."""
        return "\n".join(
            f"{row.words}: "
            + ", ".join(
                f"{head} {cell}" for head, cell in zip(HEADS[1:], row.cells, strict=True) if cell
            )
            for row in self.rows
        )

    def _row_height(self) -> int:
        return self.fontMetrics().height() + 6

    def _columns(self) -> list[int]:
        bold = QFontMetrics(_bold(self.font()))
        return [
            max(bold.horizontalAdvance(text) for text in texts) + _GAP
            for texts in zip(HEADS[1:], _WIDEST, strict=True)
        ]

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(_bold(self.font()))
        words = max((metrics.horizontalAdvance(row.words) for row in self.rows), default=0)
        width = 2 * _RAIL + words + sum(self._columns()) + _GAP
        return QSize(width, (len(self.rows) + 1) * self._row_height() if self.rows else 0)

    def minimumSizeHint(self) -> QSize:
        hint = self.sizeHint()
        narrow = 2 * _RAIL + 14 * self.fontMetrics().averageCharWidth() + sum(self._columns())
        return QSize(min(narrow, hint.width()), hint.height())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self.updateGeometry()
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self.rows:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        height = self._row_height()
        self._paint_cells(painter, 0, HEADS[1:], self.palette().color(QPalette.ColorRole.Text))
        self._paint_rail(painter, height)
        for place, row in enumerate(self.rows, start=1):
            self._paint_row(painter, place * height, row)
        painter.end()

    def _x_of(self, row: Row) -> float:
        return 10.0 + row.depth * _RAIL / 1.5

    def _paint_rail(self, painter: QPainter, height: int) -> None:
        pen = QPen(self.palette().color(QPalette.ColorRole.Text), 1.5)
        painter.setPen(pen)
        joint_y = joint_x = 0.0
        before: QPointF | None = None
        for place, row in enumerate(self.rows, start=1):
            here = QPointF(self._x_of(row), (place + 0.5) * height)
            starts_branch = row.depth == 1 and (before is None or before.x() != here.x())
            if starts_branch or (row.depth == 1 and self._follows_an_end(place - 1)):
                painter.drawLine(QLineF(joint_x, joint_y, joint_x, here.y() - height / 2))
                painter.drawLine(
                    QLineF(joint_x, here.y() - height / 2, here.x(), here.y() - height / 2)
                )
                painter.drawLine(QLineF(here.x(), here.y() - height / 2, here.x(), here.y()))
            elif before is not None:
                painter.drawLine(QLineF(before, here))
            if row.is_point and row.depth == 0:
                joint_x, joint_y = here.x(), here.y()
            before = here

    def _follows_an_end(self, place: int) -> bool:
        return place > 0 and self.rows[place - 1].is_point

    def _paint_row(self, painter: QPainter, top: int, row: Row) -> None:
        text = self.palette().color(QPalette.ColorRole.Text)
        accent = level_colour("warning", self.palette())
        x, middle = self._x_of(row), top + self._row_height() / 2
        painter.setPen(QPen(accent if row.is_weakest else text, 1.5))
        if row.is_point:
            painter.setBrush(text)
            painter.drawEllipse(QPointF(x, middle), 4, 4)
        else:
            painter.setBrush(
                accent if row.is_weakest else self.palette().color(QPalette.ColorRole.Base)
            )
            painter.drawRect(QRectF(x - 4, middle - 7, 8, 14))
        painter.setFont(_bold(self.font()) if row.is_point or row.is_weakest else self.font())
        colour = accent if row.is_weakest else text
        painter.setPen(colour)
        left = int(x) + 14
        room = self.width() - sum(self._columns()) - left - _GAP
        words = painter.fontMetrics().elidedText(row.words, Qt.TextElideMode.ElideRight, room)
        painter.drawText(
            QRectF(left, top, room, self._row_height()), Qt.AlignmentFlag.AlignVCenter, words
        )
        self._paint_cells(painter, top, row.cells, colour)

    def _paint_cells(
        self, painter: QPainter, top: int, cells: tuple[str, ...], colour: QColor
    ) -> None:
        painter.setPen(colour)
        columns = self._columns()
        x = self.width() - sum(columns)
        for width, cell in zip(columns, cells, strict=True):
            area = QRectF(x, top, width - 2, self._row_height())
            flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
            painter.drawText(area, flags, cell)
            x += width


def _bold(font: QFont) -> QFont:
    bold = QFont(font)
    bold.setBold(True)
    return bold
