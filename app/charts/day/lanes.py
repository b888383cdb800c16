"""The lanes over the charge: what each station is able to do when, and when it is off the air."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen

from app.charts.fonts import bold_font, measured, note_font
from app.charts.ink import Ink
from app.charts.margins import Margin
from app.charts.span import Span
from app.widgets.tokens import StationStyle
from model.results.minute import Phase

BAR_PX = 6.0
BAR_LOOKS: dict[Phase, tuple[float, Qt.BrushStyle]] = {
    "full power": (BAR_PX, Qt.BrushStyle.SolidPattern),
    "reduced power": (BAR_PX, Qt.BrushStyle.BDiagPattern),
    "receive": (2.0, Qt.BrushStyle.SolidPattern),
}


@dataclass(frozen=True)
class LanePiece:
    """One stretch of elapsed minutes in one phase; the words, longest first, stand in a gap."""

    phase: Phase
    begin_min: float
    end_min: float
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Lane:
    """One station; without a run the note says why."""

    style: StationStyle
    pieces: tuple[LanePiece, ...]
    note: str = ""


class Lanes(Margin):
    """For each station its letter and a bar of its abilities."""

    def __init__(self, span: Span) -> None:
        super().__init__()
        self._span = span
        self._lanes: tuple[Lane, ...] = ()

    def set_lanes(self, lanes: tuple[Lane, ...]) -> None:
        """Show other stations."""
        if lanes == self._lanes:
            return
        changed = len(lanes) != len(self._lanes)
        self._lanes = lanes
        if changed:
            self.fit()
        self.update()

    def fit(self) -> None:
        """Ask for the size that the text needs."""
        self.fix_height(len(self._lanes) * self._row_px() + 2)

    def places(self) -> list[tuple[QRectF, str]]:
        """Return where the words stand and what of them is shown."""
        left, found = self._left_px(), []
        for index, lane in enumerate(self._lanes):
            row = self._row(index)
            found.append((self._letter_box(row, left), lane.style.letter))
            found += self._words_of(lane, row, left)
        return found

    def draw(self, painter: QPainter, ink: Ink) -> None:
        """Draw it."""
        left, bold, note = self._left_px(), bold_font(), note_font()
        upright = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip
        for index, lane in enumerate(self._lanes):
            colour, row = QColor(lane.style.colour(dark=ink.is_dark)), self._row(index)
            for piece in lane.pieces:
                self._draw_bar(painter, piece, colour, row, left)
            painter.setFont(bold)
            painter.setPen(colour)
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextDontClip
            painter.drawText(self._letter_box(row, left), flags, lane.style.letter)
            painter.setFont(note)
            painter.setPen(ink.text)
            for box, text in self._words_of(lane, row, left):
                painter.drawText(box, upright, text)

    def _row_px(self) -> float:
        return round(self.metrics().height() * 0.92)

    def _row(self, index: int) -> tuple[float, float]:
        """Return top and height of a lane. [px]"""
        height = self._row_px()
        return index * height, height

    def _left_px(self) -> float:
        return self.mapFromScene(QPointF(self._span.left_px, 0)).x()

    def _ends(self, piece: LanePiece, left: float) -> tuple[float, float]:
        """Return where what is seen of a piece begins and ends. [px]"""
        right = left + self._span.width_px
        begin = max(self._span.px(piece.begin_min, left, right), left)
        return begin, min(self._span.px(piece.end_min, left, right), right)

    def _letter_box(self, row: tuple[float, float], left: float) -> QRectF:
        width = self.metrics().horizontalAdvance("W")
        return QRectF(left - width - 8, row[0], width, row[1])

    def _words_of(
        self, lane: Lane, row: tuple[float, float], left: float
    ) -> list[tuple[QRectF, str]]:
        (top, height), width_px = row, measured(note_font()).width_px
        if lane.note:
            metrics = QFontMetricsF(note_font())
            note = metrics.elidedText(lane.note, Qt.TextElideMode.ElideRight, self._span.width_px)
            return [(QRectF(left + 4, top, width_px(note), height), note)]
        found = []
        for piece in lane.pieces:
            if not piece.words:
                continue
            begin, end = self._ends(piece, left)
            fitting = (w for w in piece.words if width_px(w) + 6 <= end - begin)
            words = next(fitting, "")
            if words:
                width = width_px(words)
                found.append((QRectF((begin + end - width) / 2, top, width, height), words))
        return found

    def _draw_bar(
        self,
        painter: QPainter,
        piece: LanePiece,
        colour: QColor,
        row: tuple[float, float],
        left: float,
    ) -> None:
        begin, end = self._ends(piece, left)
        if end < begin or piece.phase == "silent":
            return
        height, pattern = BAR_LOOKS[piece.phase]
        middle = row[0] + row[1] / 2
        box = QRectF(begin, middle - height / 2, max(end - begin, 1.0), height)
        painter.fillRect(box, QBrush(colour, pattern))
        if pattern != Qt.BrushStyle.SolidPattern:
            painter.setPen(QPen(colour, 1))
            painter.drawRect(box)
