"""What could stay at home: the smallest battery and panel of each station, with their proofs."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.pages.size.export import ExportRow, Table
from app.pages.size.size_words import (
    AH_DECIMALS,
    ASKED,
    MEETS_MEANS,
    W_DECIMALS,
    Asked,
    all_words,
    size_of,
    up_to_hold,
)
from app.pages.size.sold import parts_sold
from app.state.display import Display
from app.widgets.labels import sentence_label
from app.widgets.number_text import plain, quantity, shown_unit
from app.widgets.plain_table import PlainTable
from app.widgets.sections import Section, SideBySide
from app.widgets.worked_part import WorkedPart
from model.editing.resize import Pair, with_pair
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.smallest import Size, StationSizes, search_sizes
from model.support.progress import Search

Sizes = tuple[StationSizes, ...]
EACH_PX = 480


def _sizes(scenario: Scenario) -> Search[tuple[Scenario, Sizes]]:
    return scenario, (yield from search_sizes(scenario, parts_sold()))


class SizesPart(WorkedPart):
    """Says in words and numbers what the smallest kits are, and takes one on a click."""

    LOOKING = "Looking for the smallest kits …"

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: tuple[Scenario, Sizes] | None = None
        self.table = PlainTable("smallest kits in numbers", words=(0,), wide=(0,))
        self.export = ExportRow("smallest kits", None)
        self._words = SideBySide(each_px=EACH_PX)
        self._lay_out()
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show)

    def _lay_out(self) -> None:
        self.column.addWidget(sentence_label(MEETS_MEANS))
        self.column.addWidget(self.bar)
        self.column.addWidget(self.table)
        self.column.addWidget(self._words)
        self.column.addWidget(self.export, 0, Qt.AlignmentFlag.AlignRight)
        self.column.addStretch(1)
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
        columns = []
        for index in range(len(found)):
            section = Section(name_at(scenario, index))
            for asked in ASKED:
                self._add_part(section.column, index, asked, us=us)
            columns.append(section)
        self._words.show_parts(*columns)
        self.export.set_ready(True)

    def _add_part(self, column: QVBoxLayout, index: int, asked: Asked, *, us: bool) -> None:
        assert self._found is not None
        scenario, found = self._found
        said = all_words(scenario, found, index, asked, us=us)
        for words in (*said[:1], " ".join(said[1:])):
            if words:
                column.insertWidget(column.count() - 1, sentence_label(words))
        size, now = size_of(found[index], asked), Pair.of(scenario.stations[index])
        pair = _taken(size, now, is_battery=asked == "battery")
        if pair is None or pair == now:
            return
        # Of two questions with one answer the first has the button.
        if asked == "panel" and pair == _taken(found[index].trip_panel, now, is_battery=False):
            return
        shown = (
            quantity(pair.capacity_ah, "Ah", AH_DECIMALS) if asked == "battery"
            else quantity(pair.rated_w, "W", W_DECIMALS) if pair.rated_w else "no panel"
        )  # fmt: skip
        button = _TakeButton(f"Use {shown}", f"{shown} for {name_at(scenario, index)}", index, pair)
        button.taken.connect(self._on_taken)
        column.insertWidget(column.count() - 1, button, 0, Qt.AlignmentFlag.AlignLeft)

    def _show_table(self, table: Table) -> None:
        heads, rows = table
        # Each head in two lines, so that all columns are seen at once.
        broken = [head.replace(" ", "\n", 1) if ", " in head else head for head in heads]
        self.table.show_rows(broken, [[_cell_text(cell) for cell in row] for row in rows])

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


def _taken(size: Size, now: Pair, *, is_battery: bool) -> Pair | None:
    """Return what a station carries with the size to take; None where there is none."""
    if size.size_w == 0:
        return Pair(now.capacity_ah, 0.0)
    if size.choice is None:
        return None
    bought = size.choice.size_ah_or_w
    return Pair(bought, now.rated_w) if is_battery else Pair(now.capacity_ah, bought)


def sizes_table(scenario: Scenario, found: Sizes, *, us: bool) -> Table:
    """Return the sizes as a table, a row a station; none where no size is enough."""
    mass = shown_unit("kg", 2, us=us)
    heads = (
        "Station", "Least battery, Ah", "Take, Ah", f"Battery, {mass.unit}",
        f"Station, {mass.unit}", "Least panel, W", "Take, W", f"Panel, {mass.unit}",
        f"Station with it, {mass.unit}", "Panel to go on, W", "Then take, W",
    )  # fmt: skip
    rows = []
    for index, one in enumerate(found):
        row: list[object] = [name_at(scenario, index)]
        for asked in ASKED:
            size, choice = size_of(one, asked), size_of(one, asked).choice
            least = size.size_ah if asked == "battery" else size.size_w
            decimals = AH_DECIMALS if asked == "battery" else W_DECIMALS
            row.append(None if least is None else up_to_hold(least, decimals))
            row.append(choice.size_ah_or_w if choice else None)
            if asked != "panel":
                kilos = (choice.part_kg, choice.station_kg) if choice else (None, None)
                row += [None if kg is None else mass.of(kg) for kg in kilos]
        rows.append(row)
    return heads, rows


def _cell_text(cell: object) -> str:
    if cell is None:
        return "none"
    return plain(cell, 2) if isinstance(cell, float) else str(cell)
