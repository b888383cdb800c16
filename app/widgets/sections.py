"""Parts of a page with a heading over each, side by side where there is room."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.widgets.labels import heading
from app.widgets.tokens import GRID_PX

# A line of text at 100 %.
USUAL_LINE_PX = 17


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
    """Parts beside each other where each has so many pixels, else one over the other."""

    def __init__(
        self, *parts: QWidget, each_px: int, shares: tuple[int, ...] = (), gap_px: int = 2 * GRID_PX
    ) -> None:
        super().__init__()
        self._each_px = each_px
        self._row = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(gap_px)
        self.show_parts(*parts, shares=shares)

    def show_parts(self, *parts: QWidget, shares: tuple[int, ...] = ()) -> None:
        """Show other parts in place of those before, which are dropped."""
        while (item := self._row.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for part, share in zip(parts, shares or (1,) * len(parts), strict=True):
            self._row.addWidget(part, share, Qt.AlignmentFlag(0))
        self._turn()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._turn()

    def _turn(self) -> None:
        # Larger text needs more room for the same words.
        each_px = self._each_px * max(self.fontMetrics().lineSpacing() / USUAL_LINE_PX, 1.0)
        is_wide = self.width() >= each_px * self._row.count()
        directions = QBoxLayout.Direction
        self._row.setDirection(directions.LeftToRight if is_wide else directions.TopToBottom)


def scrolled(content: QWidget) -> QScrollArea:
    """Return what scrolls up and down without a frame around it."""
    area = QScrollArea(widgetResizable=True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidget(content)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area
