"""Battery against panel on a map: what holds, what it weighs, and a click that takes it."""

from __future__ import annotations

from pathlib import Path
from typing import cast

from PySide6.QtWidgets import QComboBox, QLabel, QPushButton, QWidget

from app.charts.map_canvas import MapCanvas
from app.pages.size.export import ExportRow, Table
from app.pages.size.frontier_picture import frontier_picture, least_words
from app.pages.size.kit_frontier import KitFrontiers, search_frontiers
from app.pages.size.size_words import sentence, up_to_hold
from app.state.display import Display
from app.widgets.flow import FlowLayout
from app.widgets.labels import sentence_label
from app.widgets.number_text import quantity
from app.widgets.worked_part import WorkedPart
from model.editing.faults import ScenarioError
from model.editing.resize import Pair, pair_kg, with_pair
from model.editing.units import KG_PER_LB
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.support.progress import Search

MEANS = (
    "Every battery across with every panel upwards, by the rule of the first sheet: which of them"
    " meet the plan on this trip, all from a full battery, in steps of ten minutes between the"
    " answers of that sheet. Lines of equal mass run across; short"
    " lines at the edges are sizes that can be bought."
)


class KitMapPart(WorkedPart):
    """Shows one station's map with every station on it; only a pair that holds is taken."""

    LOOKING = "Trying batteries and panels …"

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._found: KitFrontiers | None = None
        self.station = QComboBox()
        self.station.setAccessibleName("station of the map")
        self.lightest = QPushButton("Use the lightest that can be bought")
        self.map = MapCanvas("map of battery against panel")
        self.reading = sentence_label()
        self.export = ExportRow("battery and panel", self.map)
        self._lay_out()
        self.station.currentIndexChanged.connect(self._on_station_changed)
        self.lightest.clicked.connect(self._on_lightest)
        self.map.pointed.connect(self._on_pointed)
        self.map.chosen.connect(self._on_chosen)
        self.export.table_wanted.connect(self._on_table)
        display.units_changed.connect(self._show)

    def _lay_out(self) -> None:
        top = FlowLayout()
        for widget in (QLabel("Station"), self.station, self.lightest, self.export):
            top.addWidget(widget)
        self.column.addWidget(sentence_label(MEANS))
        self.column.addLayout(top)
        self.column.addWidget(self.bar)
        self.column.addWidget(self.map, 1)
        self.column.addWidget(self.reading)

    @property
    def index(self) -> int:
        """The station whose map is shown."""
        return max(self.station.currentIndex(), 0)

    def show_changed(self, scenario: Scenario) -> None:
        chosen = self.index
        names = [name_at(scenario, index) for index in range(len(scenario.stations))]
        self.station.blockSignals(True)
        self.station.clear()
        self.station.addItems(names)
        self.station.setCurrentIndex(min(chosen, len(names) - 1))
        self.station.blockSignals(False)

    def work(self, scenario: Scenario) -> Search[KitFrontiers]:
        return search_frontiers(scenario)

    def show_value(self, scenario: Scenario, value: object) -> None:
        self._found = cast(KitFrontiers, value)
        self._show()

    def _show(self) -> None:
        found = self._found
        if found is None or self.index >= len(found.lines):
            return
        us = self._display.is_us
        picture = frontier_picture(
            found, self.index, kg_per_unit=KG_PER_LB if us else 1.0, unit="lb" if us else "kg"
        )
        self.map.show_picture(picture)
        now = Pair.of(found.scenario.stations[self.index])
        self.map.put_cursor(now.capacity_ah, max(now.rated_w, found.up.low))
        self.lightest.setEnabled(found.lightest[self.index] is not None)
        self.export.set_ready(True)

    def _pair_at(self, capacity_ah: float, rated_w: float) -> Pair:
        """Return a pair as it is read and taken; on a marker it is what the station carries."""
        found = self._found
        assert found is not None
        now = Pair.of(found.scenario.stations[self.index])
        if abs(found.across.share(capacity_ah) - found.across.share(now.capacity_ah)) < 1e-6:
            capacity_ah = now.capacity_ah
        if abs(found.up.share(rated_w) - found.up.share(max(now.rated_w, found.up.low))) < 1e-6:
            rated_w = now.rated_w
        return Pair(up_to_hold(capacity_ah, 2), up_to_hold(rated_w, 1))

    def _on_station_changed(self) -> None:
        self._show()

    def _on_pointed(self, capacity_ah: float, rated_w: float) -> None:
        if self._found is not None:
            self.reading.setText(self._read(self._pair_at(capacity_ah, rated_w)))

    def _read(self, pair: Pair) -> str:
        found, us = self._found, self._display.is_us
        assert found is not None
        scenario, index = found.scenario, self.index
        name = name_at(scenario, index)
        sizes = f"{_ah(pair)} with {quantity(pair.rated_w, 'W', 1)}"
        if found.lines[index] is None:
            return sentence(f"{name}: {found.reasons[index]}")
        mass_kg = pair_kg(scenario, index, pair)
        change_kg = mass_kg - pair_kg(scenario, index, Pair.of(scenario.stations[index]))
        mass = quantity(mass_kg, "kg", 2, us=us)
        change = quantity(abs(change_kg), "kg", 2, us=us)
        than_now = (
            "as now" if abs(change_kg) < 0.005
            else f"{change} {'more' if change_kg > 0 else 'less'} than now"
        )  # fmt: skip
        state = "meets the plan" if found.holds(index, pair) else "fails"
        least_w = found.smallest_w(index, pair.capacity_ah)
        least = least_words(least_w, found.take_w(index, pair.capacity_ah))
        return f"{name}, {sizes}: {state}; it weighs {mass}, {than_now}; {least}."

    def _on_chosen(self, capacity_ah: float, rated_w: float) -> None:
        found = self._found
        if found is None or found.lines[self.index] is None:
            return
        pair = self._pair_at(capacity_ah, rated_w)
        if found.scenario != self.scenario:
            self.reading.setText("The map is out of date: wait for the new one.")
        elif not found.holds(self.index, pair):
            self.reading.setText(f"{self._read(pair)} A kit that fails is not applied.")
        else:
            self._take(pair)

    def _on_lightest(self) -> None:
        pair = self._found.lightest[self.index] if self._found is not None else None
        if pair is not None and self._found is not None and self._found.scenario == self.scenario:
            self._take(pair)

    def _take(self, pair: Pair) -> None:
        assert self.scenario is not None
        try:
            changed = with_pair(self.scenario, self.index, pair)
        except ScenarioError as error:
            self.reading.setText(sentence(str(error.faults[0])))
            return
        words = f"{_ah(pair)} with {quantity(pair.rated_w, 'W', 1)}"
        self.edit_requested.emit(f"{words} for {name_at(self.scenario, self.index)}", changed)

    def _on_table(self, path: Path) -> None:
        if self._found is not None:
            self.export.write_table(path, frontier_table(self._found))


def frontier_table(found: KitFrontiers) -> Table:
    """Return the lines of all stations as a table."""
    rows: list[list[object]] = []
    for index, line in enumerate(found.lines):
        if line is None:
            continue
        name = name_at(found.scenario, index)
        for values in zip(line.capacity_ah, line.rated_w, line.station_kg, strict=True):
            ah, w, kg = (float(value) for value in values)
            rows.append([name, ah, None if w != w else w, None if kg != kg else kg])
    return ("station", "battery_ah", "smallest_panel_w", "station_kg"), rows


def _ah(pair: Pair) -> str:
    return quantity(pair.capacity_ah, "Ah", 2)
