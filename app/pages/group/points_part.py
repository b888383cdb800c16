"""What several posts rest on together, and a drill that takes it away."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.state.group_document import GroupDocument
from app.widgets.chosen_rows import ChosenList
from app.widgets.flow import FlowLayout
from app.widgets.labels import sentence_label
from model.group.single_points import SharedPoint

NONE = "No plug, licence, backup, relay or untested batch is shared by several posts."
READ = "One thing whose failure is felt at several posts at once."


def drilled(point: SharedPoint) -> tuple[str, ...]:
    """Return what a drill takes away for a point, as it is named there; none where it cannot."""
    if point.kind == "relay":
        return (f"post{point.what}",)
    if point.kind == "licence":
        return tuple(f"post{kit}" for kit in point.kits)
    if point.kind == "batch":
        return tuple(f"post{kit}.battery" for kit in point.kits)
    return ()


class PointsPart(QWidget):
    """A list of sentences; ``drill_wanted`` carries what is to be taken away."""

    drill_wanted = Signal(object)

    def __init__(self, document: GroupDocument, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._points: tuple[SharedPoint, ...] = ()
        self.list = ChosenList()
        self.list.setAccessibleName("single points of the group")
        self.list.setWordWrap(True)
        self.list.setSpacing(2)
        self.button = QPushButton("&Drill: take it away")
        self.says = sentence_label(READ)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.addWidget(self.says)
        whole.addWidget(self.list, 1)
        buttons = QWidget()
        FlowLayout(buttons).addWidget(self.button)
        whole.addWidget(buttons)
        self.setFocusProxy(self.list)
        self.list.currentRowChanged.connect(self._on_row)
        self.list.itemActivated.connect(self._on_drill)
        self.button.clicked.connect(self._on_drill)
        self._on_row(-1)

    def show_points(self, points: tuple[SharedPoint, ...]) -> None:
        """Show other points."""
        self._points = points
        self.list.clear()
        self.list.addItems([each.words for each in points] or [NONE])
        self.list.setCurrentRow(0)

    def _on_row(self, row: int) -> None:
        is_one = 0 <= row < len(self._points)
        self.button.setEnabled(is_one and bool(drilled(self._points[row])))

    def _on_drill(self) -> None:
        row = self.list.currentRow()
        if 0 <= row < len(self._points) and (names := drilled(self._points[row])):
            self.drill_wanted.emit(names)
