"""A window lies within what its screen has free, with its frame and title."""

from __future__ import annotations

from PySide6.QtCore import QRect
from PySide6.QtWidgets import QWidget

# What a window's frame and title take. [px]
FRAME_PX, TITLE_PX = 8, 36


def fit_in(window: QWidget, room: QRect) -> None:
    """Lie within what a screen has free, with frame and title."""
    inside = room.adjusted(FRAME_PX, TITLE_PX, -FRAME_PX, -FRAME_PX)
    window.resize(window.size().boundedTo(inside.size()))
    # A window is moved by the corner of its frame, which lies left of and above its own.
    left = min(max(window.x(), room.left()), inside.right() - window.width() - FRAME_PX)
    top = min(max(window.y(), room.top()), inside.bottom() - window.height() - TITLE_PX)
    window.move(max(left, room.left()), max(top, room.top()))
