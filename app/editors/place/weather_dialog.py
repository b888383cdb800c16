"""Weather files into the place: which are read, which years they hold, and what becomes of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.editors.place.weather_reading import WeatherReading
from app.state.edit_context import Desk
from app.widgets import dialogs
from app.widgets.chosen_rows import ChosenList
from app.widgets.labels import heading, sentence_label
from app.widgets.number_text import shown_unit
from app.widgets.tokens import GRID_PX, level_colour
from app.work.jobs import Jobs
from model.editing.faults import ScenarioError
from model.files.weather_import import FileRead, WeatherImport, joined_files
from model.files.weather_words import (
    MonthRow,
    import_lines,
    month_rows,
    month_table,
    year_line,
)
from model.files.years_held import years_words
from model.scenario.climate import Climate
from model.scenario.scenario import Scenario
from model.support.progress import at_once

TITLE = "Weather years of the place"
MEANS = (
    "Weather files of this place or near it (EPW, TMY2, TMY3, PVGIS, NSRDB, BSRN, SURFRAD) become"
    " years of days and the twelve months of the climate. They are read on this computer alone."
)
UNDO_TEXT = "weather years"
ROWS_SHOWN = 5


class WeatherDialog(QDialog):
    """Reads files, shows what they hold, and puts the years that are wanted into the scenario."""

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        super().__init__(parent)
        self._desk = desk
        self._files: list[FileRead] = []
        self._found: WeatherImport | None = None
        self._seen: tuple[object, ...] = ()
        self.reading = WeatherReading(self)
        self._joining = Jobs(self)
        self.setWindowTitle(TITLE)
        self.add, self.stop = QPushButton("Add files …"), QPushButton("Stop")
        self.apply, self.leave = QPushButton("Apply"), QPushButton("Close")
        self.progress = QProgressBar()
        self.progress.setAccessibleName("files read")
        self.files, self.years = self._list("files"), self._list("years in the files")
        self.replace = QCheckBox()
        self.held, self.faults = sentence_label(), sentence_label()
        self.held.setAccessibleName("years in the scenario")
        self.faults.setAccessibleName("why nothing can be applied")
        self.words = QPlainTextEdit()
        self.words.setReadOnly(True)
        # The months stand in columns.
        self.words.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
        self.words.setAccessibleName("what was read")
        self._lay_out()
        self._wire()
        parent.installEventFilter(self)
        self._show_progress(0, 0)
        self._on_scenario()

    def _list(self, name: str) -> QListWidget:
        listed = ChosenList()
        listed.setAccessibleName(name)
        listed.setWordWrap(True)
        listed.setMinimumHeight(listed.fontMetrics().lineSpacing() * ROWS_SHOWN)
        return listed

    def _lay_out(self) -> None:
        asked = QHBoxLayout()
        for widget, share in ((self.add, 0), (self.progress, 1), (self.stop, 0)):
            asked.addWidget(widget, share)
        asked.addStretch(0)
        ends = QHBoxLayout()
        ends.addStretch(1)
        for button in (self.apply, self.leave):
            ends.addWidget(button)
            button.setAutoDefault(False)
        self.add.setAutoDefault(False)
        self.stop.setAutoDefault(False)
        means: QLabel = sentence_label(MEANS)
        column = QVBoxLayout(self)
        column.setSpacing(GRID_PX)
        column.addWidget(means)
        column.addLayout(asked)
        column.addWidget(self.files, 1)
        column.addWidget(heading("Years in the files"))
        column.addWidget(self.years, 1)
        column.addWidget(self.held)
        column.addWidget(self.replace)
        column.addWidget(heading("What was read"))
        column.addWidget(self.words, 2)
        column.addWidget(self.faults)
        column.addLayout(ends)
        self.resize(800, 680)

    def _wire(self) -> None:
        self.add.clicked.connect(self._on_add)
        self.stop.clicked.connect(self.reading.stop)
        self.apply.clicked.connect(self._on_apply)
        self.leave.clicked.connect(self.reject)
        self.years.itemChanged.connect(self._on_wanted)
        self.replace.toggled.connect(self._on_wanted)
        self.reading.read.connect(self._on_read)
        self.reading.refused.connect(self._on_refused)
        self.reading.advanced.connect(self._show_progress)
        self.reading.finished.connect(self._on_all_read)
        self._joining.finished.connect(self._on_joined)
        self._joining.failed.connect(self._on_failed)
        self._desk.document.scenario_changed.connect(self._on_scenario)
        self._desk.display.units_changed.connect(self._show_words)

    @property
    def is_settled(self) -> bool:
        """Whether no file is being read and nothing is being worked out."""
        return not self.reading.is_reading and not self._joining.is_running

    # Reading.

    def _on_add(self) -> None:
        path = self._desk.document.path
        folder = str(path.parent if path is not None else Path.home())
        self.reading.add(dialogs.ask_for_weather_files(self, folder))

    def _on_read(self, file: FileRead) -> None:
        self._files.append(file)
        days = "1 day" if len(file.days) == 1 else f"{len(file.days)} days"
        typical = ", typical" if file.typical else ""
        place = f" {file.place}" if file.place else ""
        self.files.addItem(f"{file.name}: {file.kind}{place}, {days}{typical}")

    def _on_refused(self, fault: str) -> None:
        item = QListWidgetItem(f"Not read: {fault}")
        item.setForeground(level_colour("error", self.palette()))
        self.files.addItem(item)

    def _show_progress(self, done: int, of: int) -> None:
        self.progress.setRange(0, max(of, 1))
        self.progress.setValue(done)
        is_reading = of > 0
        self.progress.setVisible(is_reading)
        self.stop.setVisible(is_reading)

    def _on_all_read(self) -> None:
        self._show_progress(0, 0)
        self._join()

    # What becomes of it.

    def _on_scenario(self, _scenario: object = None) -> None:
        scenario = self._desk.document.scenario
        seen = (scenario.site, scenario.climate)
        if seen == self._seen:
            return
        self._seen = seen
        held = scenario.climate.years if scenario.climate is not None else ()
        self.replace.setText("Forget the years that the scenario holds")
        self.replace.setVisible(bool(held))
        words = years_words(held)
        self.held.setText(
            f"The scenario holds: {words[:1].lower()}{words[1:]}."
            if words
            else "The scenario holds no years of weather yet."
        )
        self._join()

    def _on_wanted(self, _what: object = None) -> None:
        self._join()

    def _join(self) -> None:
        """Work out the climate of all files that were read, with the years that are wanted."""
        self._found = None
        self.apply.setEnabled(False)
        self.faults.clear()
        self.faults.hide()
        if self.reading.is_reading or not self._files:
            return
        scenario = self._desk.document.scenario
        left_out = frozenset(
            row
            for row in range(self.years.count())
            if self.years.item(row).checkState() is Qt.CheckState.Unchecked
        )
        self._joining.start(
            at_once(
                _joined_or_faults,
                scenario,
                tuple(self._files),
                left_out,
                replace_years=self.replace.isChecked(),
            )
        )

    def _on_joined(self, _number: int, found: object) -> None:
        if not isinstance(found, WeatherImport):
            self._show_faults(str(found))
            return
        self._found = found
        self._show_years(found)
        self._show_words()
        self.apply.setEnabled(found.climate != self._desk.document.scenario.climate)

    def _show_words(self) -> None:
        found = self._found
        if found is not None:
            lines = [self._desk.display.sentence(line) for line in import_lines(found)]
            months = month_table([self._in_units(row) for row in month_rows(found)])
            self.words.setPlainText("\n".join([*lines, "", *months]))

    def _in_units(self, row: MonthRow) -> MonthRow:
        shown = shown_unit(row.unit, row.decimals, us=self._desk.display.is_us)
        return replace(row, unit=shown.unit, values=tuple(map(shown.of, row.values)))

    def _show_years(self, found: WeatherImport) -> None:
        """List the years; one that was left out stays so while the files are the same."""
        lines = [year_line(year) for year in found.years]
        if lines == [self.years.item(row).text() for row in range(self.years.count())]:
            return
        self.years.blockSignals(True)
        self.years.clear()
        for line in lines:
            item = QListWidgetItem(line)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked)
            self.years.addItem(item)
        self.years.blockSignals(False)

    def _on_failed(self, _number: int, fault: str) -> None:
        self._show_faults(fault)

    def _show_faults(self, words: str) -> None:
        self.words.clear()
        self.faults.setText(words)
        self.faults.show()

    def _on_apply(self) -> None:
        if self._found is None:
            return
        document = self._desk.document
        climate: Climate = self._found.climate
        document.end_burst()
        document.edit("climate", climate, UNDO_TEXT)
        document.end_burst()

    # Its end.

    def done(self, result: int) -> None:
        """End all work; the dialog may be shown again, with the files that it has."""
        self.reading.close()
        self._joining.close()
        super().done(result)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.parent() and event.type() == QEvent.Type.Close:
            self.reject()
        return super().eventFilter(watched, event)


def _joined_or_faults(
    scenario: Scenario,
    files: tuple[FileRead, ...],
    left_out: frozenset[int],
    *,
    replace_years: bool,
) -> WeatherImport | str:
    try:
        return joined_files(
            scenario.site, scenario.climate, files, replace_years=replace_years, left_out=left_out
        )
    except ScenarioError as error:
        return "\n".join(str(fault) for fault in error.faults)
