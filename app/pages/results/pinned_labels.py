"""The labels of a table's rows, which stay in sight while its figures go sideways."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QStyle, QStyleOptionViewItem, QTableView, QWidget


class PinnedLabels(QWidget):
    """Lies over the left of a table, and shows its first column where that has gone out of sight.

    Parameters
    ----------
    table : a table that is as high as its rows; the labels are what its delegate paints.
    """

    def __init__(self, table: QTableView) -> None:
        super().__init__(table)
        self._table = table
        # A press on a label is none on the figure that has gone under it.
        self.setAttribute(Qt.WidgetAttribute.WA_NoMousePropagation)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(table.viewport().backgroundRole())
        self.hide()

    def follow(self) -> None:
        """Show the labels once the table has gone sideways."""
        table = self._table
        place = QRect(table.viewport().pos(), table.viewport().size())
        place.setWidth(min(table.columnWidth(0), place.width()))
        self.setGeometry(place)
        self.setVisible(table.horizontalScrollBar().value() > 0)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        table = self._table
        chosen = table.selectionModel()
        with QPainter(self) as painter:
            for row in range(table.model().rowCount()):
                index, option = table.model().index(row, 0), QStyleOptionViewItem()
                option.rect = QRect(
                    0, table.rowViewportPosition(row), self.width(), table.rowHeight(row)
                )
                if chosen.isSelected(index):
                    option.state |= QStyle.StateFlag.State_Selected
                table.itemDelegate().paint(painter, option, index)
