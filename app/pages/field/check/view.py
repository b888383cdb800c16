"""The field check of one station: the log, each reading against the prediction, what now."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.editors.fields.editor import NoteLabel
from app.pages.field.check.kept_form import KeptForm
from app.pages.field.check.log_table import LogTable
from app.pages.field.check.logger_part import LoggerPart
from app.pages.field.check.place_button import PlaceButton
from app.pages.field.check.reading_form import ReadingForm
from app.state.edit_context import Desk
from app.state.loose import key_of
from app.state.settings import Settings
from app.widgets.flow import in_flow
from app.widgets.sections import SideBySide
from app.widgets.tokens import GRID_PX
from app.work.latest import LatestWork
from model.editing.faults import ScenarioError
from model.editing.paths import with_inserted, with_removed, with_value
from model.engine.comparison import Comparison
from model.engine.run import StationRun
from model.field.field_words import (
    check_sentence,
    event_sentence,
    explanation_sentences,
    outlook_sentences,
    outside_sentence,
    reading_day,
)
from model.field.log_check import Check, FieldCheck, check_reading, search_field_check
from model.field.log_text import log_text, read_log_text, reading_of
from model.field.observations import step_of
from model.field.offers import Offer, accepted
from model.results.wording import heading_at
from model.scenario.station import DAYS_OF_LOG, FieldReading
from model.sky.timeline import timeline
from model.support.figures import day_text

EACH_PX = 520
WITHHELD = "This station cannot be run as entered: see its findings first."
MORE = "More rows cannot be read. None was added."
NO_READINGS = "No readings yet: enter what a meter shows, with the time."
LOOKING = "Looking for what explains the readings …"
ON_THE_DAY = (
    "On the plot of the day, crosses are readings with their uncertainty, rings those not counted;"
    " the dashed line is the charge that follows from them, with the band of 8 in 10 such trips."
)


class FieldCheckView(QWidget):
    """Readings are typed here and kept with the scenario; what they change is shown at once.

    ``outlook_changed`` carries the station and what its log says; None where it is withheld.
    """

    outlook_changed = Signal(int, object)

    def __init__(self, desk: Desk, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._comparison: Comparison | None = None
        self._check: FieldCheck | None = None
        self._stations = QComboBox()
        self._stations.setAccessibleName("station of the field check")
        self._stations.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self._form = ReadingForm()
        self._kept = KeptForm(self._form, desk.document)
        self.table = LogTable()
        self.copy_button = QPushButton("Copy the log")
        self.paste_button = QPushButton("Paste readings")
        self.logger_button = QPushButton("Logger's table …")
        self.logger = LoggerPart(settings)
        self._pasted = NoteLabel()
        self._body = QVBoxLayout()
        self._work = LatestWork(self)
        self._work.done.connect(self._on_done)
        self._work.failed.connect(self._on_failed)
        self._lay_out()
        self._stations.activated.connect(self._refresh)
        self._form.changed.connect(self._on_typed)
        self._form.changed.connect(self._on_form_changed)
        self._form.add_wanted.connect(self._on_add)
        self.table.row_typed.connect(self._on_row)
        self.table.removed.connect(self._on_rows_removed)
        self.table.copy_wanted.connect(self._on_copy)
        self.table.paste_wanted.connect(self._on_paste)
        self.copy_button.clicked.connect(self._on_copy)
        self.paste_button.clicked.connect(self._on_paste)
        self.logger_button.clicked.connect(self._on_logger)
        self.logger.readings_wanted.connect(self._on_logged)

    def _lay_out(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.addLayout(self._body)
        column.addStretch(1)
        log = QWidget()
        stack = QVBoxLayout(log)
        stack.setContentsMargins(0, 0, 0, 0)
        stack.addWidget(self._stations, 0, Qt.AlignmentFlag.AlignLeft)
        ways = in_flow(self.copy_button, self.paste_button, self.logger_button)
        for widget in (self._form, self.table, ways, self._pasted, self.logger):
            stack.addWidget(widget)
        stack.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(GRID_PX, GRID_PX, GRID_PX, GRID_PX)
        whole.addWidget(SideBySide(log, inside, each_px=EACH_PX))
        self.first = self._form.first

    def show_comparison(self, comparison: Comparison) -> None:
        """Show the station chosen, of this comparison."""
        self._comparison = comparison
        scenario = comparison.scenario
        names = [heading_at(scenario, index) for index in range(len(scenario.stations))]
        chosen = min(max(self._stations.currentIndex(), 0), len(names) - 1)
        self._stations.clear()
        self._stations.addItems(names)
        self._stations.setCurrentIndex(chosen)
        self._stations.setVisible(len(names) > 1)
        dates = timeline(scenario.site, scenario.day).dates[:DAYS_OF_LOG]
        self._form.show_dates(tuple(map(day_text, dates)))
        self._refresh()

    @property
    def check(self) -> FieldCheck | None:
        """What the log says; none where the station is withheld."""
        return self._check

    @property
    def station(self) -> int:
        """Which station it is of, from 0."""
        return self._index()

    def _index(self) -> int:
        return max(self._stations.currentIndex(), 0)

    def _run(self) -> StationRun | None:
        return self._comparison.runs[self._index()] if self._comparison else None

    @property
    def is_settled(self) -> bool:
        """Whether what is shown is of the scenario as it is now."""
        return self._work.is_settled and self.logger.is_settled

    def stop(self) -> None:
        """Wait for the worker: to be called before the window goes."""
        self.logger.stop()
        self._work.close()

    def _refresh(self, *_: object) -> None:
        run = self._run()
        self._check = None
        self.logger.show_run(run)
        self._kept.show_station(self._index())
        self._show_table()
        self._empty(self._body)
        if run is None:
            self._work.forget()
            self._add_note("error", [WITHHELD])
            self.outlook_changed.emit(self._index(), None)
        else:
            self._add_note("hint", [LOOKING if run.station.readings else NO_READINGS])
            self._work.ask(search_field_check(run))
        self._on_typed()

    def _on_done(self, check: FieldCheck) -> None:
        if check.predicted is not self._run():
            return
        self._check = check
        self._empty(self._body)
        self._fill(check)
        self.outlook_changed.emit(self._index(), check)
        self._on_typed()

    def _on_failed(self, fault: str) -> None:
        self._empty(self._body)
        self._add_note("error", [f"The readings could not be worked out: {fault}"])

    def _fill(self, check: FieldCheck) -> None:
        log = check.predicted.station.readings
        if not log:
            self._add_note("hint", [NO_READINGS])
            return
        self._add_heading("Rest of the trip")
        self._add_note("hint", [*outlook_sentences(check), ON_THE_DAY])
        if check.found is not None:
            self._add_heading("What explains the readings")
            self._add_note("hint", list(explanation_sentences(check)))
        self._add_heading("Measured and predicted")
        for place, reading in enumerate(log):
            self._add_reading(check, place, reading)
        if check.offers:
            self._add_heading("Corrections that the readings suggest")
        for offer in check.offers:
            self._add_offer(offer)

    def _add_reading(self, check: FieldCheck, place: int, reading: FieldReading) -> None:
        rows = [each for each in check.checks if each.reading is reading or each.reading == reading]
        lines = [line for each in rows for line in _lines(check.predicted, each)]
        if reading in check.outside:
            lines = [outside_sentence(check.predicted, reading)]
        if seen := event_sentence(reading):
            lines.append(seen)
        if reading.note:
            lines.append(reading.note)
        wrong = any(each.credit.believable and not each.agrees for each in rows)
        remove = PlaceButton("Remove", place)
        remove.setAccessibleName(
            f"remove the reading of {reading_day(check.predicted, reading)}, {reading.at}"
        )
        remove.chosen.connect(self._on_remove)
        self._add_row("warning" if wrong or reading in check.outside else "hint", lines, remove)

    def _add_offer(self, offer: Offer) -> None:
        assert self._check is not None
        update = PlaceButton("Update", self._check.offers.index(offer))
        update.setAccessibleName(f"update: {offer.sentence}")
        update.chosen.connect(self._on_update)
        self._add_row("hint", [offer.sentence], update)

    def _add_row(self, level: str, lines: list[str], button: QPushButton) -> None:
        row = QWidget()
        line = QHBoxLayout(row)
        line.setContentsMargins(0, 0, 0, 0)
        note = NoteLabel()
        note.show_lines(level, lines)
        line.addWidget(note, 1)
        line.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        self._body.addWidget(row)

    def _add_note(self, level: str, lines: list[str]) -> None:
        note = NoteLabel()
        self._body.addWidget(note)
        note.show_lines(level, lines)

    def _add_heading(self, words: str) -> None:
        label = QLabel(words)
        font = label.font()
        font.setBold(True)
        label.setFont(font)
        self._body.addWidget(label)

    def _empty(self, layout: QVBoxLayout) -> None:
        while (item := layout.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()

    def _on_form_changed(self) -> None:
        self._kept.hold()

    def _on_typed(self) -> None:
        """Say what the reading that is being typed would mean, before it is added."""
        run = self._run()
        if run is None:
            self._form.add_button.setEnabled(False)
            return
        reading, why = self._form.reading(self._desk.document.scenario)
        self._form.add_button.setEnabled(reading is not None)
        if reading is None or self._check is None:
            self._form.show_note("error", [why] if why else [])
            return
        lines = [line for each in check_reading(run, reading) for line in _lines(run, each)]
        if step_of(run, reading) is None:
            lines = [outside_sentence(run, reading)]
        self._form.show_note("hint", lines or [event_sentence(reading)])

    def _on_add(self, form: ReadingForm) -> None:
        scenario = self._desk.document.scenario
        reading, _ = form.reading(scenario)
        if reading is None:
            return
        path = f"stations.{self._index()}.readings"
        held = len(scenario.stations[self._index()].readings)
        try:
            changed = with_inserted(scenario, path, held, reading)
        except ScenarioError as error:
            form.show_note("error", [str(fault) for fault in error.faults])
            return
        form.clear()
        self._desk.document.replace("field reading", changed)

    def _show_table(self) -> None:
        """Show the log, and what is typed after it: that outlives the window in its journal."""
        document, index = self._desk.document, self._index()
        scenario = document.scenario
        if index < len(scenario.stations):
            station = scenario.stations[index]
            draft = document.loose.typed.get(self._draft_key(), {})
            self.table.show_log(self._run(), station.readings, draft)

    def _draft_key(self) -> str:
        document, index = self._desk.document, self._index()
        bare = document.scenario.stations[index].model_copy(update={"readings": ()})
        return f"field log {key_of(document.path, bare)}"

    def _on_row(self, row: int, cells: dict[str, str]) -> None:
        run, document, index = self._run(), self._desk.document, self._index()
        stations = document.scenario.stations
        if run is None or index >= len(stations):
            return
        held = stations[index].readings
        is_new = row >= len(held)
        if is_new:
            document.loose.put_all({self._draft_key(): self.table.drafts})
        made = reading_of(run, document.scenario, cells)
        if isinstance(made, str):
            # A row is typed cell by cell: what is still missing from a new one is no fault.
            self._pasted.show_lines("hint" if is_new else "error", [f"Row {row + 1}: {made}"])
            return
        self._pasted.show_lines("hint", [])
        if is_new:
            document.loose.put_all({self._draft_key(): {}})
            self._added((made,), "field reading")
        elif made != held[row]:
            path = f"stations.{index}.readings.{row}"
            document.replace("field reading", with_value(document.scenario, path, made))

    def _on_rows_removed(self, rows: tuple[int, ...]) -> None:
        document, path = self._desk.document, f"stations.{self._index()}.readings"
        held = document.scenario.stations[self._index()].readings
        left = tuple(each for at, each in enumerate(held) if at not in rows)
        document.replace("removal of readings", with_value(document.scenario, path, left))

    def _on_copy(self) -> None:
        run = self._run()
        if run is not None:
            QApplication.clipboard().setText(log_text(run, run.station.readings))

    def _on_paste(self) -> None:
        run = self._run()
        if run is None:
            return
        scenario, text = self._desk.document.scenario, QApplication.clipboard().text()
        readings, faults = read_log_text(run, scenario, text)
        lines = list(faults[:4]) or self._added(readings, "pasted readings")
        self._pasted.show_lines("error", [*lines, MORE] if len(faults) > 4 else lines)

    def _on_logger(self) -> None:
        path = self._desk.document.path
        self.logger.ask_for_table(str(path.parent if path is not None else Path.home()))

    def _on_logged(self, readings: tuple[FieldReading, ...]) -> None:
        self._pasted.show_lines("error", self._added(readings, "readings of a logger"))

    def _added(self, readings: Sequence[FieldReading], words: str) -> list[str]:
        """Put readings that are not in the log yet into it, as one step; return why not."""
        document, path = self._desk.document, f"stations.{self._index()}.readings"
        held = document.scenario.stations[self._index()].readings
        new = tuple(each for each in readings if each not in held)
        if not new:
            return ["These readings are in the log already."]
        try:
            changed = with_value(document.scenario, path, (*held, *new))
        except ScenarioError as error:
            return [str(fault) for fault in error.faults]
        document.replace(words, changed)
        return []

    def _on_remove(self, place: int) -> None:
        path = f"stations.{self._index()}.readings.{place}"
        changed = with_removed(self._desk.document.scenario, path)
        self._desk.document.replace("removal of a field reading", changed)

    def _on_update(self, place: int) -> None:
        check, document = self._check, self._desk.document
        if check is None:
            return
        offer = check.offers[place]
        last = max(reading.day for reading in check.predicted.station.readings)
        on = check.predicted.trip.date + timedelta(days=last - 1)
        path = f"stations.{self._index()}"
        station = document.scenario.stations[self._index()]
        try:
            changed = with_value(document.scenario, path, accepted(station, offer, on))
        except ScenarioError as error:
            self._form.show_note("error", [str(fault) for fault in error.faults])
            return
        document.replace("number from field readings", changed)


def _lines(run: StationRun, check: Check) -> list[str]:
    return [check_sentence(run, check), check.credit.sentence]
