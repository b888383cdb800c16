"""The strip itself: blocks on a day of 24 hours, chosen, dragged and painted by hand or by key."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.charts.ink import Ink
from app.charts.markers import draw_marker
from app.charts.time_marks import spacing_min
from app.plan_strip.clock_map import day_sky, local_text, utc_text
from app.plan_strip.paint import draw_block
from app.plan_strip.words import spoken
from app.plots.words import failures
from app.widgets.tokens import station_style
from model.editing.edit_plan import Plan, block_at, moved, painted, resized, snapped
from model.engine.comparison import Comparison
from model.scenario.declare import MINUTES_A_DAY
from model.scenario.scenario import Block, Scenario

GRID_MIN, FINE_GRID_MIN = 5, 1
EDGE_PX = 5.0
Grip = Literal["move", "start", "end", "paint"]
KEYS = (
    "Tab and arrows choose a block, Ctrl and arrows move it, Shift with left and right its end,"
    " Shift with up and down its start. Delete removes it, S splits it, Ctrl+D copies it, Enter"
    " edits it, N adds one. With Alt by one minute instead of five."
)


@dataclass(frozen=True)
class _Drag:
    """What is dragged: always from the plan as it was when the button went down."""

    grip: Grip
    index: int
    from_min: float
    plan: Plan
    number: int


class StripCanvas(QWidget):
    """Draws the plan and says what a hand wants changed; it never changes the plan itself."""

    chosen_changed = Signal(int)
    plan_changed = Signal(object, str, str)
    pointed = Signal(int)
    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scenario: Scenario | None = None
        self._chosen: int | None = None
        self._drag: _Drag | None = None
        self._drags = 0
        self._ends: tuple[tuple[int, float], ...] = ()
        # All but the marks of the ends, which alone move while a part is changed.
        self._ground: QPixmap | None = None
        self._template = Block(start="00:00", end="24:00", activity="watch")
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("24-hour plan")
        self._tell()

    @property
    def chosen(self) -> int | None:
        """The index of the chosen block."""
        return self._chosen

    @property
    def plan(self) -> Plan:
        """The plan shown."""
        return self._scenario.plan if self._scenario is not None else ()

    def show_scenario(self, scenario: Scenario, comparison: Comparison | None = None) -> None:
        """Show the plan of a scenario, its first day behind it, and when stations first fail."""
        before, self._scenario = self._scenario, scenario
        ends = _first_ends(comparison) if comparison is not None else ()
        if ends != self._ends:
            self._ends = ends
            self.update()
        if before is not None and _setting(before) == _setting(scenario):
            return
        if self._chosen is not None and self._chosen >= len(scenario.plan):
            self.choose(len(scenario.plan) - 1 if scenario.plan else None)
        self._tell()
        self._draw_anew()

    def set_template(self, block: Block) -> None:
        """Set what a new block is made after."""
        self._template = block

    def choose(self, index: int | None) -> None:
        """Choose a block, or none."""
        if index != self._chosen:
            self._chosen = index
            self.chosen_changed.emit(-1 if index is None else index)
            self._tell()
            self._draw_anew()

    def x_of(self, minute: float) -> float:
        """Return where a minute of the day stands. [px]"""
        box = self._box()
        return box.left() + minute / MINUTES_A_DAY * box.width()

    def pieces(self, index: int) -> list[QRectF]:
        """Return where a block is drawn: two pieces when it crosses midnight."""
        box = self._box()
        start, end = self.plan[index].minutes
        spans = [(start, min(end, MINUTES_A_DAY))]
        if end > MINUTES_A_DAY:
            spans.append((0, end - MINUTES_A_DAY))
        return [
            QRectF(self.x_of(low), box.top(), self.x_of(high) - self.x_of(low), box.height())
            for low, high in spans
        ]

    def sizeHint(self) -> QSize:
        """Return the size in which two lines of words fit into a block."""
        metrics = QFontMetricsF(self.font())
        return QSize(round(metrics.averageCharWidth() * 120), round(metrics.height() * 4 + 26))

    def minimumSizeHint(self) -> QSize:
        """Return the least size of use."""
        hint = self.sizeHint()
        return QSize(hint.width() // 3, hint.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the day and its blocks, then where stations end."""
        ink = Ink.of(self.palette())
        if self._ground is None:
            self._ground = self._drawn_ground(ink)
        with QPainter(self) as painter:
            painter.drawPixmap(0, 0, self._ground)
            self._draw_ends(painter, ink)
            if self.hasFocus():
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(ink.accent, 1, Qt.PenStyle.DotLine))
                painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw all anew."""
        super().resizeEvent(event)
        self._draw_anew()

    def changeEvent(self, event: QEvent) -> None:
        """Draw all anew in other colours or with another size of text."""
        super().changeEvent(event)
        self._draw_anew()

    def event(self, event: QEvent) -> bool:
        """Let Tab go from block to block before it leaves the strip."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            step = {Qt.Key.Key_Tab: 1, Qt.Key.Key_Backtab: -1}.get(Qt.Key(event.key()))
            if step is not None and self._choose_next(step):
                event.accept()
                return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose a block and take hold of it, or begin a new one."""
        if event.button() != Qt.MouseButton.LeftButton or self._scenario is None:
            return
        minute = self._minute_at(event.position())
        grip, index = self._grip_at(event.position())
        self._drags += 1
        if grip == "paint":
            self.choose(None)
            index = len(self.plan)
            minute = float(snapped(minute, _grid(event)))
        else:
            self.choose(index)
        self._drag = _Drag(grip, index, minute, self.plan, self._drags)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held; without, show what could be taken hold of."""
        minute = self._minute_at(event.position())
        self.pointed.emit(round(minute))
        if self._drag is None:
            self.setCursor(_CURSORS[self._grip_at(event.position())[0]])
            return
        plan = self._dragged(self._drag, minute, _grid(event))
        if plan != self.plan:
            text = "new block" if self._drag.grip == "paint" else "change of the plan"
            self.plan_changed.emit(plan, f"plan.drag.{self._drag.number}", text)
            if self._drag.grip == "paint" and len(plan) > len(self._drag.plan):
                self.choose(self._drag.index)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self._drag = None

    def leaveEvent(self, event: QEvent) -> None:
        """Point at no time any more."""
        self.pointed.emit(-1)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Edit the block in words."""
        if self._chosen is not None:
            self.asked.emit("edit")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose, move and resize by key; the rest is asked of the strip around."""
        key, held = Qt.Key(event.key()), event.modifiers()
        step = FINE_GRID_MIN if held & Qt.KeyboardModifier.AltModifier else GRID_MIN
        sign = {
            Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1,
        }.get(key)  # fmt: skip
        if sign is not None:
            if held & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier):
                self._nudge(key, sign * step, shift=bool(held & Qt.KeyboardModifier.ShiftModifier))
            else:
                self._choose_next(sign)
            return
        wish = {
            Qt.Key.Key_Delete: "delete", Qt.Key.Key_Backspace: "delete", Qt.Key.Key_S: "split",
            Qt.Key.Key_Return: "edit", Qt.Key.Key_Enter: "edit", Qt.Key.Key_F2: "edit",
            Qt.Key.Key_N: "add", Qt.Key.Key_Insert: "add",
        }.get(key)  # fmt: skip
        if key == Qt.Key.Key_D and held & Qt.KeyboardModifier.ControlModifier:
            wish = "copy"
        if wish is None or (wish != "copy" and held & Qt.KeyboardModifier.ControlModifier):
            super().keyPressEvent(event)
        else:
            self.asked.emit(wish)

    def _nudge(self, key: Qt.Key, by_min: int, *, shift: bool) -> None:
        if self._chosen is None:
            return
        if not shift:
            plan, what = moved(self.plan, self._chosen, by_min), "move"
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            plan, what = resized(self.plan, self._chosen, start_by_min=by_min), "start"
        else:
            plan, what = resized(self.plan, self._chosen, end_by_min=by_min), "end"
        if plan != self.plan:
            self.plan_changed.emit(plan, f"plan.{self._chosen}.{what}", "change of the plan")

    def _dragged(self, drag: _Drag, minute: float, grid: int) -> Plan:
        if drag.grip == "paint":
            return painted(drag.plan, round(drag.from_min), snapped(minute, grid), self._template)
        start, end = drag.plan[drag.index].minutes
        by = minute - drag.from_min
        if drag.grip == "end":
            return resized(drag.plan, drag.index, end_by_min=snapped(end + by, grid) - end)
        by_start = snapped(start + by, grid) - start
        if drag.grip == "start":
            return resized(drag.plan, drag.index, start_by_min=by_start)
        return moved(drag.plan, drag.index, by_start)

    def _grip_at(self, place: QPointF) -> tuple[Grip, int]:
        """Return what a press here takes hold of; at a common edge, the block it is on."""
        for index in self._by_nearness(place):
            pieces = self.pieces(index)
            if not pieces[0].left() - EDGE_PX <= place.x() and len(pieces) == 1:
                continue
            if abs(place.x() - pieces[-1].right()) <= self._reach(pieces[-1]):
                return "end", index
            if abs(place.x() - pieces[0].left()) <= self._reach(pieces[0]):
                return "start", index
            if any(piece.left() <= place.x() < piece.right() for piece in pieces):
                return "move", index
        return "paint", -1

    def _by_nearness(self, place: QPointF) -> list[int]:
        """Return the blocks, the one under the pointer first."""
        under = block_at(self.plan, self._minute_at(place))
        indexes = list(range(len(self.plan)))
        return indexes if under is None else [under, *(i for i in indexes if i != under)]

    def _reach(self, piece: QRectF) -> float:
        """Return how far from an edge it is taken hold of; a narrow block keeps its middle."""
        return min(EDGE_PX, piece.width() / 3)

    def _choose_next(self, step: int) -> bool:
        """Choose the next block in the order of time; return whether there is one."""
        order = sorted(range(len(self.plan)), key=lambda index: self.plan[index].minutes)
        if not order:
            return False
        if self._chosen is None:
            self.choose(order[0] if step > 0 else order[-1])
            return True
        at = order.index(self._chosen) + step
        if not 0 <= at < len(order):
            return False
        self.choose(order[at])
        return True

    def _minute_at(self, place: QPointF) -> float:
        box = self._box()
        minute = (place.x() - box.left()) / box.width() * MINUTES_A_DAY
        return min(max(minute, 0.0), float(MINUTES_A_DAY)) if self._drag is None else minute

    def _box(self) -> QRectF:
        metrics = QFontMetricsF(self.font())
        side = metrics.horizontalAdvance("UTC") + metrics.horizontalAdvance("00:00") / 2 + 8
        below = metrics.height() * 2 + 8
        return QRectF(self.rect()).adjusted(side, 3, -metrics.horizontalAdvance("24:00"), -below)

    def _draw_anew(self) -> None:
        self._ground = None
        self.update()

    def _drawn_ground(self, ink: Ink) -> QPixmap:
        """Return the day, then the blocks, then the hours."""
        ground = QPixmap(self.size() * self.devicePixelRatioF())
        ground.setDevicePixelRatio(self.devicePixelRatioF())
        ground.fill(ink.ground)
        with QPainter(ground) as painter:
            painter.setFont(self.font())
            self._draw_sky(painter, ink)
            for index, block in enumerate(self.plan):
                for piece in self.pieces(index):
                    draw_block(painter, piece, block, ink, is_chosen=index == self._chosen)
            self._draw_hours(painter, ink)
        return ground

    def _draw_sky(self, painter: QPainter, ink: Ink) -> None:
        if self._scenario is None:
            return
        box = self._box()
        sky = day_sky(self._scenario.site, self._scenario.day)
        for spans, colour in ((sky.twilights, ink.twilight), (sky.nights, ink.night)):
            for low, high in spans:
                left = self.x_of(low)
                width = self.x_of(high) - left
                painter.fillRect(QRectF(left, 0, width, self.height()), colour)
        painter.setPen(QPen(ink.grid, 1))
        painter.drawRect(box)

    def _draw_hours(self, painter: QPainter, ink: Ink) -> None:
        if self._scenario is None:
            return
        box, metrics = self._box(), QFontMetricsF(self.font())
        room = metrics.horizontalAdvance("00:00") + 10
        spacing = spacing_min(MINUTES_A_DAY, box.width(), room) or MINUTES_A_DAY
        every = max(spacing // 60, 1)
        top, below = box.bottom() + 5, box.bottom() + 5 + metrics.height()
        flag = Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextDontClip
        for hour in range(25):
            x = self.x_of(hour * 60)
            painter.setPen(QPen(ink.faint_text, 1))
            painter.drawLine(QLineF(x, box.bottom(), x, box.bottom() + (5 if hour % every else 8)))
            if hour % every == 0:
                painter.setPen(ink.text)
                painter.drawText(QRectF(x - 30, top, 60, 20), flag, local_text(hour * 60))
                painter.setPen(ink.faint_text)
                utc = utc_text(self._scenario.site, self._scenario.day, hour * 60)
                painter.drawText(QRectF(x - 30, below, 60, 20), flag, utc)
        painter.setPen(ink.faint_text)
        left = QRectF(2, below, box.left() - 4, metrics.height())
        painter.drawText(left, Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextDontClip, "UTC")

    def _draw_ends(self, painter: QPainter, ink: Ink) -> None:
        """Mark at which time of the day a station first fails, with its own marker."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for index, minute in self._ends:
            place = QPointF(self.x_of(minute), self._box().bottom() + 1)
            draw_marker(painter, place, station_style(index).marker, ink.station(index))

    def _tell(self) -> None:
        """Say what is chosen and what the plan is, for those who hear it."""
        chosen = (
            f"Chosen: {spoken(self.plan[self._chosen])}."
            if self._chosen is not None and self._chosen < len(self.plan)
            else "No block chosen."
        )
        order = sorted(self.plan, key=lambda block: block.minutes)
        whole = "; ".join(spoken(block) for block in order[:24]) or "empty"
        more = f"; and {len(order) - 24} more" if len(order) > 24 else ""
        self.setAccessibleDescription(f"{chosen} The plan: {whole}{more}. {KEYS}")


_CURSORS: dict[Grip, Qt.CursorShape] = {
    "move": Qt.CursorShape.OpenHandCursor,
    "start": Qt.CursorShape.SizeHorCursor,
    "end": Qt.CursorShape.SizeHorCursor,
    "paint": Qt.CursorShape.CrossCursor,
}


def _setting(scenario: Scenario) -> tuple[object, ...]:
    return scenario.plan, scenario.site, scenario.day


def _first_ends(comparison: Comparison) -> tuple[tuple[int, float], ...]:
    ends = []
    for index, run in enumerate(comparison.runs):
        found = failures(run) if run is not None else ()
        if found:
            at = found[0].at
            ends.append((index, at.hour * 60.0 + at.minute))
    return tuple(ends)


def _grid(event: QMouseEvent) -> int:
    fine = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
    return FINE_GRID_MIN if fine else GRID_MIN
