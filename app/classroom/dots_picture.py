"""Both rounds of guesses over one scale, with what was measured and what the run says."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import inf, isfinite
from statistics import median

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPolygonF

from app.charts.scale import Scale
from app.classroom.picture import CENTRE, LEFT, RIGHT, Lettering, Picture

# Guesses that lie further apart than this factor are shown on a scale of equal ratios.
WIDE = 20.0
NEVER_SHARE = 0.1
LEAST_RADIUS_SHARE = 0.12
MOST_RADIUS_SHARE = 0.42
# Heights in lines: scale and words above, the name of a row with its median, the table's triangle.
FRAME_LINES, ROW_LINES, MEASURED_LINES = 3.5, 2.6, 1.5


@dataclass(frozen=True)
class Ruler:
    """What runs across: a scale, its numbers, and stretches that lie in the dark.

    ``marks`` are given where they follow a clock; else the scale's own numbers stand.
    """

    scale: Scale
    marks: tuple[tuple[float, str], ...] = ()
    dark: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Dots:
    """What the picture shows; a guess of inf is "never".

    Attributes
    ----------
    say : a guess in words, with its unit.
    measured, run : where they stand, and their words; None where there is none.
    before : where the run stood before one thing was changed.
    """

    first: tuple[float, ...]
    second: tuple[float, ...]
    ruler: Ruler
    say: Callable[[float], str]
    measured: tuple[float, str] | None = None
    run: tuple[float, str] | None = None
    before: tuple[float, str] | None = None
    names: tuple[str, str] = ("first guess", "after talking")

    def named(self, first: str, second: str) -> Dots:
        """Return the same with other names of the rounds."""
        return replace(self, names=(first, second))

    @property
    def rounds(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Both rounds of guesses."""
        return self.first, self.second

    def words(self) -> list[str]:
        """Return the picture in words."""
        found = []
        for name, guesses in zip(self.names, self.rounds, strict=True):
            if guesses:
                low, high = self.say(min(guesses)), self.say(max(guesses))
                found.append(
                    f"{name}: {len(guesses)}, median {self.say(float(median(guesses)))},"
                    f" from {low} to {high}"
                )
        found += [each[1] for each in (self.before, self.measured, self.run) if each]
        return found


def ruler_over(values: Sequence[float], title: str = "") -> Ruler:
    """Return a scale that holds all values; of equal ratios where they lie far apart.

    Parameters
    ----------
    title : the unit that stands with each number.
    """
    known = [value for value in values if isfinite(value)] or [0.0, 1.0]
    low, high = min(known), max(known)
    if low > 0 and high / low > WIDE:
        return Ruler(Scale(title, low / 1.3, high * 1.3))
    room = (high - low) * 0.08 or abs(high) * 0.2 or 1.0
    begin = 0.0 if 0.0 <= low < (high - low) * 1.5 else low - room
    return Ruler(Scale(title, begin, high + room, in_ratios=False))


class DotsPicture(Picture):
    """A row of dots for each round, the table's triangle, and the line of the run."""

    def __init__(self) -> None:
        super().__init__()
        self._dots: Dots | None = None

    def show_dots(self, dots: Dots) -> None:
        """Show the guesses, and whatever of the rest is known."""
        self._dots = dots
        rounds = sum(bool(guesses) for guesses in dots.rounds)
        self.lines_least = FRAME_LINES + ROW_LINES * rounds + MEASURED_LINES * bool(dots.measured)
        self.say("Guesses" if dots.run is None else "Guesses, and the run", dots.words())
        self.update()

    def forget(self) -> None:
        """Hold neither guesses nor a run."""
        self._dots = None
        self.say("")
        self.update()

    def has_something(self) -> bool:
        return self._dots is not None

    def paint(self, pen: Lettering) -> None:
        dots, px = self._dots, pen.px
        assert dots is not None
        rows = [
            (name, guesses)
            for name, guesses in zip(dots.names, dots.rounds, strict=True)
            if guesses
        ]
        said = [(name, f"median {dots.say(float(median(guesses)))}") for name, guesses in rows]
        gutter = max((pen.width(words) for pair in said for words in pair), default=0.0) + px
        never = _has_never(dots)
        right = pen.room.width() - px * (1.2 if not never else 0.6)
        end = right - (pen.room.width() * NEVER_SHARE if never else 0.0)
        field = QRectF(gutter, px * 1.5, end - gutter, pen.room.height() - px * 3.4)

        def place(value: float) -> float:
            if not isfinite(value):
                return right - px
            return field.left() + field.width() * dots.ruler.scale.share(value)

        self._paint_axis(pen, dots.ruler, field, right)
        if never:
            room = QRectF(right - px * 3, field.bottom() + px * 0.4, px * 3.4, px * 1.4)
            pen.put(room, RIGHT, "never", colour=pen.quiet)
        if dots.before:
            self._paint_line(pen, field, place(dots.before[0]), "", is_now=False)
        if dots.run:
            self._paint_line(pen, field, place(dots.run[0]), dots.run[1], is_now=True)
        measured_px = px * MEASURED_LINES if dots.measured else 0.0
        row_px = (field.height() - measured_px) / max(len(rows), 1)
        for number, ((name, guesses), words) in enumerate(zip(rows, said, strict=True)):
            is_second = name == dots.names[1]
            room = QRectF(0, field.top() + number * row_px, gutter, row_px)
            ink = pen.text if is_second else pen.quiet
            pen.put(room, LEFT, "\n".join(words), colour=ink)
            places = [place(guess) for guess in sorted(guesses)]
            colour = pen.accent if is_second else pen.faint
            _paint_dots(pen, places, (room.bottom(), row_px), colour)
        if dots.measured:
            self._paint_measured(pen, field, place(dots.measured[0]), dots.measured[1])

    def _paint_axis(self, pen: Lettering, ruler: Ruler, field: QRectF, right: float) -> None:
        px, scale = pen.px, ruler.scale
        for begin, end in ruler.dark:
            x = field.left() + field.width() * scale.share(begin)
            wide = field.width() * (scale.share(end) - scale.share(begin))
            pen.painter.fillRect(QRectF(x, field.top(), wide, field.height()), pen.ink.twilight)
        pen.rule(QPointF(field.left(), field.bottom()), QPointF(right, field.bottom()), pen.text)
        ticks = scale.ticks(max(2, int(field.width() / (px * 4.5))))
        marks = ruler.marks or tuple((at, f"{text} {scale.title}".strip()) for at, text in ticks)
        last = -px
        for value, text in marks:
            x = field.left() + field.width() * scale.share(value)
            wide = pen.width(text)
            left = min(max(x - wide / 2, 0.0), pen.room.width() - wide)
            if left < last + px * 0.4:
                continue
            last = left + wide
            pen.rule(QPointF(x, field.bottom()), QPointF(x, field.bottom() + px * 0.3), pen.text)
            pen.put(QRectF(left, field.bottom() + px * 0.4, wide, px * 1.4), CENTRE, text,
                    colour=pen.quiet)  # fmt: skip

    def _paint_line(
        self, pen: Lettering, field: QRectF, x: float, words: str, *, is_now: bool
    ) -> None:
        px, colour = pen.px, pen.model if is_now else pen.quiet
        pen.rule(QPointF(x, field.top() - px * 0.4), QPointF(x, field.bottom()), colour,
                 px * (0.18 if is_now else 0.08))  # fmt: skip
        wide = pen.width(words, bold=True)
        left = min(max(x - wide / 2, 0.0), pen.room.width() - wide)
        pen.put(QRectF(left, 0, wide, px * 1.3), CENTRE, words, bold=True, colour=colour)

    def _paint_measured(self, pen: Lettering, field: QRectF, x: float, words: str) -> None:
        px, foot = pen.px, field.bottom()
        with pen.filled(pen.measured) as painter:
            painter.drawPolygon(
                QPolygonF([QPointF(x, foot - px), QPointF(x - px * 0.5, foot - px * 0.08),
                           QPointF(x + px * 0.5, foot - px * 0.08)])
            )  # fmt: skip
        wide, gap = pen.width(words, bold=True), px * 0.8
        left = x + gap if x + gap + wide < pen.room.width() else x - gap - wide
        # The line of the run goes on behind it.
        pen.painter.fillRect(QRectF(left, foot - px * 1.35, wide, px * 1.2), pen.ground)
        pen.put(QRectF(left, foot - px * 1.4, wide, px * 1.3), LEFT, words, bold=True,
                colour=pen.measured)  # fmt: skip


def _paint_dots(
    pen: Lettering, places: Sequence[float], row: tuple[float, float], colour: QColor
) -> None:
    """Paint a row of dots over its foot, stacked where they would cover each other."""
    bottom, high = row
    radius, stacked = _stacked(places, high - pen.px * 0.3, pen.px)
    base = bottom - pen.px * 0.15
    with pen.filled(colour) as painter:
        for x, level in stacked:
            y = base - radius - level * radius * 2.2
            painter.drawEllipse(QPointF(x, y), radius, radius)


def _has_never(dots: Dots) -> bool:
    held = [*dots.first, *dots.second]
    held += [each[0] for each in (dots.run, dots.measured, dots.before) if each]
    return inf in held


def _stacked(
    places: Sequence[float], deep_px: float, px: float
) -> tuple[float, list[tuple[float, int]]]:
    """Return a radius, and where each dot stands, so that the highest stack has room."""
    radius, found = MOST_RADIUS_SHARE * px, [(x, 0) for x in places]
    while True:
        found = []
        for x in places:
            level = sum(abs(x - other) < radius * 1.8 for other, _ in found)
            found.append((x, level))
        highest = max((level for _, level in found), default=0)
        if (2 + 2.2 * highest) * radius <= deep_px or radius <= LEAST_RADIUS_SHARE * px:
            return radius, found
        radius *= 0.85
