"""The leads of one station: chain, volts, what holds, cures, fuses, and measuring."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.pages.wiring.chain_sketch import ChainSketch
from app.pages.wiring.cures_list import CuresList
from app.pages.wiring.measuring import Measuring
from app.pages.wiring.words import lead_name, power_words, weakest_words
from app.state.display import Display
from app.widgets.caution_label import CautionLabel
from app.widgets.flow import FlowLayout
from app.widgets.labelled import labelled
from app.widgets.labels import heading, sentence_label
from app.widgets.number_text import quantity
from app.widgets.sections import Section, SideBySide
from app.widgets.tokens import GRID_PX
from app.widgets.whole_box import WholeBox
from model.engine.run import StationRun
from model.results.voltage_drop import Chain, chain_at, chain_at_charge
from model.scenario.part_cautions import part_cautions
from model.station.fuses import advise

START, FIRST_SENT, AT_THE_END, POINTED, CHARGE = (
    "at the start", "at the first transmission", "when full power ends", "at the minute pointed at",
    "without sun, at a charge of",
)  # fmt: skip
MOMENTS = (START, FIRST_SENT, AT_THE_END, POINTED, CHARGE)
MISSING = {
    FIRST_SENT: "No transmission in this run; the start is shown.",
    AT_THE_END: "Full power does not end in this run; shown at its start.",
}
EACH_PX = 480
WITHHELD = "This station is not run: see its findings."


class LeadsView(QWidget):
    """Shows the chain of one station at a chosen moment; cures and readings ask for an edit."""

    edit_requested = Signal(str, float)

    def __init__(self, display: Display, *before: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._run: StationRun | None = None
        self._index = 0
        self._pointed = 0
        self.moment = QComboBox()
        self.moment.addItems(list(MOMENTS))
        self.moment.setAccessibleName("moment")
        self.charge = WholeBox()
        self.charge.setRange(1, 100)
        self.charge.setValue(50)
        self.charge.setSuffix(" %")
        self.charge.setAccessibleName("state of charge")
        self.missing, self.weakest = sentence_label(), sentence_label()
        self.now, self.end = sentence_label(), sentence_label()
        self.sketch = ChainSketch(display)
        self.cures = CuresList(display)
        self.fuses = sentence_label()
        self.measuring = Measuring()
        self.cautions = CautionLabel()
        self.withheld = sentence_label(WITHHELD)
        self._lay_out(before)
        self.moment.currentIndexChanged.connect(self._on_moment_changed)
        self.charge.valueChanged.connect(self._on_moment_changed)
        self.cures.cure_chosen.connect(self._on_edit)
        self.measuring.value_measured.connect(self._on_edit)
        display.units_changed.connect(self._on_units_changed)
        self.show_run(None, 0)

    def _lay_out(self, before: tuple[QWidget, ...]) -> None:
        self.inside = QWidget()
        line = QVBoxLayout(self.inside)
        line.setContentsMargins(GRID_PX, GRID_PX, GRID_PX, GRID_PX)
        line.setSpacing(GRID_PX)
        self.choice = QWidget()
        choose = FlowLayout(self.choice)
        for widget in (*before, labelled("&Voltage", self.moment), self.charge):
            choose.addWidget(widget)
        line.addWidget(self.choice)
        chain = Section(
            "From battery to radio", self.missing, self.sketch, self.weakest, self.now, self.end
        )
        cures = Section("Fixes", self.cures)
        for widget in (
            heading("Fuses"), self.fuses, self.cautions, heading("Measure it"), self.measuring,
        ):  # fmt: skip
            cures.column.insertWidget(cures.column.count() - 1, widget)
        line.addWidget(SideBySide(chain, cures, each_px=EACH_PX))
        line.addStretch(1)
        area = QScrollArea()
        area.setWidget(self.inside)
        area.setWidgetResizable(True)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # It takes what height there is, and asks for none.
        area.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.withheld)
        whole.addWidget(area, 1)

    def show_run(self, run: StationRun | None, index: int) -> None:
        """Show the leads of one station's run; none where it is withheld."""
        self._run, self._index = run, index
        self.withheld.setVisible(run is None)
        self.inside.setVisible(run is not None)
        self.cures.show_run(run)
        self.cautions.show_cautions(part_cautions("leads"))
        self._show_fuses()
        self._show_chain()

    def show_step(self, step: int) -> None:
        """Follow the minute pointed at elsewhere, where that is the moment chosen."""
        self._pointed = step
        if self.moment.currentText() == POINTED:
            self._show_chain()

    def rest(self) -> None:
        """End the search; it begins again once this is seen again."""
        self.cures.rest()

    def stop(self) -> None:
        """Wait for the worker: to be called before the window goes."""
        self.cures.stop()

    def chain(self) -> Chain | None:
        """Return the chain at the moment chosen."""
        run = self._run
        if run is None:
            return None
        moment = self.moment.currentText()
        if moment == CHARGE:
            return chain_at_charge(run, self.charge.value() / 100)
        return chain_at(run, _step_of(run, moment, self._pointed) or 0)

    def _show_chain(self) -> None:
        self.charge.setVisible(self.moment.currentText() == CHARGE)
        chain = self.chain()
        station = self._run.station if self._run is not None else None
        self.sketch.show_chain(chain, station)
        self.measuring.show_chain(chain, station)
        if self._run is None or chain is None or station is None:
            return
        moment = self.moment.currentText()
        self.missing.setText(MISSING.get(moment, ""))
        self.missing.setVisible(_step_of(self._run, moment, self._pointed) is None)
        self.weakest.setText(weakest_words(chain, station, self._display))
        now, end = power_words(chain)
        self.now.setText(now)
        self.end.setText(end)
        self.end.setVisible(bool(end))

    def _show_fuses(self) -> None:
        if self._run is None:
            return
        station = self._run.station
        lines = []
        for advice in advise(station, self._run.plan):
            lead = station.leads[advice.lead_index]
            there = f" Fitted: {quantity(lead.fuse_a, 'A', 1)}." if lead.fuse_a else ""
            fault = f" Fault: {advice.fault}." if advice.fault else ""
            said = f"{advice.sentence[:1].lower()}{advice.sentence[1:]}"
            lines.append(f"{lead_name(lead)}: {said}{there}{fault}")
        self.fuses.setText("\n".join(lines) or "No leads are entered: add them, and their fuse.")

    def _on_moment_changed(self) -> None:
        self._show_chain()

    def _on_units_changed(self) -> None:
        self.cures.refresh()
        self._show_chain()

    def _on_edit(self, path: str, value: float) -> None:
        self.edit_requested.emit(f"stations.{self._index}.{path}", value)


def _step_of(run: StationRun, moment: str, pointed: int) -> int | None:
    """Return the step of a chosen moment; none where the run has no such moment."""
    if moment == FIRST_SENT:
        return _first(run.inputs.loads.send_row >= 0)
    if moment == AT_THE_END:
        return _first(~run.abilities.full_power)
    return min(max(pointed, 0), run.inputs.steps - 1) if moment == POINTED else 0


def _first(steps: np.ndarray) -> int | None:
    found = np.flatnonzero(steps)
    return int(found[0]) if found.size else None
