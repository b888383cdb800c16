"""How far the meters of a station may be off: what its readings are believed by."""

from __future__ import annotations

from math import isclose

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.editors.fields.editor import NoteLabel
from app.editors.fields.entry import EntryLine
from app.state.edit_context import Desk
from app.widgets.flow import FlowLayout
from app.widgets.labelled import labelled
from app.widgets.number_text import plain
from model.support.figures import with_unit

START = "counter_start_ah"
# Number, words, unit that is read, bare unit, how the number is shown.
METERS = (
    ("counter_share", "Ah counter, ±", "", "%"), ("current_share", "Ammeter, ±", "", "%"),
    ("volts_v", "Voltmeter, ±", "V", "V"),
    (START, "Ah counter at the start", "Ah", "Ah"),
)  # fmt: skip


class MetersForm(QWidget):
    """A line for each accuracy; what is typed is an edit of the scenario when the line is left."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._index = desk, 0
        self.lines = {key: EntryLine(f"{words} of the meters", unit, bare)
                      for key, words, unit, bare in METERS}  # fmt: skip
        self._said = NoteLabel()
        row = FlowLayout()
        for key, words, _, _ in METERS:
            row.addWidget(labelled(words, self.lines[key]))
            self.lines[key].editingFinished.connect(self._on_finished)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(row)
        whole.addWidget(self._said)

    def show_station(self, index: int) -> None:
        """Show the meters of a station; a line that is being typed in stays as it is."""
        self._index = index
        stations = self._desk.document.scenario.stations
        if index >= len(stations):
            return
        for key, _, unit, bare in METERS:
            line, value = self.lines[key], getattr(stations[index].meters, key)
            if not line.hasFocus():
                shown = value * 100 if value is not None and bare == "%" else value
                line.setText("" if shown is None else with_unit(plain(shown, 2), bare or unit))

    def _on_finished(self) -> None:
        document = self._desk.document
        faults: list[str] = []
        for key, line in self.lines.items():
            if line.fault:
                faults.append(line.fault)
                continue
            path = f"stations.{self._index}.meters.{key}"
            held = getattr(document.scenario.stations[self._index].meters, key)
            wanted = line.reading
            # A meter has some accuracy; only the counter's first reading may be left out.
            if wanted is None and key != START:
                continue
            if wanted == held:
                continue
            if None not in (wanted, held) and isclose(wanted or 0.0, held, abs_tol=1e-9):
                continue
            document.end_burst()
            faults += [str(fault) for fault in document.edit(path, wanted, "accuracy of a meter")]
            document.end_burst()
        self._said.show_lines("error", faults[:2])
