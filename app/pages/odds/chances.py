"""The odds of all stations as bars with their bounds: of the season, and if the forecast holds."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink, mixed
from app.pages.odds.sheet import Sheet
from app.widgets.tokens import GRID_PX, station_style
from model.odds.odds import Odds
from model.odds.rows import Rows, row_name
from model.odds.sentences import odds_text
from model.odds.shares import Share
from model.results.wording import called, heading_at

# Rows of one question, of each basis, of each station.
QUESTIONS = (("receive", "Receives to the end"), ("reserve", "Keeps its reserve"))
BAR_PX, LEAST_BAR_PX, WIDE_PX = 260.0, 90.0, 1040


@dataclass(frozen=True)
class Bar:
    """One bar: what it is of, of which station, and how far it reaches."""

    question: str
    row: str
    station: int
    share: Share | None


def bars_of(rows: Rows) -> tuple[Bar, ...]:
    """Return all bars in the order they stand in."""
    return tuple(
        Bar(title, row_name(found), index, _share(found, index, name))
        for name, title in QUESTIONS
        for found in rows.all
        for index in range(len(found.stations))
    )


def _share(found: Odds, index: int, name: str) -> Share | None:
    station = found.stations[index]
    return None if station is None else getattr(station, name)


class ChanceBars(Sheet):
    """Bars from none to all of ten trips; a line across each end says how far it may be off."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("odds of each station", parent)
        policy = self.sizePolicy()
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.bars: tuple[Bar, ...] = ()
        self._letters: tuple[str, ...] = ()
        self.setToolTip("Of ten trips; the thin line spans the bounds of the odds.")

    def show_rows(self, rows: Rows) -> None:
        """Show other odds."""
        self.bars = bars_of(rows)
        scenario = rows.forecast.scenario
        stations = range(len(scenario.stations))
        self._letters = tuple(called(scenario, index) for index in stations)
        self.setAccessibleDescription(
            "\n".join(
                f"{bar.question}, {bar.row}, {heading_at(scenario, bar.station)}: {bar_words(bar)}"
                for bar in self.bars
            )
        )
        self.updateGeometry()
        self.renew()

    def _blocks(self) -> list[list[Bar]]:
        return [[bar for bar in self.bars if bar.question == title] for _, title in QUESTIONS]

    @property
    def _row_px(self) -> float:
        return self.line_px + 6

    def _block_px(self) -> float:
        return self._row_px * (len(self.bars) / len(QUESTIONS) + 1) + self.line_px + GRID_PX

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        is_wide = size.width() >= WIDE_PX
        for at, block in enumerate(self._blocks() if self.bars else ()):
            width = size.width() / 2 if is_wide else size.width()
            left, top = (at * width, 0.0) if is_wide else (0.0, at * self._block_px())
            self._paint_block(painter, QRectF(left, top, width, self._block_px()), block, ink)

    def _paint_block(self, painter: QPainter, room: QRectF, block: list[Bar], ink: Ink) -> None:
        left_side = Qt.AlignmentFlag.AlignLeft
        name_px = max(self.words_px(bar.row) for bar in block) + GRID_PX
        letter_px = self.words_px("D") + GRID_PX if len(self._letters) > 1 else 0.0
        begin = room.left() + GRID_PX + name_px + letter_px
        words_px = max(self.words_px(bar_words(bar)) for bar in block)
        free_px = room.right() - begin - words_px - 3 * GRID_PX
        bar_px = min(max(free_px, LEAST_BAR_PX), BAR_PX)
        font = painter.font()
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(ink.text)
        head = QRectF(room.left() + GRID_PX, room.top(), room.width() - GRID_PX, self._row_px)
        painter.drawText(head, left_side | Qt.AlignmentFlag.AlignVCenter, block[0].question)
        painter.setFont(self.font())
        top = room.top() + self._row_px
        self._paint_scale(painter, QRectF(begin, top, bar_px, self._row_px * len(block)), ink)
        shown = ""
        for bar in block:
            line = QRectF(begin, top, bar_px, self._row_px)
            painter.setPen(ink.faint_text)
            if bar.row != shown:
                place = QRectF(room.left() + GRID_PX, top, name_px, self._row_px)
                self.put_words(painter, place, bar.row, left_side)
                shown = bar.row
            painter.setPen(ink.station(bar.station))
            if letter_px:
                place = QRectF(begin - letter_px, top, letter_px, self._row_px)
                self.put_words(painter, place, station_style(bar.station).letter, left_side)
            self._paint_bar(painter, line, bar, ink)
            painter.setPen(ink.text)
            words = QRectF(line.right() + 12, top, room.right() - line.right() - 14, self._row_px)
            self.put_words(painter, words, bar_words(bar), left_side)
            top += self._row_px

    def _paint_scale(self, painter: QPainter, field: QRectF, ink: Ink) -> None:
        for tenths in (0, 5, 10):
            x = field.left() + field.width() * tenths / 10
            painter.setPen(QPen(ink.grid, 1))
            painter.drawLine(QLineF(x, field.top(), x, field.bottom()))
            painter.setPen(ink.faint_text)
            text = "10 trips" if tenths == 10 else str(tenths)
            wide = self.words_px(text) + 4
            place = QRectF(x - wide / 2, field.bottom(), wide, self.line_px)
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_bar(self, painter: QPainter, line: QRectF, bar: Bar, ink: Ink) -> None:
        if bar.share is None:
            return
        colour, share = ink.station(bar.station), bar.share
        body = line.adjusted(0, 4, 0, -4)
        painter.fillRect(body, mixed(ink.ground, ink.text, 0.07))
        painter.fillRect(QRectF(body.left(), body.top(), body.width() * share.value, body.height()),
                         mixed(ink.ground, colour, 0.75))  # fmt: skip
        low, high = (body.left() + body.width() * end for end in (share.low, share.high))
        middle = body.center().y()
        painter.setPen(QPen(ink.text, 1.5))
        painter.drawLine(QLineF(low, middle, high, middle))
        for x in (low, high):
            painter.drawLine(QLineF(x, middle - 4, x, middle + 4))

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        blocks = 1 if width >= WIDE_PX else len(QUESTIONS)
        return round(self._block_px() * blocks) + 2

    def sizeHint(self) -> QSize:
        return QSize(640, self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:
        return QSize(420, self.heightForWidth(WIDE_PX))


def bar_words(bar: Bar) -> str:
    """Return the odds of a bar with their bounds."""
    return "not run: see its findings" if bar.share is None else odds_text(bar.share)
