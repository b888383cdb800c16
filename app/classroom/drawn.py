"""Plain drawings for who has never seen the thing: a battery, a lead, a plan of the day."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPen, QPolygonF

from app.classroom.picture import CENTRE, Lettering, Picture

WORDS = {
    "battery": "A battery stores ampere-hours: so many amperes for so many hours",
    "lead": "A lead has two wires: the current goes out in one and back in the other",
    "plan": "A plan: what the station does, hour by hour",
}
# Hours of the day that several lessons share: from, to, what; listening all the rest.
DAY = ((7.0, 7.5, "net"), (12.0, 12 + 1 / 3, "data"), (18.0, 18 + 1 / 3, "data"),
       (20.0, 21.0, "net"))  # fmt: skip
# Words stand above their hours, those of one kind on a line of their own.
LINES_ABOVE = {"net": 1.4, "data": 2.7}


class DrawnPicture(Picture):
    """One of the drawings, as large as its place."""

    lines_least = 5.0

    def __init__(self) -> None:
        super().__init__()
        self._what = ""

    def show_drawing(self, what: str) -> None:
        """Show a drawing by its name; nothing where there is none."""
        self._what = what
        self.say(WORDS.get(what, ""))
        self.update()

    def forget(self) -> None:
        """Show nothing."""
        self.show_drawing("")

    def has_something(self) -> bool:
        return self._what in WORDS

    def paint(self, pen: Lettering) -> None:
        {"battery": _battery, "lead": _lead, "plan": _plan}[self._what](pen)


def _battery(pen: Lettering) -> None:
    px, room = pen.px, pen.room
    high = min(room.height() * 0.5, room.width() * 0.5, room.height() - px * 4.4)
    case = QRectF(0, 0, high * 1.5, high)
    case.moveCenter(QPointF(room.center().x(), room.top() + px * 2.0 + high / 2))
    pen.painter.setPen(QPen(pen.text, px * 0.15))
    level = QRectF(case.left(), case.top() + high * 0.3, case.width(), high * 0.7)
    pen.painter.fillRect(level, pen.ink.twilight)
    pen.painter.drawRect(case)
    for share, sign in ((0.22, "+"), (0.78, "−")):
        x = case.left() + case.width() * share
        pen.painter.fillRect(QRectF(x - px * 0.5, case.top() - px * 0.45, px, px * 0.45), pen.text)
        pen.put(QRectF(x - px, case.top() - px * 1.8, px * 2, px * 1.3), CENTRE, sign, bold=True)
    pen.put(case, CENTRE, "Ah", bold=True, size=1.3)
    below = QRectF(
        0, case.bottom() + px * 0.4, room.width(), room.bottom() - case.bottom() - px * 0.4
    )
    pen.put(below, CENTRE, "amperes × hours", colour=pen.quiet)


def _lead(pen: Lettering) -> None:
    px, room = pen.px, pen.room
    wide = min(room.width(), px * 18)
    left = room.center().x() - wide / 2
    top, bottom = room.center().y() - px * 1.2, room.center().y() + px * 1.2
    box = px * 4.6
    boxes = (("battery", left), ("radio", left + wide - box))
    for words, x in boxes:
        case = QRectF(x, top - px * 0.8, box, bottom - top + px * 1.6)
        pen.painter.setPen(QPen(pen.text, px * 0.12))
        pen.painter.drawRect(case)
        pen.put(case, CENTRE, words)
    for y, words, way in ((top, "out", 1), (bottom, "back", -1)):
        begin, end = QPointF(left + box, y), QPointF(left + wide - box, y)
        pen.rule(begin, end, pen.model, px * 0.2)
        tip, tail = (end, -1) if way > 0 else (begin, 1)
        with pen.filled(pen.model) as painter:
            painter.drawPolygon(
                QPolygonF([tip, QPointF(tip.x() + tail * px * 0.7, y - px * 0.4),
                           QPointF(tip.x() + tail * px * 0.7, y + px * 0.4)])
            )  # fmt: skip
        above = y - px * 1.5 if way > 0 else y + px * 0.2
        pen.put(QRectF(begin.x(), above, end.x() - begin.x(), px * 1.3), CENTRE, words,
                colour=pen.quiet)  # fmt: skip


def _plan(pen: Lettering) -> None:
    px, room = pen.px, pen.room
    wide = room.width() - px * 2
    high = min(px * 2.4, room.height() - px * 2.4)
    top = room.center().y() - high / 2 - px * 0.6
    pen.painter.fillRect(QRectF(px, top, wide, high), pen.ink.twilight)
    pen.put(QRectF(px, top, wide * DAY[0][0] / 24, high), CENTRE, "listen")
    for begin, end, words in DAY:
        block = QRectF(px + wide * begin / 24, top, wide * (end - begin) / 24, high)
        pen.painter.fillRect(block, pen.accent)
        y = top - px * LINES_ABOVE[words]
        pen.put(QRectF(block.center().x() - px * 1.5, y, px * 3, px * 1.3), CENTRE, words)
    pen.rule(QPointF(px, top + high), QPointF(px + wide, top + high), pen.text)
    for hour in (0, 6, 12, 18, 24):
        x = px + wide * hour / 24
        pen.rule(QPointF(x, top + high), QPointF(x, top + high + px * 0.3), pen.text)
        pen.put(QRectF(x - px, top + high + px * 0.3, px * 2, px * 1.3), CENTRE, f"{hour:02d}",
                colour=pen.quiet)  # fmt: skip
