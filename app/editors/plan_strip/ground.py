"""The strip as pixels: what stays while a block is dragged is drawn once."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QWidget

from app.charts.ink import Ink
from app.widgets.pixels import blank_pixels
from app.work.deferred import Deferred

# Blocks that are dragged are drawn so often at most: more pictures than these nobody sees. [ms]
FRAME_MS = 33
Draw = Callable[[QPainter, Ink], None]


class Ground:
    """The blocks over the dark and the hours; the cursor walks over both."""

    def __init__(self, canvas: QWidget, draw_axis: Draw, draw_blocks: Draw) -> None:
        self._canvas, self._draw_axis, self._draw_blocks = canvas, draw_axis, draw_blocks
        self._axis: QPixmap | None = None
        self._whole: QPixmap | None = None
        self._paced = Deferred(0, 0, canvas, FRAME_MS)
        self._paced.due.connect(canvas.update)

    def forget(self) -> None:
        """Draw all anew."""
        self._axis = self._whole = None
        self._canvas.update()

    def forget_blocks(self) -> None:
        """Draw other blocks over the same days."""
        self._whole = None
        self._paced.ask()

    def pixels(self, ink: Ink) -> QPixmap:
        """Return all of it as it stands now."""
        if self._axis is None:
            self._axis = blank_pixels(self._canvas.size(), self._canvas.devicePixelRatioF())
            with QPainter(self._axis) as painter:
                self._draw_axis(painter, ink)
        if self._whole is None:
            self._whole = QPixmap(self._axis)
            with QPainter(self._whole) as painter:
                self._draw_blocks(painter, ink)
        return self._whole
