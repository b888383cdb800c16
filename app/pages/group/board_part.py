"""Tonight's board: posts by dusk, midnight and 06:00, what they report, and who ends next."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.pages.group.board_model import BoardModel
from app.state.group_reports import GroupReports
from app.widgets.chosen_rows import ChosenTable
from app.widgets.flow import FlowLayout
from app.widgets.labels import sentence_label
from model.group.board import nights
from model.group.group_run import GroupResult
from model.group.group_words import next_words
from model.scenario.declare import MINUTES_A_DAY
from model.support.figures import day_text

READ = (
    "Type the Ah left that a post reports (Ah full less Ah used): its outlook goes on from there."
    " Expected is by the last report before, else by the plan; spares are not counted."
)


class BoardPart(QWidget):
    """The board of one night. Reports are kept as they are typed, beside the group's file."""

    def __init__(self, reports: GroupReports, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reports = reports
        self._result: GroupResult | None = None
        self.model = BoardModel(self)
        self.night = QComboBox()
        self.night.setAccessibleName("night")
        self.clear_button = QPushButton("Take all &reports back")
        self.says = sentence_label()
        self.table = ChosenTable()
        self.table.setModel(self.model)
        self.table.setAccessibleName("tonight's board")
        self.table.setTabKeyNavigation(False)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setAlternatingRowColors(True)
        self.table.verticalHeader().setVisible(False)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.horizontalHeader().setSectionsClickable(False)
        self.table.setEditTriggers(
            QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        top = QWidget()
        line = FlowLayout(top)
        line.addWidget(self.night)
        line.addWidget(self.clear_button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 4, 0, 0)
        whole.addWidget(sentence_label(READ))
        whole.addWidget(top)
        whole.addWidget(self.table, 1)
        whole.addWidget(self.says)
        self.setFocusProxy(self.table)
        self.night.currentIndexChanged.connect(self._show)
        self.model.dataChanged.connect(self._tell)
        self.clear_button.clicked.connect(self._on_clear)

    def show_rows(self, result: GroupResult) -> None:
        """Show the board of other runs; the same night stays chosen."""
        self._result = result
        run = next((row.planned for row in result.posts if row.planned is not None), None)
        chosen = max(self.night.currentIndex(), 0)
        self.night.blockSignals(True)
        self.night.clear()
        if run is not None:
            days = [run.clock.at(MINUTES_A_DAY * at) for at in range(nights(result))]
            self.night.addItems([f"Night from {day_text(day)}" for day in days])
        self.night.setCurrentIndex(min(chosen, self.night.count() - 1))
        self.night.blockSignals(False)
        self._show()

    def fit(self) -> None:
        """Give the columns the width of what stands in them."""
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table.verticalHeader().setDefaultSectionSize(
            round(self.table.fontMetrics().height() * 1.6)
        )

    def _show(self) -> None:
        if self._result is not None:
            self.model.show_night(self._result, self._reports, max(self.night.currentIndex(), 0))
            self.fit()
            self._tell()

    def _on_clear(self) -> None:
        self._reports.clear()
        self._show()

    def _tell(self) -> None:
        lines = list(self.model.refusals)
        lines.append(next_words(self.model.board))
        self.says.setText("\n".join(lines))
