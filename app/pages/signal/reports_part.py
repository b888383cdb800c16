"""Is the amplifier needed? What one's own reception reports say, beside what it costs."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QLayout, QPushButton, QVBoxLayout, QWidget

from app.editors.fields.choices import QuietCombo
from app.editors.fields.columns_form import ColumnsForm
from app.editors.fields.editor import NoteLabel, plain_tip
from app.editors.station_choice import StationChoice
from app.pages.signal.reports_work import ReportsWork
from app.pages.signal.share_chart import ShareChart
from app.state.edit_context import Desk
from app.state.settings import Settings
from app.widgets import dialogs
from app.widgets.flow import FlowLayout
from app.widgets.labels import heading, sentence_label
from app.widgets.number_text import shown_unit
from model.engine.comparison import Comparison
from model.reception.sentences import (
    cell_heading,
    cell_sentences,
    meaning_sentences,
    missing_sentences,
    price_sentence,
)
from model.reception.station_answers import CellAnswers, StationAnswers
from model.reception.table_reading import COLUMNS

HEAD = "Is the amplifier needed? From your own reports"
READS = (
    "Read a table (CSV) of reports from those who heard you: time (UTC unless it names a zone), SNR"
    " in dB, transmit power, mode, and band or frequency. A row without SNR is an attempt that was"
    " not heard."
)
CELL_LENGTH = 30
BY_HEADING = "by its heading"


class ReportsPart(QWidget):
    """A table of reports, a picture of shares against power, and the price of the amplifier."""

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._settings = desk, settings
        self._comparison: Comparison | None = None
        self.answers: StationAnswers | None = None
        self.work = ReportsWork(self)
        self.read, self.columns_button = QPushButton("Read reports …"), QPushButton("Columns …")
        self.columns_button.setCheckable(True)
        self.file = sentence_label(READS)
        self.columns = ColumnsForm(COLUMNS, BY_HEADING)
        self.faults = NoteLabel()
        self.station = StationChoice("station for the reports")
        self.cell = QuietCombo()
        self.cell.setAccessibleName("band and hour of the reports")
        self.cell.setSizeAdjustPolicy(
            QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.cell.setMinimumContentsLength(CELL_LENGTH)
        self.chart = ShareChart()
        self.at_power, self.said, self.price = sentence_label(), sentence_label(), sentence_label()
        self.few, self.means = sentence_label(), sentence_label()
        for label, name in (
            (self.file, "table of reports"), (self.faults, "why reports cannot be used"),
            (self.at_power, "shares at the power that is read out"),
            (self.said, "what the reports say"), (self.price, "what the amplifier costs"),
            (self.few, "what is missing"), (self.means, "what the shares mean"),
        ):  # fmt: skip
            label.setAccessibleName(name)
        self._lay_out()
        self._wire()
        self._show_nothing()

    def _lay_out(self) -> None:
        asked, chosen = FlowLayout(), FlowLayout()
        _add(asked, self.read, self.columns_button)
        _add(chosen, self.station, self.cell)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(heading(HEAD))
        whole.addWidget(self.file)
        whole.addLayout(asked)
        _add(whole, self.columns, self.faults)
        whole.addLayout(chosen)
        _add(whole, self.chart, self.at_power, self.said, self.price, self.few, self.means)

    def _wire(self) -> None:
        self.read.clicked.connect(self._on_read)
        self.columns_button.toggled.connect(self.columns.setVisible)
        self.columns.chosen.connect(self._on_columns)
        self.station.activated.connect(self._on_station)
        self.cell.activated.connect(self._show_cell)
        self.chart.pointed.connect(self.at_power.setText)
        self.work.heads_found.connect(self._on_heads)
        self.work.refused.connect(self._on_refused)
        self.work.outdated.connect(self._show_nothing)
        self.work.found.connect(self._on_found)
        self._desk.display.units_changed.connect(self._show_price)

    def show_comparison(self, comparison: Comparison) -> None:
        """Answer for the stations of another comparison."""
        self._comparison = comparison
        self.station.show_stations(comparison.scenario)
        self._ask()

    def stop(self) -> None:
        """End all work."""
        self.work.stop()

    def _ask(self) -> None:
        if self._comparison is not None:
            self.work.show_comparison(self._comparison, self.station.station or 0)

    def _on_station(self, _row: int) -> None:
        self._ask()

    # Reading.

    def _on_read(self) -> None:
        path = self._desk.document.path
        folder = str(path.parent if path is not None else Path.home())
        chosen = dialogs.ask_for_reports_to_open(self, folder)
        if chosen is not None:
            self.faults.show_lines("error", [])
            self.columns_button.setChecked(False)
            self.columns_button.hide()
            self.work.open(chosen, self._settings.report_columns)

    def _on_heads(self, heads: tuple[str, ...]) -> None:
        self.columns.show_heads(heads, self._settings.report_columns)
        self.columns_button.show()
        self.file.setText(self.work.name)

    def _on_columns(self, mapping: dict[str, str]) -> None:
        self._settings.report_columns = mapping
        self.faults.show_lines("error", [])
        self.work.choose(mapping)

    def _on_refused(self, fault: str) -> None:
        self._show_nothing()
        self.faults.show_lines("error", fault.split("\n"))

    # What they say.

    def _show_nothing(self) -> None:
        """Say nothing of an earlier question."""
        self.answers = None
        self.chart.clear()
        for widget in (
            self.station, self.cell, self.chart, self.at_power, self.said, self.price, self.few,
            self.means,
        ):  # fmt: skip
            widget.hide()

    def _on_found(self, found: StationAnswers) -> None:
        self.answers = found
        self.faults.show_lines("error", [])
        before = self.cell.currentText()
        self.cell.clear()
        for one in found.cells:
            self.cell.addItem(cell_heading(one))
        texts = [self.cell.itemText(row) for row in range(self.cell.count())]
        self.cell.setCurrentIndex(texts.index(before) if before in texts else found.first_row)
        self.few.setText("\n".join(missing_sentences(found)))
        self.few.setVisible(bool(self.few.text()))
        self.station.setVisible(len(found.scenario.stations) > 1)
        for widget in (self.cell, self.chart, self.at_power, self.said, self.means):
            widget.setVisible(bool(found.cells))
        self._show_price()
        if found.cells:
            self._show_cell()

    @property
    def seen(self) -> CellAnswers | None:
        """The band and hour that are shown."""
        row = self.cell.currentIndex()
        return self.answers.cells[row] if self.answers is not None and row >= 0 else None

    def _show_cell(self, _row: int = 0) -> None:
        one, found = self.seen, self.answers
        if one is None or found is None:
            return
        self.chart.show_cell(one, found.powers_w, found.index)
        self.cell.setToolTip(plain_tip(self.cell.currentText()))
        self.said.setText("\n".join(cell_sentences(one)))
        self.means.setText("\n".join(meaning_sentences([one])))

    def _show_price(self) -> None:
        if self.answers is None:
            return
        mass = shown_unit("kg", 1, us=self._desk.display.is_us)
        self.price.setText(price_sentence(self.answers, mass.unit, mass.factor))
        self.price.show()


def _add(line: QLayout, *widgets: QWidget) -> None:
    for widget in widgets:
        line.addWidget(widget)
