"""What is assumed where a station has no antenna, and a button that adds it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.editor import NoteLabel
from app.pages.signal.words import assumed_words
from model.results.wording import letter
from model.scenario.scenario import STATIONS_LIMIT, Scenario
from model.scenario.station import Antenna
from model.station.rf_exposure import DIPOLE_DBI

DIPOLE = Antenna(name="half-wave dipole", gain_dbi=DIPOLE_DBI)
THEN = "Then enter its mass and the loss of its feed line in the station."


class AssumedAntennas(QWidget):
    """A line for each station without an antenna; hidden while all have one."""

    edit_requested = Signal(str, object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        self._lines = [_Line(index) for index in range(STATIONS_LIMIT)]
        for line in self._lines:
            line.edit_requested.connect(self.edit_requested)
            whole.addWidget(line)

    def show_scenario(self, scenario: Scenario) -> None:
        """Say what is assumed in a scenario."""
        for line in self._lines:
            line.show_scenario(scenario)
        self.setVisible(any(not line.isHidden() for line in self._lines))


class _Line(QWidget):
    """One station: what is assumed, and the button."""

    edit_requested = Signal(str, object)

    def __init__(self, index: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._index = index
        self.said = NoteLabel()
        self.button = QPushButton(f"Add this dipole to {letter(index)}")
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.said, 1)
        line.addWidget(self.button)
        self.button.clicked.connect(self._on_clicked)

    def show_scenario(self, scenario: Scenario) -> None:
        """Say what is assumed of this station; nothing hides the line."""
        stations = scenario.stations
        is_missing = self._index < len(stations) and stations[self._index].antenna is None
        lines = [f"{assumed_words(scenario, self._index)} {THEN}"] if is_missing else []
        self.said.show_lines("warning", lines)
        self.setVisible(is_missing)

    def _on_clicked(self) -> None:
        self.edit_requested.emit(f"stations.{self._index}.antenna", DIPOLE)
