"""Parts of the odds with a heading over each, side by side where there is room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QLabel, QVBoxLayout, QWidget

from app.widgets.labels import heading
from app.widgets.tokens import GRID_PX


class Section(QWidget):
    """A heading and what stands under it."""

    def __init__(self, title: str, *content: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head: QLabel = heading(title)
        self.head.setWordWrap(True)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(GRID_PX // 2)
        for widget in (self.head, *content):
            self.column.addWidget(widget)
        self.column.addStretch(1)


class SideBySide(QWidget):
    """Two parts beside each other from a width on, else one over the other."""

    def __init__(
        self, first: QWidget, second: QWidget, from_px: int, shares: tuple[int, int] = (1, 1)
    ) -> None:
        super().__init__()
        self._from_px = from_px
        self._row = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(2 * GRID_PX)
        for widget, share in zip((first, second), shares, strict=True):
            self._row.addWidget(widget, share, Qt.AlignmentFlag(0))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        directions = QBoxLayout.Direction
        is_wide = event.size().width() >= self._from_px
        self._row.setDirection(directions.LeftToRight if is_wide else directions.TopToBottom)
