"""The guesses of a class on a strip: a dot for each, the median, and after the reveal the run."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import inf, isfinite, log

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.classroom.big_text import least_px, sized
from app.printing.paint import painting
from app.widgets.tokens import is_dark
from model.lessons.answer import GOOD_RATIO

# Guesses that lie further apart than this factor are shown on a scale of equal ratios.
WIDE = 20.0
END_ROOM = 0.12


class GuessStrip(QWidget):
    """A scale with a dot for each guess; never stands at its right end."""

    def __init__(self) -> None:
        super().__init__()
        self._guesses: tuple[float, ...] = ()
        self._median = inf
        self._truth: float | None = None
        self._is_open = False
        self._say: Callable[[float], str] = str
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_guesses(
        self, guesses: Sequence[float], median: float, say: Callable[[float], str]
    ) -> None:
        """Show guesses alone; nothing of the run is in the picture."""
        self._guesses, self._median, self._say = tuple(guesses), median, say
        self._truth, self._is_open = None, False
        self.setAccessibleName(f"{len(guesses)} guesses" if guesses else "No guesses")
        self.update()

    def forget(self) -> None:
        """Hold neither guesses nor a run."""
        self._guesses, self._truth, self._is_open = (), None, False
        self.setAccessibleName("")

    def show_truth(self, truth: float | None) -> None:
        """Mark where the run lies; None is never."""
        self._truth, self._is_open = truth, True
        self.setAccessibleName(f"{self.accessibleName()}, and the run")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(600, least_px(self) * 5)

    def minimumSizeHint(self) -> QSize:
        return QSize(300, least_px(self) * 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._guesses and not self._is_open:
            return
        with painting(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint(painter)

    def _numbers(self) -> list[float]:
        found = [guess for guess in self._guesses if isfinite(guess)]
        if self._is_open and self._truth is not None:
            found.append(self._truth)
        return found

    def _paint(self, painter: QPainter) -> None:
        px = least_px(self)
        place = self._scale()
        middle = self.height() / 2
        ink = self.palette().windowText().color()
        truth = inf if self._truth is None else self._truth
        if self._is_open and isfinite(truth) and truth > 0:
            self._paint_good_band(painter, place, truth, middle, px)
        painter.setPen(QPen(ink, 2))
        painter.drawLine(QPointF(0, middle), QPointF(self.width(), middle))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        radius = px * 0.28
        for x, level in self._stacked(place, radius):
            painter.drawEllipse(QPointF(x, middle - radius - level * radius * 2.1), radius, radius)
        painter.setFont(sized(self.font(), px, bold=True))
        if inf in self._guesses and not (self._is_open and truth == inf):
            self._mark(painter, place(inf), middle, px * 0.6, "never")
        if self._guesses:
            self._mark(
                painter, place(self._median), middle, -px * 1.5, f"median {self._say(self._median)}"
            )
        if self._is_open:
            self._mark(painter, place(truth), middle, px * 1.5, f"run {self._say(truth)}")

    def _paint_good_band(
        self,
        painter: QPainter,
        place: Callable[[float], float],
        truth: float,
        middle: float,
        px: int,
    ) -> None:
        left, right = place(truth / GOOD_RATIO), place(truth * GOOD_RATIO)
        band = QRectF(left, middle - px * 0.9, max(right - left, 4), px * 1.8)
        dark = is_dark(self.palette())
        painter.fillRect(band, Qt.GlobalColor.darkGray if dark else Qt.GlobalColor.lightGray)

    def _mark(self, painter: QPainter, x: float, middle: float, down: float, text: str) -> None:
        ink = self.palette().windowText().color()
        painter.setPen(QPen(ink, 5))
        painter.drawLine(QPointF(x, middle), QPointF(x, middle + down))
        width = painter.fontMetrics().horizontalAdvance(text) + 4
        height = painter.fontMetrics().height()
        left = min(max(x - width / 2, 0), self.width() - width)
        top = middle + down - (height if down < 0 else 0)
        painter.drawText(QRectF(left, top, width, height), Qt.AlignmentFlag.AlignCenter, text)

    def _stacked(self, place: Callable[[float], float], radius: float) -> list[tuple[float, int]]:
        """Return where each dot stands; dots that would cover one another are stacked."""
        found: list[tuple[float, int]] = []
        for guess in sorted(self._guesses):
            x = place(guess)
            level = sum(abs(x - other) < radius * 1.6 for other, _ in found)
            found.append((x, min(level, 2)))
        return found

    def _scale(self) -> Callable[[float], float]:
        numbers = self._numbers()
        never = not all(map(isfinite, self._guesses)) or (self._is_open and self._truth is None)
        begin = self.width() * END_ROOM / 2
        end = self.width() * (1 - END_ROOM * (1.5 if never else 0.5))
        low, high = (min(numbers), max(numbers)) if numbers else (0.0, 1.0)
        by_ratio = low > 0 and high / low > WIDE
        first, last = (log(low), log(high)) if by_ratio else (low, high)
        span = (last - first) or 1.0

        def place(value: float) -> float:
            if not isfinite(value):
                return self.width() * (1 - END_ROOM / 2)
            at = log(max(value, low / 2)) if by_ratio else value
            share = (at - first) / span if last > first else 0.5
            return min(max(begin + (end - begin) * share, 0.0), float(self.width()))

        return place
