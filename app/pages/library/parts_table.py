"""The table of the parts of the library: what has no room beside the names is left to the form."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView

from app.pages.library.part_rows import COLUMNS
from app.widgets.chosen_rows import ChosenTable
from app.widgets.table_model import TextTable

NAME, KIND, NUMBERS, MASS = range(len(COLUMNS))
# With less room for them, numbers are not shown at all; names rather wrap than go below theirs.
LEAST_NUMBERS, LEAST_NAME = 16, 12


class PartsTable(ChosenTable):
    """One part can be chosen; never wider than its room: names wrap, the rest goes."""

    def __init__(self, model: TextTable) -> None:
        super().__init__()
        self._texts = model
        self.setModel(model)
        self.setAccessibleName("parts of the library")
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        modes = QHeaderView.ResizeMode
        self.verticalHeader().setSectionResizeMode(modes.ResizeToContents)
        self.horizontalHeader().setSectionResizeMode(modes.ResizeToContents)

    def fit(self) -> None:
        """Show the columns for which there is room."""
        digit_px = self.fontMetrics().horizontalAdvance("0")
        room_px = self.viewport().width()
        name_px, kind_px, mass_px = map(self._needed_px, (NAME, KIND, MASS))
        whole = room_px >= name_px + kind_px + mass_px + LEAST_NUMBERS * digit_px
        header, modes = self.horizontalHeader(), QHeaderView.ResizeMode
        header.setSectionResizeMode(NAME, modes.ResizeToContents if whole else modes.Stretch)
        header.setSectionResizeMode(NUMBERS, modes.Stretch if whole else modes.ResizeToContents)
        for column in (NUMBERS, MASS):
            self.setColumnHidden(column, not whole)
        self.setColumnHidden(KIND, room_px < kind_px + LEAST_NAME * digit_px)

    def _needed_px(self, column: int) -> int:
        texts = self._texts.column_texts()[column]
        return max(map(self.fontMetrics().horizontalAdvance, texts)) + self.fontMetrics().height()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit()
