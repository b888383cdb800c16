"""A layout that puts widgets in a line and goes on in the next one where there is no room."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QSizePolicy, QWidget

# What may be narrower goes on in the same line where this share of its width is left there.
LEAST_SHARE = 0.75


class FlowLayout(QLayout):
    """Widgets from left to right, at their preferred size, in as many lines as they need.

    One whose policy across is ``Maximum`` takes less rather than a line of its own.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        # What is around asks for the same few widths over and over.
        self._heights: dict[int, int] = {}
        self.setContentsMargins(0, 0, 0, 0)
        self._gap, self._line_gap = 14, 4

    def addItem(self, item: QLayoutItem) -> None:  # noqa: N802
        self._items.append(item)

    def insert(self, index: int, widget: QWidget) -> None:
        """Put a widget before the one that stands at a place."""
        self.addWidget(widget)
        self._items.insert(index, self._items.pop())

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:  # noqa: N802
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        if width not in self._heights:
            self._heights[width] = self._lay(QRect(0, 0, width, 0), move=False)
        return self._heights[width]

    def invalidate(self) -> None:
        self._heights.clear()
        super().invalidate()

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802
        super().setGeometry(rect)
        self._lay(rect, move=True)

    def sizeHint(self) -> QSize:
        return self.minimumSize()

    def minimumSize(self) -> QSize:  # noqa: N802
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _lay(self, rect: QRect, *, move: bool) -> int:
        """Lay the items out, each at the middle of its line; return the height they need."""
        y = rect.y()
        for line in self._lines(rect.width()):
            height, x = max(item.sizeHint().height() for item, _ in line), rect.x()
            for item, width in line if move else ():
                hint_px = item.sizeHint().height()
                below = (height - hint_px) // 2
                size = QSize(width, hint_px).expandedTo(item.minimumSize())
                item.setGeometry(QRect(QPoint(x, y + below), size))
                x += width + self._gap
            y += height + self._line_gap
        return max(y - self._line_gap, rect.y()) - rect.y()

    def _lines(self, width: int) -> list[list[tuple[QLayoutItem, int]]]:
        """Return what stands in each line, and how wide it is there. [px]"""
        lines: list[list[tuple[QLayoutItem, int]]] = []
        used = 0
        for item in self._items:
            widget = item.widget()
            if widget is not None and widget.isHidden():
                continue
            wanted = item.sizeHint().width()
            takes_less = widget is not None and widget.sizePolicy().horizontalPolicy() == _LESS
            least = max(round(wanted * LEAST_SHARE), item.minimumSize().width())
            if not lines or used + (least if takes_less else wanted) > width:
                lines.append([])
                used = 0
            # What is wider than the line shows less of itself rather than leave the line.
            given = min(wanted, width - used)
            lines[-1].append((item, given))
            used += given + self._gap
        return lines


_LESS = QSizePolicy.Policy.Maximum


def in_flow(*widgets: QWidget) -> QWidget:
    """Return widgets in a line that goes on in the next one."""
    row = QWidget()
    line = FlowLayout(row)
    for widget in widgets:
        line.addWidget(widget)
    return row
