"""The strip itself: the plan's blocks under the curves of the run, chosen and dragged there."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, QLineF, QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QApplication, QSizePolicy, QWidget

from app.charts.fonts import measured
from app.charts.ink import Ink
from app.charts.ruler import Ruler
from app.charts.span import Minutes, Span
from app.editors.plan_strip.drag import CURSORS, Drag, Grip, grid_of, grip_at
from app.editors.plan_strip.ground import Ground
from app.editors.plan_strip.keys import STEPS, WISHES, told_plan
from app.editors.plan_strip.occurrences import occurrences, wall_minute, when_and_what
from app.editors.plan_strip.paint import draw_block, draw_dark, draw_frame, draw_names
from model.editing.drag_plan import Part, dragged
from model.editing.edit_plan import Plan, block_at
from model.scenario.scenario import Block, Scenario
from model.sky.timeline import Timeline, timeline


class StripCanvas(QWidget):
    """Draws the plan and says what a hand wants changed; it never changes the plan itself.

    ``plan_changed`` carries a plan, what its undo step is merged by, what was done; ``pointed`` an
    elapsed minute; ``asked`` a wish and its minute of the day; ``said`` what is in a drag's way.
    """

    chosen_changed = Signal(int)
    plan_changed = Signal(object, str, str)
    pointed = Signal(float)
    left = Signal()
    asked = Signal(str, int)
    menu_wanted = Signal(int, QPoint)
    said = Signal(str)

    def __init__(self, span: Span, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._span = span
        self._scenario: Scenario | None = None
        self._preview: Plan | None = None
        self._chosen: int | None = None
        self._drag: Drag | None = None
        self._drags = 0
        self._sky: tuple[tuple[Minutes, ...], tuple[Minutes, ...]] = ((), ())
        self._ends: tuple[tuple[float, QColor], ...] = ()
        self._cursor: float | None = None
        self._seen: tuple[object, ...] = ()
        self._ground = Ground(self, self._draw_axis, self._draw_chosen)
        self._template = Block(start="00:00", end="24:00", activity="watch")
        self.ruler = Ruler(span)
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
        held = self._scenario.plan if self._scenario is not None else ()
        return held if self._preview is None else self._preview

    def show_scenario(self, scenario: Scenario) -> None:
        """Show the plan of a scenario over the days of its run."""
        before, self._scenario = self._scenario, scenario
        self._preview = None
        seen, was_seen = when_and_what(scenario), when_and_what(before) if before else ()
        if seen == was_seen:
            return
        if self._chosen is not None and self._chosen >= len(scenario.plan):
            self.choose(len(scenario.plan) - 1 if scenario.plan else None)
        self._tell()
        if seen[1:] == was_seen[1:]:
            self._ground.forget_blocks()
        else:
            self._draw_anew()

    def show_preview(self, plan: Plan | None) -> None:
        """Show a plan that is not the scenario's, or the scenario's again."""
        if plan != self._preview:
            self._preview = plan
            self._ground.forget_blocks()

    def show_run(
        self,
        nights: tuple[Minutes, ...],
        twilights: tuple[Minutes, ...],
        ends: tuple[tuple[float, QColor], ...],
    ) -> None:
        """Show the dark behind the plan, and when stations end; all in elapsed minutes."""
        if (nights, twilights) != self._sky:
            self._sky = (nights, twilights)
            self._draw_anew()
        if ends != self._ends:
            self._ends = ends
            self.update()

    def show_cursor(self, minute: float | None) -> None:
        """Draw the cursor at an elapsed minute, or none."""
        if minute != self._cursor:
            self._cursor = minute
            self.update()

    def follow_span(self) -> None:
        """Take over the stretch that is shown, and where the panes above stand."""
        span = self._span
        seen = (span.low, span.high, span.total, span.left_px, span.width_px)
        if seen != self._seen:
            self._seen = seen
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
            self._ground.forget_blocks()

    def x_of(self, minute: float) -> float:
        """Return where an elapsed minute stands. [px]"""
        return self._span.px(minute, self._span.left_px, self._span.left_px + self._span.width_px)

    def pieces(self, index: int) -> list[QRectF]:
        """Return where a block is drawn: once for each time it is seen of the run."""
        if self._scenario is None:
            return []
        box, found = self._box(), []
        for low, high in occurrences(self._clock(), self.plan[index]):
            left, right = max(self.x_of(low), box.left()), min(self.x_of(high), box.right())
            if left < right:
                found.append(QRectF(left, box.top(), right - left, box.height()))
        return found

    def ruler_corner(self) -> QPoint:
        """Return the upper left corner of the time axis."""
        box = self._box()
        return QPointF(box.left(), box.bottom() + 1).toPoint()

    def place_of(self, index: int) -> QRectF:
        """Return where a block is first seen; an empty place where it is not."""
        pieces = self.pieces(index)
        return max(pieces, key=QRectF.width) if pieces else QRectF()

    def sizeHint(self) -> QSize:
        """Return the size in which two lines of words fit into a block, over the time axis."""
        return QSize(320, round(self._box().height() + self.ruler.height_px()) + 2)

    def minimumSizeHint(self) -> QSize:
        """Return the least size of use."""
        return self.sizeHint()

    def draw(self, painter: QPainter) -> None:
        """Draw it as for a picture: nothing chosen, no cursor."""
        ink = Ink.of(self.palette())
        self._draw_axis(painter, ink)
        self._draw_blocks(painter, ink, None)
        self._draw_ends(painter)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the blocks, then where stations end and the cursor."""
        ink = Ink.of(self.palette())
        ground = self._ground.pixels(ink)
        with QPainter(self) as painter:
            painter.drawPixmap(0, 0, ground)
            self._draw_ends(painter)
            box = self._box()
            if self._cursor is not None and self._span.low <= self._cursor <= self._span.high:
                painter.setPen(QPen(ink.text, 1))
                x = self.x_of(self._cursor)
                painter.drawLine(QLineF(x, 0, x, box.bottom()))
            if self.hasFocus():
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(ink.accent, 1, Qt.PenStyle.DotLine))
                painter.drawRect(box.adjusted(-2, -1, 2, 1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Draw all anew."""
        super().resizeEvent(event)
        self._draw_anew()

    def changeEvent(self, event: QEvent) -> None:
        """Draw all anew in other colours or with another size of text."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.updateGeometry()
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
        self.choose(None if grip == "paint" else index)
        press = event.position().toPoint()
        self._drag = Drag(grip, index, minute, press, self.plan, self._drags)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held; without, show what could be taken hold of."""
        minute = self._minute_at(event.position())
        self.pointed.emit(minute)
        drag = self._drag
        if drag is None:
            self.setCursor(CURSORS[self._grip_at(event.position())[0]])
            return
        if not drag.is_moving:
            moved = (event.position().toPoint() - drag.press).manhattanLength()
            if moved < QApplication.startDragDistance() / 3:
                return
            self._drag = drag = replace(drag, is_moving=True)
        after = drag.to(
            minute,
            self._wall(drag.from_min),
            grid_of(event, Qt.KeyboardModifier.ShiftModifier),
            self._template,
        )
        if after.plan != self.plan:
            text = "new block" if drag.grip == "paint" else "change of the plan"
            self.plan_changed.emit(after.plan, f"plan.drag.{drag.number}", text)
            if after.index < len(self.plan):
                self.choose(after.index)
        if after.index < len(after.plan):
            block = after.plan[after.index]
            reason = f"; {after.stopped}" if after.stopped else ""
            self.said.emit(f"{block.start} to {block.end}{reason}")

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go; what was pressed without a move is edited, and free time gets a block."""
        drag, self._drag = self._drag, None
        if drag is None:
            return
        self.said.emit("")
        if not drag.is_moving:
            wish = "add" if drag.grip == "paint" else "edit"
            self.asked.emit(wish, round(self._wall(drag.from_min)) if wish == "add" else -1)

    def leaveEvent(self, event: QEvent) -> None:
        """Point at no time any more."""
        self.left.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with the block, and here."""
        if self._scenario is None:
            return
        minute, place = -1, event.pos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            if self._chosen is not None:
                place = self.place_of(self._chosen).center().toPoint()
        else:
            minute = round(self._wall(self._minute_at(QPointF(event.pos()))))
            self.choose(block_at(self.plan, minute))
        self.menu_wanted.emit(minute, self.mapToGlobal(place))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose, move and resize by key; the rest is asked of the strip around."""
        key, held = Qt.Key(event.key()), event.modifiers()
        step = grid_of(event, Qt.KeyboardModifier.AltModifier)
        sign = STEPS.get(key)
        if sign is not None:
            if held & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier):
                self._nudge(key, sign * step, shift=bool(held & Qt.KeyboardModifier.ShiftModifier))
            else:
                self._choose_next(sign)
            return
        wish = WISHES.get(key)
        if key == Qt.Key.Key_D and held & Qt.KeyboardModifier.ControlModifier:
            wish = "copy"
        if wish is None or (wish != "copy" and held & Qt.KeyboardModifier.ControlModifier):
            super().keyPressEvent(event)
        else:
            self.asked.emit(wish, -1)

    def _nudge(self, key: Qt.Key, by_min: int, *, shift: bool) -> None:
        if self._chosen is None:
            return
        part: Part = "whole"
        if shift:
            part = "start" if key in (Qt.Key.Key_Up, Qt.Key.Key_Down) else "end"
        after = dragged(self.plan, self._chosen, part, by_min)
        if after.plan != self.plan:
            merged = f"plan.{self._chosen}.{part}"
            self.plan_changed.emit(after.plan, merged, "change of the plan")
            self.choose(after.index)
        self.said.emit(after.stopped)

    def _grip_at(self, place: QPointF) -> tuple[Grip, int]:
        """Return what a press here takes hold of; at a common edge, the block it is on."""
        return grip_at(place.x(), [(at, self.pieces(at)) for at in self._by_nearness(place)])

    def _by_nearness(self, place: QPointF) -> list[int]:
        """Return the blocks, the one under the pointer first."""
        under = block_at(self.plan, self._wall(self._minute_at(place)))
        indexes = list(range(len(self.plan)))
        return indexes if under is None else [under, *(i for i in indexes if i != under)]

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
        left, right = self._span.left_px, self._span.left_px + self._span.width_px
        minute = self._span.minute(place.x(), left, right)
        return min(max(minute, self._span.low), self._span.high) if self._drag is None else minute

    def _wall(self, elapsed: float) -> float:
        return wall_minute(self._clock(), min(max(elapsed, 0.0), self._span.total - 1e-6))

    def _clock(self) -> Timeline:
        assert self._scenario is not None
        return timeline(self._scenario.site, self._scenario.day)

    def _box(self) -> QRectF:
        height_px = measured(self.font()).height_px * 2 + 8
        return QRectF(self._span.left_px, 2, self._span.width_px, height_px)

    def _draw_anew(self) -> None:
        if self._scenario is not None:
            self.ruler.show_clock(self._clock())
        self._ground.forget()

    def _draw_chosen(self, painter: QPainter, ink: Ink) -> None:
        self._draw_blocks(painter, ink, self._chosen)

    def _draw_axis(self, painter: QPainter, ink: Ink) -> None:
        painter.fillRect(QRectF(self.rect()), ink.ground)
        if self._scenario is None:
            return
        box = self._box()
        for spans, colour in zip(self._sky[::-1], (ink.twilight, ink.night), strict=True):
            draw_dark(
                painter, box, [(self.x_of(low), self.x_of(high)) for low, high in spans], colour
            )
        self.ruler.draw(painter, ink, QPointF(box.left(), box.bottom() + 1))

    def _draw_blocks(self, painter: QPainter, ink: Ink, chosen: int | None) -> None:
        if self._scenario is None:
            return
        painter.setFont(self.font())
        pieces = [(piece, at) for at in range(len(self.plan)) for piece in self.pieces(at)]
        for piece, at in pieces:
            draw_block(painter, piece, self.plan[at], ink, is_chosen=at == chosen)
        draw_names(painter, [(piece, self.plan[at]) for piece, at in pieces], ink)
        draw_frame(painter, self._box(), ink)

    def _draw_ends(self, painter: QPainter) -> None:
        """Go on with the lines of the curves at which a station ends."""
        for minute, colour in self._ends:
            if self._span.low <= minute <= self._span.high:
                x = self.x_of(minute)
                painter.setPen(QPen(colour, 1))
                painter.drawLine(QLineF(x, 0, x, self._box().bottom()))

    def _tell(self) -> None:
        """Say what is chosen and what the plan is, for those who hear it."""
        self.setAccessibleDescription(told_plan(self.plan, self._chosen))
