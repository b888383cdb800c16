"""Results of a run for a whole room: charge, sun, uses, a table, and what a change moves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen, QPolygonF

from app.charts.scale import Scale, room_up
from app.classroom.hours import paint_hours
from app.classroom.picture import LEFT, RIGHT, Lettering, Picture
from app.widgets.number_text import fixed, shown_unit
from app.widgets.tokens import station_style
from model.engine.comparison import Comparison
from model.engine.run import StationRun
from model.lessons.parts import Shown
from model.lessons.shown_results import TableRow, runs_shown, table_shown, uses_shown
from model.lessons.text import number_words
from model.sky.timeline import Floats
from model.support.figures import with_unit
from model.verdict.sentences import name_of

TITLES = {
    "charge": "State of charge",
    "sun": "Power from the panel",
    "uses": "What took the Ah",
    "table": "Side by side",
}
POINTS = 600
# From the back of a room fewer numbers are read: a line of text counts so many times.
LINES_APART = 2.0
# Of a row, in heights of type.
LEAST_PITCH = 1.35
Curves = list[tuple[int, Floats]]


class ResultsPicture(Picture):
    """Paints one result of a comparison, of the stations and figures it may show."""

    lines_least = 8.0

    def __init__(self) -> None:
        super().__init__()
        self._comparison: Comparison | None = None
        self._before: Comparison | None = None
        self._shown = Shown(result="charge")
        self._us = False

    def show_result(
        self,
        comparison: Comparison,
        shown: Shown,
        before: Comparison | None = None,
        *,
        us: bool = False,
    ) -> None:
        """Show a result, over what it was before one thing was changed."""
        self._us = us
        self._comparison, self._shown, self._before = comparison, shown, before
        self.say(TITLES[shown.result], list(self._in_words(comparison)))
        self.update()

    def forget(self) -> None:
        """Hold nothing of a run."""
        self._comparison = self._before = None
        self.say("")
        self.update()

    def has_something(self) -> bool:
        return self._comparison is not None

    def paint(self, pen: Lettering) -> None:
        comparison = self._comparison
        assert comparison is not None
        if self._shown.result == "uses":
            self._paint_uses(pen, comparison)
        elif self._shown.result == "table":
            self._paint_table(pen, comparison)
        else:
            self._paint_curves(pen, comparison)

    # Curves.

    def _paint_curves(self, pen: Lettering, comparison: Comparison) -> None:
        px, now = pen.px, self._curves(comparison)
        was = self._curves(self._before) if self._before else []
        legend = px * 1.5 * (len(now) + bool(was)) if len(now) > 1 or was else 0.0
        unit = "%" if self._shown.result == "charge" else "W"
        top = 1.0
        if unit == "W":
            top = max([float(values.max()) for _, values in [*now, *was]] + [1.0]) * 1.05
        scale = Scale("", 0.0, top, in_ratios=False, factor=100.0 if unit == "%" else 1.0)
        field = QRectF(px * 4.2, px + legend, pen.room.width() - px * 6, 0)
        field.setBottom(pen.room.height() - px * 2.2)
        days = max(each.clock.days for each in (comparison, self._before or comparison))
        self._paint_axes(pen, comparison, field, (scale, unit))
        for index, values in was:
            share = self._before.clock.days / days if self._before else 1.0
            pen.painter.setPen(QPen(pen.quiet, px * 0.12, station_style(index).line))
            pen.painter.drawPolyline(_polygon(values, field, scale, share))
        for index, values in now:
            style = station_style(index)
            pen.painter.setPen(QPen(pen.ink.station(index), px * 0.2, style.line))
            share = comparison.clock.days / days
            pen.painter.drawPolyline(_polygon(values, field, scale, share))
        if legend:
            names = [
                (f"{station_style(i).letter}  {name_of(comparison, i)}", i) for i, _ in now
            ] + ([("before the change", -1)] if was else [])
            self._paint_legend(pen, field.left(), names)

    def _paint_legend(self, pen: Lettering, left: float, names: list[tuple[str, int]]) -> None:
        px = pen.px
        for row, (words, index) in enumerate(names):
            y = px * (0.8 + 1.5 * row)
            is_now = index >= 0
            colour = pen.ink.station(index) if is_now else pen.quiet
            style = station_style(index).line if is_now else Qt.PenStyle.SolidLine
            pen.painter.setPen(QPen(colour, px * (0.2 if is_now else 0.12), style))
            pen.painter.drawLine(QPointF(left, y), QPointF(left + px * 3, y))
            room = QRectF(
                left + px * 3.5, y - px * 0.75, pen.room.width() - left - px * 4, px * 1.5
            )
            pen.put(room, LEFT, _on_one_line(pen, words, room.width()))

    def _paint_axes(
        self, pen: Lettering, comparison: Comparison, field: QRectF, up: tuple[Scale, str]
    ) -> None:
        px, (scale, unit) = pen.px, up
        for value, text in scale.ticks(room_up(field.height(), LINES_APART * px)):
            y = field.bottom() - field.height() * scale.share(value)
            pen.rule(QPointF(field.left(), y), QPointF(field.right(), y), pen.line, 1)
            room = QRectF(0, y - px * 0.75, field.left() - px * 0.4, px * 1.5)
            pen.put(room, RIGHT, with_unit(text, unit), colour=pen.quiet)
        clock = comparison.clock
        if self._before and self._before.clock.days > clock.days:
            clock = self._before.clock
        paint_hours(pen, clock, field)

    def _curves(self, comparison: Comparison) -> Curves:
        return [(index, _curve(run, self._shown.result)) for index, run in self._runs(comparison)]

    def _runs(self, comparison: Comparison) -> tuple[tuple[int, StationRun], ...]:
        return runs_shown(comparison, self._shown)

    # Uses.

    def _paint_uses(self, pen: Lettering, comparison: Comparison) -> None:
        px, runs = pen.px, self._runs(comparison)
        was = dict(self._runs(self._before)) if self._before else {}
        lists = [(index, self._uses(run, was.get(index))) for index, run in runs]
        room_for = int(pen.room.height() / (px * LEAST_PITCH)) - len(lists) * (len(lists) > 1)
        most_rows = max(room_for // max(len(lists), 1), 1)
        lists = [(index, _foremost(uses, most_rows)) for index, uses in lists]
        most = max((max(now, old) for _, uses in lists for _, now, old in uses), default=1.0) or 1.0
        rows = sum(len(uses) for _, uses in lists) + len(lists) * (len(lists) > 1)
        pitch = min(pen.room.height() / max(rows, 1), px * 2.6)
        y = 0.0
        for index, uses in lists:
            if len(lists) > 1:
                name = f"{station_style(index).letter}  {name_of(comparison, index)}"
                pen.put(QRectF(0, y, pen.room.width(), pitch), LEFT, name, bold=True)
                y += pitch
            for use in uses:
                colour = pen.ink.station(index)
                self._paint_use(pen, QRectF(0, y, pen.room.width(), pitch), use, (most, colour))
                y += pitch

    def _paint_use(
        self,
        pen: Lettering,
        row: QRectF,
        use: tuple[str, float, float],
        scale: tuple[float, QColor],
    ) -> None:
        px, (words, now_ah, old_ah), (most, colour) = pen.px, use, scale
        label, longest = row.width() * 0.3, row.width() * 0.4
        y, pitch = row.top(), row.height()
        pen.put(QRectF(0, y, label - px * 0.5, pitch), RIGHT, words)
        long = longest * now_ah / most
        pen.painter.fillRect(QRectF(label, y + pitch * 0.16, max(long, 2), pitch * 0.68), colour)
        said = number_words(now_ah, "Ah")
        old = number_words(old_ah, "Ah")
        if self._before and old != said:
            mark = label + longest * old_ah / most
            pen.rule(QPointF(mark, y + 2), QPointF(mark, y + pitch - 2), pen.text, 4)
            said += f" (was {old})"
            long = max(long, longest * old_ah / most)
        beside = label + long + px * 0.5
        pen.put(QRectF(beside, y, row.width() - beside, pitch), LEFT, said)

    def _uses(self, run: StationRun, was: StationRun | None) -> list[tuple[str, float, float]]:
        now, old = (
            {bar.words: bar.drawn_ah for bar in uses_shown(each, self._shown)} if each else {}
            for each in (run, was)
        )
        names = [*now, *(words for words in old if words not in now)]
        return [(words, now.get(words, 0.0), old.get(words, 0.0)) for words in names]

    # The table.

    def _paint_table(self, pen: Lettering, comparison: Comparison) -> None:
        heads, rows = self._table(comparison)
        px = pen.px
        rows = rows[: max(int(pen.room.height() / (px * LEAST_PITCH)) - 2, 1)]
        label = pen.room.width() * (0.4 if len(heads) < 4 else 0.3)
        wide = (pen.room.width() - label) / max(len(heads), 1)
        deepest = max(
            (pen.height(head, wide - px * 0.6, bold=True) for head in heads), default=px * 1.5
        )
        pitch = min((pen.room.height() - deepest) / max(len(rows), 1), px * 3.0)
        for place, head in enumerate(heads):
            room = QRectF(label + wide * place, 0, wide - px * 0.4, deepest)
            pen.put(room, RIGHT, head, bold=True)
        for number, (words, texts) in enumerate(rows):
            y = deepest + number * pitch
            pen.rule(QPointF(0, y), QPointF(pen.room.width(), y), pen.line, 1)
            pen.put(QRectF(0, y, label - px * 0.4, pitch), LEFT, words)
            for place, text in enumerate(texts):
                room = QRectF(label + wide * place, y, wide - px * 0.4, pitch)
                pen.put(room, RIGHT, text)

    def _table(self, comparison: Comparison) -> tuple[list[str], list[tuple[str, list[str]]]]:
        found = table_shown(comparison, self._shown)
        letters = [station_style(index).letter for index, _ in self._runs(comparison)]
        heads = [f"{mark}  {name}" for mark, name in zip(letters, found.names, strict=True)]
        rows = [self._in_units(row) for row in found.rows]
        if self._before is None:
            return heads, rows
        old = dict(map(self._in_units, table_shown(self._before, self._shown).rows))
        changed = []
        for label, texts in rows:
            was = old.get(label, ["–"] * len(texts))
            said = (text if text == before else f"{text} (was {before})"
                    for text, before in zip(texts, was, strict=False))  # fmt: skip
            changed.append((label, list(said)))
        return heads, changed

    def _in_units(self, row: TableRow) -> tuple[str, list[str]]:
        shown = shown_unit(row.unit, row.decimals, us=self._us)
        if shown.unit == row.unit:
            return row.label, list(row.texts)
        texts = [
            text if value is None else fixed(shown.of(value), shown.decimals)
            for text, value in zip(row.texts, row.values, strict=True)
        ]
        return replace(row, unit=shown.unit).label, texts

    def _in_words(self, comparison: Comparison) -> Iterator[str]:
        """Yield the picture in words, for who cannot see it."""
        if self._shown.result == "table":
            heads, rows = self._table(comparison)
            yield ", ".join(heads)
            for words, texts in rows:
                yield ", ".join((words, *texts))
            return
        for index, run in self._runs(comparison):
            name = name_of(comparison, index)
            if self._shown.result == "uses":
                uses = (
                    f"{words} {number_words(ah, 'Ah')}" for words, ah, _ in self._uses(run, None)
                )
                yield f"{name}: {', '.join(uses)}"
            else:
                values = _curve(run, self._shown.result)
                unit = "%" if self._shown.result == "charge" else "W"
                low, high = (
                    number_words(float(each), unit, 0) for each in (values.min(), values.max())
                )
                yield f"{name}: from {low} to {high}"


def _foremost(uses: list[tuple[str, float, float]], most: int) -> list[tuple[str, float, float]]:
    """Return the largest uses, and the others taken together, in so many rows."""
    if len(uses) <= most:
        return uses
    kept, rest = uses[: most - 1], uses[most - 1 :]
    return [*kept, ("all others", sum(each[1] for each in rest), sum(each[2] for each in rest))]


def _curve(run: StationRun, result: str) -> Floats:
    values = run.fraction[:-1] if result == "charge" else run.flow.panel_able_a * run.flow.bus_v
    return values[:: max(values.size // POINTS, 1)]


def _polygon(values: Floats, field: QRectF, scale: Scale, share: float) -> QPolygonF:
    across = field.width() * share / max(values.size - 1, 1)
    return QPolygonF(
        [
            QPointF(
                field.left() + across * index,
                field.bottom() - field.height() * scale.share(float(value)),
            )
            for index, value in enumerate(np.asarray(values).tolist())
        ]
    )


def _on_one_line(pen: Lettering, words: str, width_px: float) -> str:
    """Return words that fit a line, with their end left out where they do not."""
    if pen.width(words) <= width_px:
        return words
    kept = words
    while kept and pen.width(f"{kept}…") > width_px:
        kept = kept[:-1]
    return f"{kept}…"
