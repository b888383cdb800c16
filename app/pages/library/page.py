"""The parts library beside the stations: parts go into a station, and out of one."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QComboBox, QPushButton, QVBoxLayout, QWidget

from app.editors.station_choice import StationChoice
from app.pages.library.browser import LibraryBrowser
from app.pages.library.exchange import read_parts, write_parts
from app.pages.library.place import own_shelf
from app.pages.view import Around, View
from app.widgets import dialogs
from app.widgets.flow import FlowLayout
from app.widgets.labelled import labelled
from model.editing.edit_stations import fitted
from model.editing.faults import ScenarioError
from model.engine.comparison import Comparison
from model.files.atomic_write import shown_name
from model.files.scenario_file import SaveError
from model.library.catalogue import KIND_LABELS, kind_of
from model.library.measured import measured_parts, nameless_measured, parts_of
from model.results.wording import listed, name_at
from model.scenario.station import Part

UNNAMED = "my-parts.toml"
NAMELESS = "A measured part without a name cannot be kept in the library: name it first"
NOTHING_NEW = "Your library has every number that was measured on this station's parts"


class LibraryPage(View):
    """The browser, and a line that says which station it works with."""

    title = "Parts library"
    scrolls = True

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self.shelf = own_shelf()
        self.shelf.setParent(self)
        self.shelf.keep_in(around.document.loose)
        self.browser = LibraryBrowser(self.shelf, around.desk.display)
        self.station = StationChoice("station that parts go into and come from")
        self.station.show_stations(around.document.scenario)
        self.station.choose(around.chosen_station())
        self.own = QComboBox()
        self.own.setAccessibleName("part of the station")
        self.own.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.own.setMinimumContentsLength(24)
        self.keep_button = QPushButton("&Save to library")
        self.keep_button.setToolTip("Shows first what it would change in the library")
        self._parts: tuple[Part, ...] = ()
        self._lay_out()
        self.station.currentIndexChanged.connect(self._on_station)
        self.keep_button.clicked.connect(self._on_keep)
        self.browser.part_wanted.connect(self._on_wanted)
        self.browser.import_wanted.connect(self._on_import)
        self.browser.export_wanted.connect(self._on_export)
        self.shelf.library_changed.connect(self._on_library_changed)
        around.document.scenario_changed.connect(self._on_scenario_changed)
        self._show_station()
        for part in self.shelf.library.parts[:1]:
            self.browser.select(part)

    def _lay_out(self) -> None:
        row = QWidget()
        line = FlowLayout(row)
        line.addWidget(labelled("&Station", self.station))
        line.addWidget(labelled("&Part it carries", self.own))
        line.addWidget(self.keep_button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(row)
        whole.addWidget(self.browser, 1)
        self.first = self.browser.first

    def show_comparison(self, comparison: Comparison) -> None:
        self._show_station()

    def keep(self, index: int, part: Part) -> None:
        """Offer to take a part of a station, from 0, into the library."""
        self.station.choose(index)
        if part in self._parts:
            self.own.setCurrentIndex(self._parts.index(part))
        self.browser.keep(part)

    def keep_measured(self, index: int) -> None:
        """Put the measured numbers of a station's parts, from 0, into those of the library."""
        self.station.choose(index)
        station = self.around.document.scenario.stations[index]
        parts = measured_parts(station, self.shelf.library)
        if not parts:
            self.around.say(NAMELESS if nameless_measured(station) else NOTHING_NEW)
        elif self.shelf.add_all(parts, replacing=True):
            self.browser.select(self.shelf.held(parts[0]) or parts[0])
            names = listed([part.name for part in parts])
            self.around.say(f"Measured numbers saved to your library: {names}")

    def stop(self) -> None:
        self.shelf.close()

    def _index(self) -> int:
        count = len(self.around.document.scenario.stations)
        return min(self.station.station or 0, count - 1)

    def _show_station(self) -> None:
        scenario = self.around.document.scenario
        self.station.show_stations(scenario)
        station = scenario.stations[self._index()]
        self.browser.compare_with(station)
        parts = parts_of(station)
        if parts != self._parts:
            row = self.own.currentIndex()
            self._parts = parts
            self.own.clear()
            self.own.addItems([f"{KIND_LABELS[kind_of(each)]}: {each.name}" for each in parts])
            self.own.setCurrentIndex(min(max(row, 0), len(parts) - 1))

    def _on_station(self, _row: int) -> None:
        self._show_station()

    def _on_scenario_changed(self) -> None:
        if self.isVisible():
            self._show_station()

    def _on_keep(self) -> None:
        row = self.own.currentIndex()
        if 0 <= row < len(self._parts):
            self.browser.keep(self._parts[row])

    def _on_wanted(self, part: Part) -> None:
        document = self.around.document
        name = name_at(document.scenario, self._index())
        try:
            wanted = fitted(document.scenario, self._index(), part)
        except ScenarioError as error:
            dialogs.tell(self, "The part was not saved", str(error))
            return
        document.end_burst()
        document.replace(f"{part.name} for {name}", wanted)
        self.around.say(f"{part.name} put into {name}")

    def _on_import(self) -> None:
        path = dialogs.ask_for_parts_to_open(self, str(Path.home()))
        if path is None:
            return
        try:
            parts, refusals = read_parts(path)
        except ScenarioError as error:
            faults = [str(fault) for fault in error.faults]
            dialogs.tell_faults(self, f"{shown_name(path)} could not be read", faults)
            return
        self.browser.offer.show_parts(parts, refusals)

    def _on_export(self, parts: tuple[Part, ...]) -> None:
        path = dialogs.ask_for_export(self, str(Path.home() / UNNAMED), dialogs.PART_FILES)
        if path is None:
            return
        try:
            write_parts(parts, path)
        except SaveError as error:
            dialogs.tell(self, "The parts were not written", str(error))

    def _on_library_changed(self) -> None:
        self.library_changed.emit(self.shelf.library)
