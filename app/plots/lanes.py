"""The strip of abilities over the charge: what each station can do when, and when that ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from app.charts.ink import Ink
from app.plots.margins import Margin
from app.plots.placing import Flag, PlacedFlag, place_flags
from app.plots.span import Span
from app.widgets.tokens import StationStyle
from model.results.minute import Phase, Stretch

BAR_PX = 5.0
# Characters of a name that stay when the words about it need the room.
SHORT_NAME = 12
BAR_LOOKS: dict[Phase, tuple[float, Qt.BrushStyle]] = {
    "full power": (BAR_PX, Qt.BrushStyle.SolidPattern),
    "reduced power": (BAR_PX - 1, Qt.BrushStyle.BDiagPattern),
    "receive": (1.5, Qt.BrushStyle.SolidPattern),
}


@dataclass(frozen=True)
class Lane:
    """One station in the strip of abilities: what it can do when, and when that ends."""

    style: StationStyle
    name: str
    stretches: Sequence[Stretch]
    flags: tuple[Flag, ...]
    note: str


class Lanes(Margin):
    """For each station a line of words about its failures over a bar of its abilities."""

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
        self.fix_height(len(self._lanes) * self._row_px() + 4)

    def places(self) -> list[tuple[QRectF, str]]:
        """Return where the words stand and what of them is shown."""
        return [place for index in range(len(self._lanes)) for place in self._words_of(index)]

    def draw(self, painter: QPainter, ink: Ink) -> None:
        """Draw it."""
        for index, lane in enumerate(self._lanes):
            colour = QColor(lane.style.colour(dark=ink.is_dark))
            bottom = (index + 1) * self._row_px()
            for stretch in lane.stretches:
                self._draw_bar(painter, stretch, colour, bottom)
            painter.setPen(QPen(colour, 1))
            for flag in lane.flags:
                if self._span.low <= flag.x <= self._span.high:
                    x = self._px(flag.x)
                    painter.drawLine(QLineF(x, index * self._row_px() + 2, x, self.rect().height()))
            painter.setPen(QPen(ink.text))
            for box, text in self._words_of(index):
                painter.fillRect(box, ink.ground)
                painter.drawText(
                    box, Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip, text
                )

    def _row_px(self) -> float:
        return self.metrics().height() + BAR_PX + 5

    def _px(self, minute: float) -> float:
        # The words may run on beside the panes; the time axis ends with them.
        return self._span.px(minute, 0.0, self._span.width_px)

    def _words_of(self, index: int) -> list[tuple[QRectF, str]]:
        lane, metrics = self._lanes[index], self.metrics()
        top, width = index * self._row_px() + 1, self.rect().width()
        placed: tuple[PlacedFlag, ...] = ()
        short_name = metrics.elidedText(
            lane.name, Qt.TextElideMode.ElideRight, metrics.averageCharWidth() * SHORT_NAME
        )
        for name in (lane.name, short_name, lane.style.letter):
            flags = self._flags_of(lane, name)
            placed = place_flags(flags, 0.0, width, metrics.horizontalAdvance)
            if all(metrics.horizontalAdvance(each.text) <= each.width for each in placed):
                break
        if not placed:
            note_px = min(metrics.horizontalAdvance(lane.note), width)
            placed = (PlacedFlag(0.0, note_px, lane.note),)
        return [
            (
                QRectF(each.left, top, each.width, metrics.height()),
                metrics.elidedText(each.text, Qt.TextElideMode.ElideRight, each.width + 1),
            )
            for each in placed
        ]

    def _flags_of(self, lane: Lane, name: str) -> list[Flag]:
        """Return the flags in pixels; one outside the stretch shown waits at its edge."""
        flags = []
        for position, flag in enumerate(lane.flags):
            before = f"{name}: " if position == 0 else ""
            after = ""
            if flag.x < self._span.low:
                before = f"‹ {before}"
            elif flag.x > self._span.high:
                after = " ›"
            x = min(max(flag.x, self._span.low), self._span.high)
            flags.append(
                Flag(self._px(x), f"{before}{flag.text}{after}", f"{before}{flag.short}{after}")
            )
        return flags

    def _draw_bar(self, painter: QPainter, stretch: Stretch, colour: QColor, bottom: float) -> None:
        left, right = self._px(stretch.begin_step), self._px(stretch.end_step)
        if right < 0 or left > self._span.width_px or stretch.phase == "silent":
            return
        height, pattern = BAR_LOOKS[stretch.phase]
        left, right = max(left, 0.0), min(right, self._span.width_px)
        box = QRectF(left, bottom - 1 - height, max(right - left, 1.0), height)
        painter.fillRect(box, QBrush(colour, pattern))
        if pattern != Qt.BrushStyle.SolidPattern:
            painter.setPen(QPen(colour, 1))
            painter.drawRect(box)
