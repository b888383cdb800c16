"""The odds of all stations as trips of ten with their bounds: of the season, and the forecast."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink
from app.charts.markers import draw_shape
from app.pages.odds.sheet import Sheet
from app.widgets.tokens import GRID_PX, station_style
from model.odds.odds import Odds
from model.odds.rows import Rows, row_name
from model.odds.sentences import odds_text
from model.odds.shares import Share
from model.results.wording import called, heading_at

# Rows of one question, of each basis, of each station.
QUESTIONS = (("receive", "Receives to the end"), ("reserve", "Keeps its reserve"))
TRIPS, LEAST_PITCH_PX = 10, 9.0
# In lines of text.
# Both questions stand side by side from so wide on.
PITCH_LINES, RADIUS_LINES, WIDE_LINES = 1.5, 0.44, 61.0
WHISKER_PX = 3.0
# Trial trips are never sure: half a mark stays filled, or empty, as the words say.
LEAST = 0.05
KEY = "of ten trips; the line spans the bounds"
LEFT = Qt.AlignmentFlag.AlignLeft
BROKEN = LEFT | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap


@dataclass(frozen=True)
class Chance:
    """One row: what it is of, of which station, and how large it is."""

    question: str
    row: str
    station: int
    share: Share | None


def chances_of(rows: Rows) -> tuple[Chance, ...]:
    """Return all rows in the order they stand in."""
    return tuple(
        Chance(title, row_name(found), index, _share(found, index, name))
        for name, title in QUESTIONS
        for found in rows.all
        for index in range(len(found.stations))
    )


def _share(found: Odds, index: int, name: str) -> Share | None:
    station = found.stations[index]
    return None if station is None else getattr(station, name)


class ChanceDots(Sheet):
    """Ten trips a row, filled as many as come through; a line under them spans the bounds."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("odds of each station", parent)
        policy = self.sizePolicy()
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.chances: tuple[Chance, ...] = ()
        self._letters: tuple[str, ...] = ()

    def show_rows(self, rows: Rows) -> None:
        """Show other odds."""
        self.chances = chances_of(rows)
        scenario = rows.forecast.scenario
        stations = range(len(scenario.stations))
        self._letters = tuple(called(scenario, index) for index in stations)
        self.setAccessibleDescription(
            "\n".join(
                f"{each.question}, {each.row}, {heading_at(scenario, each.station)}:"
                f" {chance_words(each)}"
                for each in self.chances
            )
        )
        self.updateGeometry()
        self.renew()

    def _blocks(self) -> list[list[Chance]]:
        return [[each for each in self.chances if each.question == title] for _, title in QUESTIONS]

    @property
    def _row_px(self) -> float:
        return 2 * self._radius_px + 2 * WHISKER_PX + 5

    @property
    def _radius_px(self) -> float:
        return RADIUS_LINES * self.line_px

    @property
    def _wide_px(self) -> float:
        return WIDE_LINES * self.line_px

    def _block_px(self) -> float:
        return self._row_px * (len(self.chances) / len(QUESTIONS) + 1) + GRID_PX

    def paint_now(self, painter: QPainter, size: QRectF, ink: Ink) -> None:
        is_wide = size.width() >= self._wide_px
        for at, block in enumerate(self._blocks() if self.chances else ()):
            width = size.width() / 2 if is_wide else size.width()
            left, top = (at * width, 0.0) if is_wide else (0.0, at * self._block_px())
            self._paint_block(painter, QRectF(left, top, width, self._block_px()), block, ink)

    def _paint_block(self, painter: QPainter, room: QRectF, block: list[Chance], ink: Ink) -> None:
        letter_px = self.words_px("D") + GRID_PX if len(self._letters) > 1 else 0.0
        words_px = max(self.words_px(chance_words(each)) for each in block)
        others_px = letter_px + TRIPS * LEAST_PITCH_PX + words_px + 4 * GRID_PX
        name_px = self._names_px(block, room.width() - others_px)
        begin = room.left() + GRID_PX + name_px + letter_px
        free_px = room.right() - begin - words_px - 3 * GRID_PX
        pitch_px = min(max(free_px / TRIPS, LEAST_PITCH_PX), PITCH_LINES * self.line_px)
        self._paint_head(painter, room, block[0].question, ink)
        top, shown = room.top() + self._row_px, ""
        for each in block:
            line = QRectF(begin, top, pitch_px * TRIPS, 2 * self._radius_px + 2)
            painter.setPen(ink.faint_text)
            if each.row != shown:
                height = self._row_px * len(self._letters)
                above = (line.height() - self.line_px) / 2
                place = QRectF(room.left() + GRID_PX, top + above, name_px - GRID_PX, height)
                painter.drawText(place, BROKEN, each.row)
                shown = each.row
            painter.setPen(ink.station(each.station))
            if letter_px:
                place = QRectF(begin - letter_px, top, letter_px, line.height())
                self.put_words(painter, place, station_style(each.station).letter, LEFT)
            if each.share is not None:
                self._paint_trips(painter, line, each.station, each.share, ink)
            painter.setPen(ink.text)
            words = QRectF(line.right() + 12, top, room.right() - line.right() - 14, line.height())
            self.put_words(painter, words, chance_words(each), LEFT)
            top += self._row_px

    def _names_px(self, block: list[Chance], free_px: float) -> float:
        """Return the width of the names; beside several stations they may be broken into lines."""
        whole = max(self.words_px(each.row) for each in block)
        word = max(self.words_px(word) for each in block for word in each.row.split())
        least = word if len(self._letters) > 1 else whole
        return min(max(free_px, least + GRID_PX), whole + GRID_PX)

    def _paint_head(self, painter: QPainter, room: QRectF, question: str, ink: Ink) -> None:
        font = painter.font()
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(ink.text)
        head = QRectF(room.left() + GRID_PX, room.top(), room.width() - GRID_PX, self._row_px)
        painter.drawText(head, LEFT | Qt.AlignmentFlag.AlignVCenter, question)
        head.setLeft(head.left() + painter.fontMetrics().horizontalAdvance(question) + 2 * GRID_PX)
        painter.setFont(self.font())
        painter.setPen(ink.faint_text)
        self.put_words(painter, head, KEY, LEFT)

    def _paint_trips(
        self, painter: QPainter, line: QRectF, station: int, share: Share, ink: Ink
    ) -> None:
        """Paint ten trips, filled from the left as far as the share goes, over its bounds."""
        pitch_px = line.width() / TRIPS
        radius_px = min(self._radius_px, 0.42 * pitch_px)
        middle = line.top() + self._radius_px + 1
        marker, colour = station_style(station).marker, ink.station(station)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colour, 1.3))
        for is_filled in (False, True):
            painter.save()
            if is_filled:
                # The part of a mark that the share reaches, and no more of it.
                painter.setBrush(colour)
                reached = QRectF(line)
                reached.setWidth(line.width() * min(max(share.value, LEAST), 1 - LEAST))
                painter.setClipRect(reached)
            for trip in range(TRIPS):
                at = QPointF(line.left() + (trip + 0.5) * pitch_px, middle)
                draw_shape(painter, at, marker, radius_px)
            painter.restore()
        low, high = (line.left() + line.width() * end for end in (share.low, share.high))
        under = middle + radius_px + WHISKER_PX + 1.5
        painter.setPen(QPen(ink.text, 1.5))
        painter.drawLine(QLineF(low, under, high, under))
        for x in (low, high):
            painter.drawLine(QLineF(x, under - WHISKER_PX, x, under + WHISKER_PX))

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        blocks = 1 if width >= self._wide_px else len(QUESTIONS)
        return round(self._block_px() * blocks) + 2

    def sizeHint(self) -> QSize:
        return QSize(640, self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:
        return QSize(420, self.heightForWidth(round(self._wide_px) + 1))


def chance_words(chance: Chance) -> str:
    """Return odds with their bounds."""
    return "not run: see its findings" if chance.share is None else odds_text(chance.share)
