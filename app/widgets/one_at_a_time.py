"""Several widgets in one place, of which one is seen: it alone says how much room is needed."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget


class OneAtATime(QWidget):
    """Shows one of its widgets.

    A stack of Qt is as high as the highest of its pages; here what is hidden takes no room, so that
    a page around it scrolls no further than what is read.
    """

    changed = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._widgets: list[QWidget] = []
        self._index = 0
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    def add(self, widget: QWidget) -> None:
        """Add a widget, the first of which is seen."""
        self._widgets.append(widget)
        self._column.addWidget(widget, 1)
        widget.setVisible(len(self._widgets) - 1 == self._index)

    @property
    def index(self) -> int:
        """Return the place of what is seen."""
        return self._index

    def show_at(self, index: int) -> None:
        """Show another of the widgets."""
        if index == self._index:
            return
        before, self._index = self._widgets[self._index], index
        before.hide()
        self._widgets[index].show()
        self.changed.emit(index)

    def bring(self, widget: QWidget) -> None:
        """Show one of the widgets."""
        self.show_at(self._widgets.index(widget))
