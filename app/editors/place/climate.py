"""The climate of the place: twelve typical months, as climate tables give them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.editor import NoteLabel, plain_tip
from app.editors.fields.number import NumberEditor
from app.state.edit_context import Desk
from app.widgets.flow import FlowLayout
from model.editing.field_facts import MONTHS, field_at
from model.files.years_held import years_words
from model.findings.rules import Finding
from model.sky.climate_light import climate_like

if TYPE_CHECKING:
    from app.editors.place.weather_dialog import WeatherDialog

ROWS = ("low_c", "high_c", "clearness")
ADD, REMOVE = "Add a climate", "Remove the climate"
WEATHER = "Weather files …"
WEATHER_MEANS = "Reads weather files of the place: years of days, and the months they make"
MEANS = (
    "Typical months let the year be searched: from which date to which date each kit works. A new"
    " table begins with the first date's own weather in every month; enter what a climate table"
    " lists for this place."
)


class MonthNumber(NumberEditor):
    """One number of the table; what is wrong with it is said under the whole table."""

    told = Signal()

    def __init__(self, desk: Desk, path: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, path, parent, with_source=False)
        self.label.hide()
        self.unit.hide()
        self.edit.set_characters(4)

    def _show_note(self) -> None:
        self.told.emit()


class ClimateTable(QWidget):
    """Twelve columns, three rows; or a button that begins them."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._cells: list[MonthNumber] = []
        self._findings: tuple[Finding, ...] = ()
        self._heads: dict[str, QLabel] = {}
        self._body = QWidget()
        self.add, self.remove = self._button(ADD), self._button(REMOVE)
        self.weather = self._button(WEATHER)
        self.weather.setToolTip(plain_tip(WEATHER_MEANS))
        self.years = QLabel()
        self.years.setTextFormat(Qt.TextFormat.PlainText)
        self.years.setAccessibleName("years of weather")
        self.dialog: WeatherDialog | None = None
        self.note = NoteLabel()
        self._table = QWidget()
        self._line = QHBoxLayout(self._table)
        self._line.setContentsMargins(0, 0, 0, 0)
        self._line.addWidget(self._body)
        around, beside = QWidget(), QWidget()
        column = QVBoxLayout(beside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for button in (self.add, self.remove, self.weather, self.years):
            column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        # Under the table where beside it there is no room.
        flow = FlowLayout(around)
        flow.addWidget(self._table)
        flow.addWidget(beside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(2)
        whole.addWidget(around)
        whole.addWidget(self.note)
        self.add.clicked.connect(self._on_add)
        self.remove.clicked.connect(self._on_remove)
        self.weather.clicked.connect(self._on_weather)
        self.remove.hide()
        self._table.hide()

    def _button(self, text: str) -> QPushButton:
        button = QPushButton(text)
        button.setAutoDefault(False)
        button.setToolTip(plain_tip(MEANS))
        return button

    def refresh(self) -> None:
        """Show what the document holds."""
        climate = self._desk.document.scenario.climate
        has_climate = climate is not None
        self.years.setText(years_words(climate.years) if climate is not None else "")
        self.years.setVisible(bool(self.years.text()))
        if has_climate and not self._cells:
            self._fill()
        self._table.setVisible(has_climate)
        self.remove.setVisible(has_climate)
        self.add.setVisible(not has_climate)
        if not has_climate:
            self._empty()
            return
        for name, head in self._heads.items():
            facts = field_at(f"climate.{name}.0")
            unit = self._desk.display.unit(facts)
            label = field_at(f"climate.{name}").label
            head.setText(f"{label}, {unit}" if unit else label)
        for cell in self._cells:
            cell.refresh()
        self._show_note()

    def cell(self, path: str) -> QWidget:
        """Return the field at a path, or the first thing to use where there is none."""
        for cell in self._cells:
            if path in (cell.path, cell.path.rpartition(".")[0]):
                return cell
        return self.add

    def _fill(self) -> None:
        grid = QGridLayout(self._body)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(3)
        grid.setVerticalSpacing(2)
        for column, month in enumerate(MONTHS):
            head = QLabel(month[:3])
            head.setAlignment(Qt.AlignmentFlag.AlignRight)
            grid.addWidget(head, 0, column + 1)
        for row, name in enumerate(ROWS, start=1):
            self._heads[name] = QLabel()
            self._heads[name].setToolTip(plain_tip(field_at(f"climate.{name}").help))
            grid.addWidget(self._heads[name], row, 0)
            for column in range(len(MONTHS)):
                cell = MonthNumber(self._desk, f"climate.{name}.{column}")
                cell.told.connect(self._show_note)
                self._cells.append(cell)
                grid.addWidget(cell, row, column + 1)

    def _empty(self) -> None:
        """Let the fields go, so that none holds a path that leads nowhere."""
        if not self._cells:
            return
        self._cells, self._heads = [], {}
        body = QWidget()
        self._line.replaceWidget(self._body, body)
        self._body.hide()
        self._body.deleteLater()
        self._body = body
        self._show_note()

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show what is found in the months under them."""
        self._findings = tuple(one for one in findings if one.path.startswith("climate."))
        self._show_note()

    def _show_note(self) -> None:
        faults = [
            f"{cell.edit.accessibleName()}: {cell.fault}" for cell in self._cells if cell.fault
        ]
        if faults or not self._findings:
            self.note.show_lines("error", faults)
            return
        lines = [self._desk.display.finding(one) for one in self._findings]
        self.note.show_lines(self._findings[0].level, lines)

    def _on_add(self) -> None:
        self._put(climate_like(self._desk.document.scenario), "new climate")
        self._cells[0].setFocus()

    def _on_remove(self) -> None:
        self._put(None, "removal of the climate")
        self.add.setFocus()

    def _on_weather(self) -> None:
        """Open the dialog beside the window, once; what it finds goes into the document."""
        if self.dialog is None:
            # Loaded when first opened: what reads weather files takes its time.
            from app.editors.place.weather_dialog import WeatherDialog

            self.dialog = WeatherDialog(self._desk, self.window())
        self.dialog.show()
        self.dialog.raise_()
        self.dialog.activateWindow()

    def _put(self, climate: Any, text: str) -> None:
        self._desk.document.edit("climate", climate, text)
        self._desk.document.end_burst()
