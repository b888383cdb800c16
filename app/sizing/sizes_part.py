"""What could stay at home: the smallest battery and panel of each station, with their proofs."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.number_text import plain, shown_unit, with_unit
from app.sizing.export import ExportRow, Table
from app.sizing.size_words import (
    AH_DECIMALS,
    MEETS_MEANS,
    W_DECIMALS,
    against_words,
    battery_words,
    panel_words,
    proof_words,
    up_to_hold,
)
from app.state.display import Display
from app.widgets.labels import heading, sentence_label
from app.work.worked_part import WorkedPart
from model.editing.resize import Pair, with_pair
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.smallest import StationSizes, search_sizes
from model.support.progress import Search

Sizes = tuple[StationSizes, ...]


def _sizes(scenario: Scenario) -> Search[tuple[Scenario, Sizes]]:
    return scenario, (yield from search_sizes(scenario))


class SizesPart(WorkedPart):
    """Says in words and numbers what the smallest kits are, and takes one on a click."""

    LOOKING = "Looking for the smallest kits …"

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: tuple[Scenario, Sizes] | None = None
        self.table = QTableWidget()
        self.table.setAccessibleName("smallest kits in numbers")
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.verticalHeader().setVisible(False)
        self.table.setWordWrap(False)
        self.table.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.export = ExportRow("smallest kits", None)
        self._words = QWidget()
        self._words_column = QVBoxLayout(self._words)
        self._words_column.setContentsMargins(0, 0, 4, 0)
        self._lay_out()
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show)

    def _lay_out(self) -> None:
        self.column.addWidget(sentence_label(MEETS_MEANS))
        self.column.addWidget(self.bar)
        self.column.addWidget(self.table)
        area = QScrollArea()
        area.setWidget(self._words)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.column.addWidget(area, 1)
        self.column.addWidget(self.export, 0, Qt.AlignmentFlag.AlignRight)
        self.table.hide()

    def work(self, scenario: Scenario) -> Search[Any]:
        return _sizes(scenario)

    def show_value(self, scenario: Scenario, value: object) -> None:
        self._found = cast("tuple[Scenario, Sizes]", value)
        self._show()

    def _show(self) -> None:
        if self._found is None:
            return
        scenario, found = self._found
        us = self._display.is_us
        self._show_table(sizes_table(scenario, found, us=us))
        while (item := self._words_column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for index, sizes in enumerate(found):
            self._words_column.addWidget(heading(name_at(scenario, index)))
            self._add_part(
                index, sizes, us=us, panels=False, words=battery_words(
                    scenario, index, sizes.battery, us=us
                ),
            )  # fmt: skip
            self._add_part(
                index, sizes, us=us, panels=True, words=panel_words(
                    scenario, index, sizes.panel, us=us
                ),
            )  # fmt: skip
        self._words_column.addStretch(1)
        self.export.set_ready(True)

    def _add_part(
        self, index: int, sizes: StationSizes, *, us: bool, panels: bool, words: str
    ) -> None:
        assert self._found is not None
        scenario, found = self._found
        size = sizes.panel if panels else sizes.battery
        self._words_column.addWidget(sentence_label(words))
        if size.reason:
            return
        against = against_words(scenario, found, index, panels=panels, us=us)
        self._words_column.addWidget(sentence_label(f"{against} {proof_words(size)}"))
        now = Pair.of(scenario.stations[index])
        if panels:
            pair = Pair(now.capacity_ah, up_to_hold(size.size_w or 0.0, W_DECIMALS))
            shown = with_unit(pair.rated_w, "W", W_DECIMALS)
        else:
            pair = Pair(up_to_hold(size.size_ah or 0.0, AH_DECIMALS), now.rated_w)
            shown = with_unit(pair.capacity_ah, "Ah", AH_DECIMALS)
        text = f"{shown} for {name_at(scenario, index)}"
        button = _TakeButton(f"Use {shown}", text, index, pair)
        button.taken.connect(self._on_taken)
        self._words_column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _show_table(self, table: Table) -> None:
        heads, rows = table
        self.table.setColumnCount(len(heads))
        self.table.setRowCount(len(rows))
        self.table.setHorizontalHeaderLabels(list(heads))
        for at, row in enumerate(rows):
            for column, cell in enumerate(row):
                text = "none" if cell is None else str(cell)
                item = QTableWidgetItem(plain(cell, 2) if isinstance(cell, float) else text)
                if column:
                    item.setTextAlignment(
                        Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    )
                self.table.setItem(at, column, item)
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.resizeRowsToContents()
        self.table.show()
        self._fit_table()

    def _fit_table(self) -> None:
        """Give the table the height of its rows, and of its scroll bar where it needs one."""
        header = self.table.horizontalHeader()
        height = header.sizeHint().height() + 2 * self.table.frameWidth()
        height += sum(self.table.rowHeight(row) for row in range(self.table.rowCount()))
        if header.length() > self.table.viewport().width():
            height += self.table.horizontalScrollBar().sizeHint().height()
        self.table.setFixedHeight(height)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_table()

    def _on_taken(self, text: str, index: int, pair: Pair) -> None:
        if self._found is not None and self._found[0] == self.scenario:
            self.edit_requested.emit(text, with_pair(self._found[0], index, pair))

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            self.export.write_table(path, sizes_table(*self._found, us=self._display.is_us))


class _TakeButton(QPushButton):
    """Puts one size in a station."""

    taken = Signal(str, int, object)

    def __init__(self, words: str, text: str, index: int, pair: Pair) -> None:
        super().__init__(words)
        self._text, self._index, self._pair = text, index, pair
        self.setAccessibleName(f"use {text}")
        self.clicked.connect(self._on_clicked)

    def _on_clicked(self) -> None:
        self.taken.emit(self._text, self._index, self._pair)


def sizes_table(scenario: Scenario, found: Sizes, *, us: bool) -> Table:
    """Return the sizes as a table, a row a station; none where no size is enough."""
    mass = shown_unit("kg", 2, us=us)
    heads = (
        "Station", "Battery, Ah", "Wh", f"Battery, {mass.unit}", f"Station, {mass.unit}",
        "Panel, W", f"Panel, {mass.unit}", f"Station with it, {mass.unit}",
    )  # fmt: skip
    rows = []
    for index, one in enumerate(found):
        battery, panel = one.battery, one.panel
        masses = [
            None if kg is None else mass.of(kg)
            for kg in (battery.part_kg, battery.station_kg, panel.part_kg, panel.station_kg)
        ]
        ah = None if battery.size_ah is None else up_to_hold(battery.size_ah, AH_DECIMALS)
        watts = None if panel.size_w is None else up_to_hold(panel.size_w, W_DECIMALS)
        wh = None if battery.energy_wh is None else float(round(battery.energy_wh))
        rows.append([name_at(scenario, index), ah, wh, *masses[:2], watts, *masses[2:]])
    return heads, rows
