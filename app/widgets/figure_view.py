"""A quiet table of figures that works out its own sizes and begins at its first cell."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex
from PySide6.QtGui import QFocusEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QSizePolicy,
    QWidget,
)

from app.widgets.chosen_rows import ChosenTable
from app.widgets.in_sight import keep_in_sight
from app.widgets.table_model import TextTable

Index = QModelIndex | QPersistentModelIndex


class FigureView(ChosenTable):
    """Shows texts without lines or a frame; rows that measure themselves would cost too much."""

    def __init__(self, name: str, texts: TextTable, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.texts = texts
        texts.setParent(self)
        self.setModel(texts)
        self.setAccessibleName(name)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        self.setShowGrid(False)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.viewport().setBackgroundRole(QPalette.ColorRole.Window)
        across, down = self.horizontalHeader(), self.verticalHeader()
        across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        across.setHighlightSections(False)
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        down.setHighlightSections(False)

    def measure(self) -> None:
        """Measure the texts after a change of them or of the font, and fit."""
        raise NotImplementedError

    def fit(self) -> None:
        """Share out what room there is."""
        raise NotImplementedError

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.measure()

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        keep_in_sight(self, current)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.texts.rowCount():
            self.setCurrentIndex(self.texts.index(0, 0))
