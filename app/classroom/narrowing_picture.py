"""How the spread of a class has narrowed: each question before and after, over the run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, log

from PySide6.QtCore import QPointF, QRectF

from app.classroom.picture import CENTRE, LEFT, RIGHT, Lettering, Picture

# Guesses beyond this factor stand at the end of the scale.
REACH = 8.0
MARKS = ((0.125, "⅛"), (0.25, "¼"), (0.5, "½"), (1.0, "the run"), (2.0, "× 2"), (4.0, "× 4"),
         (8.0, "× 8"))  # fmt: skip
LABEL_LINES, WIDTH_LINES = 7.5, 9.5
END_LINES = 1.6


@dataclass(frozen=True)
class Narrowed:
    """One question: its words, guesses before and after over the run [1], and widths in words.

    ``before`` and ``after`` hold no guess of "never", which has no place on the scale.
    """

    words: str
    before: tuple[float, ...]
    after: tuple[float, ...]
    width_words: str

    def line(self) -> str:
        """Return it in words."""
        said = []
        for name, ratios in (("before", self.before), ("after", self.after)):
            if ratios:
                low, high = min(ratios), max(ratios)
                said.append(f"{name} from {low:.2g} to {high:.2g} times the run")
        return f"{self.words}: {', '.join(said)}; {self.width_words}"


class NarrowingPicture(Picture):
    """Two bars for each question, from the lowest to the highest guess, on one scale of ratios."""

    lines_least = 12.0

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[Narrowed, ...] = ()

    def show_rows(self, rows: Sequence[Narrowed]) -> None:
        """Show the questions that were asked twice."""
        self._rows = tuple(rows)
        self.say("Spread of the guesses before and after", [row.line() for row in rows])
        self.update()

    def forget(self) -> None:
        """Hold no guesses."""
        self._rows = ()
        self.say("")
        self.update()

    def has_something(self) -> bool:
        return bool(self._rows)

    def paint(self, pen: Lettering) -> None:
        px = pen.px
        left, right = px * LABEL_LINES, pen.room.width() - px * WIDTH_LINES
        field = QRectF(left, px * 1.7, right - left, pen.room.height() - px * 3.5)
        self._paint_key(pen)
        for ratio, words in MARKS:
            x = _place(field, ratio)
            is_run = ratio == 1.0
            colour = pen.model if is_run else pen.line
            pen.rule(QPointF(x, field.top()), QPointF(x, field.bottom()), colour,
                     px * 0.18 if is_run else 1.0)  # fmt: skip
            wide = max(pen.width(words, bold=is_run), px)
            room = QRectF(x - wide / 2, field.bottom() + px * 0.2, wide, px * 1.4)
            pen.put(room, CENTRE, words, bold=is_run, colour=pen.model if is_run else pen.quiet)
        pitch = min(field.height() / len(self._rows), px * 3.4)
        for number, row in enumerate(self._rows):
            y = field.top() + number * pitch
            pen.put(QRectF(0, y, left - px * 0.5, pitch), LEFT, row.words)
            thick = min(pitch * 0.3, px * 0.8)
            middle = y + pitch / 2
            for ratios, up, colour in (
                (row.before, -thick - 1, pen.faint), (row.after, 1.0, pen.accent),
            ):  # fmt: skip
                if ratios:
                    begin, end = _place(field, min(ratios)), _place(field, max(ratios))
                    bar = QRectF(begin - px * 0.1, middle + up, end - begin + px * 0.2, thick)
                    pen.painter.fillRect(bar, colour)
            pen.put(QRectF(right + px * 0.5, y, px * (WIDTH_LINES - 0.5), pitch), RIGHT,
                    row.width_words)  # fmt: skip

    def _paint_key(self, pen: Lettering) -> None:
        px, x = pen.px, pen.px * LABEL_LINES
        for words, colour in (("before the class", pen.faint), ("after it", pen.accent)):
            pen.painter.fillRect(QRectF(x, px * 0.4, px, px * 0.7), colour)
            wide = pen.width(words)
            pen.put(QRectF(x + px * 1.3, 0, wide, px * 1.5), LEFT, words, colour=pen.quiet)
            x += px * 2.4 + wide


def _place(field: QRectF, ratio: float) -> float:
    kept = min(max(ratio, 1 / REACH), REACH)
    return field.left() + field.width() * (log(kept) / log(REACH) + 1) / 2


def ratios_to(guesses: Sequence[float], run: float) -> tuple[float, ...]:
    """Return guesses over the run; none where no ratio can be formed. [1]"""
    if run <= 0:
        return ()
    return tuple(guess / run for guess in guesses if isfinite(guess) and guess > 0)
