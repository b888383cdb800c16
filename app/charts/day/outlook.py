"""The field check on the day: readings as crosses, and the charge they lead to, dashed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QGraphicsWidget

from app.charts.day.band import ALPHA_ON_DARK, ALPHA_ON_LIGHT
from app.charts.day.words import station_name
from app.charts.ink import Ink
from app.charts.layer import Layer
from app.charts.panes import Pane
from app.charts.span import Span
from app.charts.thinning import Floats
from app.widgets.tokens import station_style
from model.engine.comparison import Comparison
from model.field.field_spots import Spot, spots
from model.field.field_words import outlook_sentences
from model.field.log_check import FieldCheck
from model.support.figures import percent

OUTLOOK_PX = 1.5
ARM_PX = 5.0
CAP_PX = 3.0


@dataclass(frozen=True, eq=False)
class Outlook:
    """The field check of one station, counted from 0, of the comparison shown."""

    index: int
    check: FieldCheck

    @property
    def begin_min(self) -> float | None:
        """The elapsed minute the foretold course begins at; None where no reading counts."""
        found = self.check.found
        return None if found is None else found.outlook.from_step * found.outlook.step_h * 60.0

    def at_minutes(self, values: Floats) -> tuple[Floats, Floats]:
        """Return minutes and per cent of a foretold charge, from its beginning on."""
        found = self.check.found
        assert found is not None, "without readings there is nothing to draw"
        begin, step_min = found.outlook.from_step, found.outlook.step_h * 60.0
        steps = np.arange(begin, len(values), dtype=np.float64)
        return steps * step_min, values[begin:] * 100.0


class ReadingMarks(Layer):
    """Crosses where something was read, each with the meter's own doubt as an upright line."""

    def __init__(self, span: Span, view: QGraphicsWidget) -> None:
        super().__init__(span, view, 70)
        self._places: tuple[tuple[float, Spot], ...] = ()
        self._scale = (0.0, 1.0)
        self._colour, self._ground = QColor(), QColor()

    @property
    def places(self) -> tuple[tuple[float, Spot], ...]:
        """The elapsed minute of each reading shown, with the reading."""
        return self._places

    def show_places(self, places: tuple[tuple[float, Spot], ...], low: float, high: float) -> None:
        """Show readings over a scale that runs from low to high, in the unit of the readings."""
        was_empty = not self._places
        self._places, self._scale = places, (low, high)
        if places or not was_empty:
            self.update()

    def dress(self, colour: QColor, ground: QColor) -> None:
        """Take over other colours."""
        self._colour, self._ground = colour, ground
        self.update()

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return not self._places

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw them."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for minute, spot in self._places:
            x = self._px(minute)
            values = (spot.amount, spot.low, spot.high)
            middle, low, high = (self._y(value, box) for value in values)
            for pen in (QPen(self._ground, 4.5), QPen(self._colour, 2)):
                painter.setPen(pen)
                painter.drawLines(_strokes(x, middle, low, high, is_cross=spot.is_believed))
                if not spot.is_believed:
                    painter.drawEllipse(QPointF(x, middle), ARM_PX, ARM_PX)

    def _y(self, value: float, box: QRectF) -> float:
        low, high = self._scale
        return box.bottom() - (value - low) / (high - low) * box.height()


def _strokes(x: float, middle: float, low: float, high: float, *, is_cross: bool) -> list[QLineF]:
    arm, cap = ARM_PX, CAP_PX
    strokes = [
        QLineF(x, low, x, high),
        QLineF(x - cap, low, x + cap, low),
        QLineF(x - cap, high, x + cap, high),
    ]
    if is_cross:
        strokes += [
            QLineF(x - arm, middle - arm, x + arm, middle + arm),
            QLineF(x - arm, middle + arm, x + arm, middle - arm),
        ]
    return strokes


class OutlookBand(Layer):
    """The stretch between which the charge lies in 8 of 10 trips that explain the readings."""

    def __init__(self, span: Span, view: QGraphicsWidget, low: float, high: float) -> None:
        super().__init__(span, view, -30)
        self._low, self._high = low, high
        self._edges: tuple[Floats, Floats, Floats] | None = None
        self._tint = QColor()

    @property
    def edges(self) -> tuple[Floats, Floats, Floats] | None:
        """Elapsed minutes, and the lower and upper charge in per cent; None where none is shown."""
        return self._edges

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to draw."""
        return self._edges is None

    def show_edges(self, edges: tuple[Floats, Floats, Floats] | None) -> None:
        """Show another band, or none."""
        self._edges = edges
        self.update()

    def dress(self, colour: QColor, *, is_dark: bool) -> None:
        """Take over another colour."""
        self._tint = QColor(colour)
        self._tint.setAlpha(ALPHA_ON_DARK if is_dark else ALPHA_ON_LIGHT)
        self.update()

    def draw(self, painter: QPainter, box: QRectF) -> None:
        """Draw it."""
        assert self._edges is not None, "an empty layer is not drawn"
        minutes, low, high = self._edges
        per_px = (self._high - self._low) / max(box.height(), 1.0)
        lower, upper = (
            [
                QPointF(self._px(at), box.bottom() - (value - self._low) / per_px)
                for at, value in zip(minutes.tolist(), edge.tolist(), strict=True)
            ]
            for edge in (low, high)
        )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._tint)
        painter.drawPolygon(QPolygonF([*lower, *reversed(upper)]))


class OutlookLayer:
    """What the field check adds to the panes of charge and sun, and takes away again."""

    def __init__(
        self, span: Span, charge: Pane, sun: Pane, charge_scale: tuple[float, float]
    ) -> None:
        self._outlook: Outlook | None = None
        self._ink: Ink | None = None
        low, high = charge_scale
        # Readings of charge are fractions.
        self._charge_scale = low / 100.0, high / 100.0
        self.line = charge.add_line(level=40)
        self.band = OutlookBand(span, charge.view, low, high)
        self.charge_marks = ReadingMarks(span, charge.view)
        self.sun_marks = ReadingMarks(span, sun.view)

    @property
    def outlook(self) -> Outlook | None:
        """What is shown."""
        return self._outlook

    @property
    def highest_w(self) -> float:
        """The highest power among the readings; 0 where there is none."""
        return max((spot.amount for _, spot in self._placed("panel")), default=0.0)

    def show_outlook(self, outlook: Outlook | None) -> None:
        """Hold the field check of a station, or none; the marks of the sun wait for its scale."""
        self._outlook = outlook
        found = outlook.check.found if outlook is not None else None
        if outlook is None or found is None:
            self.line.clear()
            self.band.show_edges(None)
        else:
            of = found.outlook
            self.line.set(*outlook.at_minutes(of.fraction))
            minutes, low = outlook.at_minutes(of.low_fraction)
            self.band.show_edges((minutes, low, outlook.at_minutes(of.high_fraction)[1]))
        self.line.thin()
        self.charge_marks.show_places(self._placed("charge"), *self._charge_scale)
        self._dress_in_station()

    def scale_sun(self, highest_w: float) -> None:
        """Show the readings of the panel over a scale from nothing to so many watts."""
        self.sun_marks.show_places(self._placed("panel"), 0.0, highest_w)

    def dress(self, ink: Ink) -> None:
        """Take over other colours."""
        self._ink = ink
        self._dress_in_station()

    def follow(self) -> None:
        """Draw anew after a change of the stretch shown or of the size."""
        self.band.follow()
        self.charge_marks.follow()
        self.sun_marks.follow()

    def _placed(self, on: str) -> tuple[tuple[float, Spot], ...]:
        if self._outlook is None:
            return ()
        check = self._outlook.check
        clock = check.predicted.clock
        return tuple((clock.minutes_to(spot.at), spot) for spot in spots(check) if spot.on == on)

    def _dress_in_station(self) -> None:
        if self._outlook is None or self._ink is None:
            return
        index = self._outlook.index
        colour = self._ink.station(index)
        # Dashed, unless the station's own curve is.
        is_dashed = station_style(index).line == Qt.PenStyle.DashLine
        style = Qt.PenStyle.DashDotDotLine if is_dashed else Qt.PenStyle.DashLine
        self.line.dress(colour, style, OUTLOOK_PX)
        self.band.dress(colour, is_dark=self._ink.is_dark)
        for marks in (self.charge_marks, self.sun_marks):
            marks.dress(colour, self._ink.ground)


def outlook_at(outlook: Outlook, minute: float) -> str:
    """Return the charge the readings lead to at a minute; empty before the last of them."""
    found, begin = outlook.check.found, outlook.begin_min
    if found is None or begin is None or minute < begin:
        return ""
    of = found.outlook
    step = min(round(minute / (of.step_h * 60.0)), len(of.fraction) - 1)
    return f"by its readings {percent(float(of.fraction[step]))}"


def outlook_words(comparison: Comparison, outlook: Outlook, minute: float) -> str:
    """Return what the field check shows, as read aloud."""
    check, name = outlook.check, station_name(comparison, outlook.index)
    log = check.predicted.station.readings
    if not check.checks and check.found is None:
        return ""
    total = max(len({each.at for each in check.checks}), len(log), 1)
    readings = "1 reading" if total == 1 else f"{total} readings"
    now = outlook_at(outlook, minute)
    sentences = [
        f"Field check of {name}: {readings}.",
        f"At this minute {now}." if now else "",
        *outlook_sentences(check),
    ]
    return " ".join(filter(None, sentences))
