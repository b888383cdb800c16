"""What a hand takes hold of on the strip, and the plan that comes of dragging it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent

from model.editing.drag_plan import Dragged, dragged
from model.editing.edit_plan import Plan, painted, snapped
from model.scenario.scenario import Block

GRID_MIN, FINE_GRID_MIN = 5, 1
EDGE_PX = 5.0
Grip = Literal["whole", "start", "end", "paint"]
CURSORS: dict[Grip, Qt.CursorShape] = {
    "whole": Qt.CursorShape.OpenHandCursor,
    "start": Qt.CursorShape.SizeHorCursor,
    "end": Qt.CursorShape.SizeHorCursor,
    "paint": Qt.CursorShape.CrossCursor,
}


@dataclass(frozen=True)
class Drag:
    """What is dragged: always from the plan as it was when the button went down."""

    grip: Grip
    index: int
    from_min: float
    press: QPoint
    plan: Plan
    number: int
    is_moving: bool = False

    def to(self, minute: float, wall_min: float, grid: int, template: Block) -> Dragged:
        """Return the plan once the hand is at ``minute``; it began at ``wall_min`` of a day."""
        if self.grip == "paint":
            begin = snapped(wall_min, grid)
            plan = painted(
                self.plan, begin, begin + snapped(minute - self.from_min, grid), template
            )
            return Dragged(plan, len(self.plan), "")
        start, end = self.plan[self.index].minutes
        edge = end if self.grip == "end" else start
        by = snapped(edge + minute - self.from_min, grid) - edge
        return dragged(self.plan, self.index, self.grip, by)


def grip_at(x: float, blocks: Iterable[tuple[int, Sequence[QRectF]]]) -> tuple[Grip, int]:
    """Return what a press at ``x`` takes hold of, of blocks with their pieces, nearest first."""
    for index, pieces in blocks:
        for piece in pieces:
            reach = min(EDGE_PX, piece.width() / 3)
            if abs(x - piece.right()) <= reach:
                return "end", index
            if abs(x - piece.left()) <= reach:
                return "start", index
            if piece.left() <= x < piece.right():
                return "whole", index
    return "paint", -1


def grid_of(event: QKeyEvent | QMouseEvent, finer: Qt.KeyboardModifier) -> int:
    """Return the minutes that an edge snaps to; less with the key that makes it finer."""
    return FINE_GRID_MIN if event.modifiers() & finer else GRID_MIN
