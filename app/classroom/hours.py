"""The hours along the foot of a picture, as many as have room."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF

from app.charts.time_marks import marks_across
from app.classroom.picture import CENTRE, Lettering
from model.scenario.declare import MINUTES_A_DAY
from model.sky.timeline import Timeline

APART_LINES = 4.0
GAP_LINES = 0.4


def paint_hours(pen: Lettering, clock: Timeline, field: QRectF) -> None:
    """Paint the foot of a field over a whole run, with the hours and days that have room."""
    px, last = pen.px, 0.0
    pen.rule(field.bottomLeft(), field.bottomRight(), pen.text)
    for mark in marks_across(clock, field.width(), px * APART_LINES):
        x = field.left() + field.width() * mark.minute / (clock.days * MINUTES_A_DAY)
        pen.rule(QPointF(x, field.bottom()), QPointF(x, field.bottom() + px * 0.3), pen.text)
        wide = pen.width(mark.text)
        left = min(x - wide / 2, pen.room.right() - wide)
        if left < last:
            continue
        last = left + wide + px * GAP_LINES
        room = QRectF(left, field.bottom() + px * 0.65, wide, px * 1.4)
        pen.put(room, CENTRE, mark.text, colour=pen.quiet)
