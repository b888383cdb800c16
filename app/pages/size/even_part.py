"""Break-even: over two chosen inputs, which station needs less to carry."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QWidget

from app.charts.map_canvas import MapCanvas
from app.pages.size.even_picture import EvenMap, even_picture, even_words, node_words
from app.pages.size.export import ExportRow, Table
from app.state.display import Display
from app.widgets.labels import sentence_label
from app.widgets.worked_part import WorkedPart
from model.editing.faults import ScenarioError
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.sizing.axes import Axis
from model.sizing.break_even_map import BreakEven, search_break_even
from model.sizing.map_inputs import MapInput, map_inputs
from model.support.progress import Search

MEANS = (
    "Each station with the smallest battery that meets the plan, over two inputs: which of them"
    " needs less to carry. All from a full battery, tried in steps of ten minutes."
)
ONE_STATION = "There is only one station: nothing to compare it with."
SAME_INPUT = "Choose two different inputs."


def _break_even(
    scenario: Scenario, inputs: tuple[MapInput, MapInput]
) -> Search[tuple[Scenario, tuple[MapInput, MapInput], BreakEven]]:
    yield 0.0
    axes: list[Axis] = [one.axis() for one in inputs]
    return scenario, inputs, (yield from search_break_even(scenario, *axes))


class EvenPart(WorkedPart):
    """The map of a pair of stations; a click or Enter takes the pair of values it stands on."""

    LOOKING = "Finding the smallest battery of each station …"

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._shown: EvenMap | None = None
        self._inputs: tuple[MapInput, ...] = ()
        self.across, self.up = QComboBox(), QComboBox()
        self.first, self.second = QComboBox(), QComboBox()
        for box, name in (
            (self.across, "input across"), (self.up, "input upwards"),
            (self.first, "first station of the map"), (self.second, "second station of the map"),
        ):  # fmt: skip
            box.setAccessibleName(name)
            box.setMinimumContentsLength(10)
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
        self.map = MapCanvas("map of which station needs less")
        self.words, self.reading = sentence_label(), sentence_label()
        self.export = ExportRow("break-even", self.map)
        self._lay_out()
        self.across.currentIndexChanged.connect(self.work_again)
        self.up.currentIndexChanged.connect(self.work_again)
        self.first.currentIndexChanged.connect(self._show)
        self.second.currentIndexChanged.connect(self._show)
        self.map.pointed.connect(self._on_pointed)
        self.map.chosen.connect(self._on_chosen)
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show)

    def _lay_out(self) -> None:
        self.column.addWidget(sentence_label(MEANS))
        stations, inputs = QHBoxLayout(), QHBoxLayout()
        for line, widgets in (
            (stations, (QLabel("Stations"), self.first, QLabel("and"), self.second)),
            (inputs, (QLabel("Across"), self.across, QLabel("upwards"), self.up)),
        ):
            for widget in widgets:
                line.addWidget(widget, 0 if isinstance(widget, QLabel) else 1)
            self.column.addLayout(line)
        stations.addWidget(self.export)
        self.column.addWidget(self.bar)
        self.column.addWidget(self.words)
        self.column.addWidget(self.map, 1)
        self.column.addWidget(self.reading)

    @property
    def pair(self) -> tuple[int, int]:
        """The two stations."""
        return max(self.first.currentIndex(), 0), max(self.second.currentIndex(), 0)

    def show_changed(self, scenario: Scenario) -> None:
        self._inputs = map_inputs(scenario)
        titles = [one.title for one in self._inputs]
        names = [name_at(scenario, index) for index in range(len(scenario.stations))]
        # At first the first station's receive current against the share spent sending.
        usual = (0, min(len(names), len(titles) - 1))
        was_empty = self.across.count() == 0
        for box, entries, start in (
            (self.first, names, 0), (self.second, names, 1),
            (self.across, titles, usual[0]), (self.up, titles, usual[1]),
        ):  # fmt: skip
            chosen = start if was_empty else box.currentIndex()
            box.blockSignals(True)
            box.clear()
            box.addItems(entries)
            box.setCurrentIndex(min(chosen, len(entries) - 1))
            box.blockSignals(False)

    def work(self, scenario: Scenario) -> Search[Any] | None:
        across, up = self.across.currentIndex(), self.up.currentIndex()
        if len(scenario.stations) < 2 or across == up:
            self._shown = None
            self.words.setText(SAME_INPUT if len(scenario.stations) > 1 else ONE_STATION)
            self.map.hide()
            self.reading.setText("")
            self.export.set_ready(False)
            return None
        return _break_even(scenario, (self._inputs[across], self._inputs[up]))

    def show_value(self, scenario: Scenario, value: object) -> None:
        of, inputs, found = cast("tuple[Scenario, tuple[MapInput, MapInput], BreakEven]", value)
        self._shown = EvenMap(of, found, inputs, self.pair)
        self._show()
        self.map.put_cursor(inputs[0].now, inputs[1].now)

    def _show(self) -> None:
        shown = self._shown
        if shown is None or max(self.pair) >= len(shown.scenario.stations):
            return
        if self.pair[0] == self.pair[1]:
            self.words.setText("Choose two different stations.")
            return
        self._shown = shown = EvenMap(shown.scenario, shown.found, shown.inputs, self.pair)
        self.map.show()
        self.map.show_picture(even_picture(shown))
        self.words.setText(even_words(shown))
        self.export.set_ready(True)
        if self.map.cursor_values is not None:
            self._on_pointed(*self.map.cursor_values)

    def _on_pointed(self, across: float, up: float) -> None:
        if self._shown is not None:
            node = self._shown.node(across, up)
            self.reading.setText(node_words(self._shown, node, us=self._display.is_us))

    def _on_chosen(self, across: float, up: float) -> None:
        shown = self._shown
        if shown is None or shown.scenario != self.scenario:
            return
        column, row = shown.node(across, up)
        try:
            changed = shown.found.up.changed(
                shown.found.across.changed(shown.scenario, column), row
            )
        except ScenarioError as error:
            self.reading.setText(str(error.faults[0]))
            return
        titles = " and ".join(one.title for one in shown.inputs)
        self.edit_requested.emit(f"change of {titles}", changed)

    def _on_table(self, path: Path) -> None:
        if self._shown is not None:
            self.export.write_table(path, even_table(self._shown))


def even_table(shown: EvenMap) -> Table:
    """Return what every station needs at every pair of values."""
    names = [name_at(shown.scenario, index) for index in range(len(shown.scenario.stations))]
    heads = (shown.across.title, shown.up.title, *(f"{name}, kg" for name in names))
    rows: list[list[object]] = []
    for row, up in enumerate(shown.found.up.values):
        for column, across in enumerate(shown.found.across.values):
            masses = [float(kg) for kg in shown.found.needed_kg[:, row, column]]
            rows.append([
                across * shown.across.factor, up * shown.up.factor,
                *(kg if abs(kg) < 1e9 else None for kg in masses),
            ])  # fmt: skip
    return heads, rows
