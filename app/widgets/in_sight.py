"""What has the keyboard stays in sight: the areas around it scroll to it."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QRect, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QScrollArea, QTableView, QWidget

MARGIN_PX = 4


class InSight(QObject):
    """Scrolls whatever the keyboard goes to into sight, in any window of the program.

    By itself an area follows the keyboard only from one widget in it to the next, not to one that
    is entered from outside. Under a hand that presses a button nothing moves.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._on_focus_changed)

    def _on_focus_changed(self, _old: QWidget | None, new: QWidget | None) -> None:
        if new is None or QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton:
            return
        if isinstance(new, QTableView) and new.currentIndex().isValid():
            new.scrollTo(new.currentIndex())
            keep_in_sight(new, new.currentIndex())
        else:
            _show(new, new.rect())


def keep_in_sight(table: QTableView, cell: QModelIndex | QPersistentModelIndex) -> None:
    """Let what a table lies in follow the cell that the keyboard went to.

    A table as high as its rows has nothing to scroll itself.
    """
    if cell.isValid() and table.hasFocus():
        _show(table.viewport(), table.visualRect(cell))


def _show(widget: QWidget, place: QRect) -> None:
    """Scroll every area around a widget until a place in it is seen, or fills the area."""
    around = widget.parentWidget()
    while around is not None:
        content = around.widget() if isinstance(around, QScrollArea) else None
        if isinstance(around, QScrollArea) and content is not None:
            room = around.viewport().size()
            corner = content.mapFromGlobal(widget.mapToGlobal(place.topLeft()))
            # What is larger than the area, and all that is seen of it, stays as it is.
            if not QRect(corner, place.size()).contains(QRect(-content.pos(), room)):
                shown = QRect(corner, place.size().boundedTo(room))
                middle = shown.center()
                across_px, down_px = shown.width() // 2, shown.height() // 2
                around.ensureVisible(
                    middle.x(), middle.y(), across_px + MARGIN_PX, down_px + MARGIN_PX
                )
        around = around.parentWidget()
