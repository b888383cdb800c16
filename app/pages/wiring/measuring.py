"""Measure it: volts and amperes under two loads tell the resistance between."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.editors.fields.entry import EntryLine
from app.pages.wiring.words import lead_name
from app.widgets.labels import sentence_label
from app.widgets.number_text import fixed
from model.results.two_load_test import (
    LoadReading,
    Measured,
    battery_ohm_that_explains,
    joints_that_explain,
    resistance_of,
    surplus_mohm,
)
from model.results.voltage_drop import Chain
from model.scenario.station import Station
from model.support.figures import entered

AT_THE_RADIO, AT_THE_BATTERY = "the radio's plug", "the battery's terminals"
HOW = (
    "Read voltage and current on receive, then with the key down into a dummy load for a few"
    " seconds. Battery full, indoors."
)
LIMITS = {"V": 60.0, "A": 300.0}
BOUNDS = (
    f"A voltage is from 0 to {entered(LIMITS['V'], 'V')}, a current to {entered(LIMITS['A'], 'A')}."
)
PLACES = {"receive": "on receive", "key down": "with the key down"}


class Measuring(QWidget):
    """Two rows of readings, what they mean, and a button that enters it."""

    value_measured = Signal(str, float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chain: Chain | None = None
        self._station: Station | None = None
        self._edit: tuple[str, float] | None = None
        self.place = QComboBox()
        self.place.addItems([AT_THE_RADIO, AT_THE_BATTERY])
        self.place.setAccessibleName("where the voltage is read")
        self.place.currentIndexChanged.connect(self._on_changed)
        self.lines = {
            (load, unit): self._line(load, unit) for load in PLACES for unit in ("V", "A")
        }
        self.outcome = sentence_label(HOW)
        self.enter = QPushButton("Use this value")
        self.enter.setEnabled(False)
        self.enter.clicked.connect(self._on_enter)
        self._lay_out()

    def _lay_out(self) -> None:
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.addWidget(QLabel("Voltage read at"), 0, 0)
        grid.addWidget(self.place, 0, 1, 1, 2)
        for row, (load, words) in enumerate(PLACES.items(), start=1):
            grid.addWidget(QLabel(words), row, 0)
            grid.addWidget(self.lines[load, "V"], row, 1)
            grid.addWidget(self.lines[load, "A"], row, 2)
        grid.setColumnStretch(3, 1)
        below = QHBoxLayout()
        below.addWidget(self.outcome, 1)
        below.addWidget(self.enter)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(grid)
        whole.addLayout(below)

    def _line(self, load: str, unit: str) -> EntryLine:
        line = EntryLine(f"{'voltage' if unit == 'V' else 'current'} {PLACES[load]}", unit)
        line.changed.connect(self._on_changed)
        return line

    def show_chain(self, chain: Chain | None, station: Station | None) -> None:
        """Hold the readings against another chain."""
        self._chain, self._station = chain, station
        self._tell()

    def _on_changed(self) -> None:
        self._tell()

    def _on_enter(self) -> None:
        if self._edit is not None:
            self.value_measured.emit(*self._edit)

    def _tell(self) -> None:
        self._edit = None
        self.outcome.setText(self._outcome())
        self.enter.setEnabled(self._edit is not None)

    def _outcome(self) -> str:
        faults = [line.fault for line in self.lines.values() if line.fault]
        if faults:
            return faults[0]
        readings = {place: line.reading or 0.0 for place, line in self.lines.items()}
        if any(not 0 <= value <= LIMITS[unit] for (_, unit), value in readings.items()):
            return BOUNDS
        if self._chain is None or self._station is None or not all(readings.values()):
            return HOW
        light, heavy = (LoadReading(readings[load, "V"], readings[load, "A"]) for load in PLACES)
        try:
            measured = resistance_of(light, heavy)
        except ValueError as fault:
            return str(fault)
        found = (
            f"Measured {fixed(1000 * measured.resistance_ohm, 1, 'mΩ')} ±"
            f" {fixed(1000 * measured.doubt_ohm, 1, 'mΩ')}."
        )
        if self.place.currentText() == AT_THE_BATTERY:
            return f"{found} {self._battery(measured, self._station)}"
        return f"{found} {self._leads(measured, self._chain, self._station)}"

    def _battery(self, measured: Measured, station: Station) -> str:
        one_ohm = battery_ohm_that_explains(measured, station.battery)
        self._edit = ("battery.resistance_ohm", round(one_ohm, 4))
        now = 1000 * station.battery.resistance_ohm
        return (
            f"That makes {fixed(1000 * one_ohm, 1, 'mΩ')} for one battery;"
            f" {fixed(now, 1, 'mΩ')} is entered."
        )

    def _leads(self, measured: Measured, chain: Chain, station: Station) -> str:
        surplus = surplus_mohm(measured, chain, station.battery)
        less = "less" if surplus > 0 else "more"
        compared = f"The leads as entered come to {fixed(abs(surplus), 1, 'mΩ')} {less}."
        explained = joints_that_explain(measured, chain, station.battery)
        if explained is None:
            return f"{compared} No lead is entered that could explain the difference."
        index, mohm = explained
        if abs(surplus) <= 1000 * measured.doubt_ohm:
            return f"{compared} That is within the accuracy of the meter."
        self._edit = (f"leads.{index}.joints_mohm", round(mohm, 1))
        name = lead_name(station.leads[index])
        return f"{compared} Joints of {fixed(mohm, 1, 'mΩ')} in {name} would explain it."
