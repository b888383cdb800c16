"""The bench: the sheet to print, and the form its readings are typed into."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtWidgets import QPushButton, QStackedWidget, QVBoxLayout, QWidget

from app.editors.station_choice import StationChoice
from app.pages.field.bench.form import BenchForm, Typed
from app.pages.field.bench.kept import KeptReadings
from app.pages.field.bench.sheet import sheet_pages, sheet_title
from app.pages.view import KEEP_MEASURED, Around, View
from app.printing.paper_choice import PaperChoice
from app.printing.sheets import Sheets
from app.widgets.flow import FlowLayout
from app.widgets.labelled import labelled
from app.widgets.one_at_a_time import OneAtATime
from app.work.deferred import Deferred
from model.engine.comparison import Comparison
from model.scenario.station import Station

AWAY = "Readings typed for {} are kept until that station is here again"
KEPT_ON_CLOSING = "Readings typed at the bench are kept; they are not in the station yet"
# Where the sheet stands among the questions.
SHEET = 1


class BenchPage(View):
    """A form for each station, which keeps what is typed until it is put into the station."""

    title = "Bench sheet and readings"
    questions = (
        "Bench readings: what did the meters show?",
        "Bench sheet to print: what should be measured?",
    )

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self._forms: dict[int, BenchForm] = {}
        self._built_for: dict[int, Station] = {}
        self._has_old_units = False
        # A form is made in one turn of the window and put in its place in the next: both at once
        # hold up the keys.
        self._placing = Deferred(0, 0, self)
        self._placing.due.connect(self._show)
        # Readings of stations whose form is not made yet.
        document = around.document
        self._kept = KeptReadings(document.scenario, document.path, document.loose)
        self._waiting: dict[int, Typed] = self._kept.begin()
        document.file_changed.connect(self._on_file_changed)
        document.scenario_changed.connect(self._on_scenario_changed)
        display = around.desk.display
        self.station = StationChoice("station at the bench")
        self.station.show_stations(around.document.scenario)
        self.station.choose(around.chosen_station())
        self.paper = PaperChoice(display)
        self.keep_button = QPushButton(KEEP_MEASURED)
        self.forms = QStackedWidget()
        self.sheets = Sheets()
        self.answers = OneAtATime()
        self.answers.add(self.forms)
        self.answers.add(self.sheets)
        row = QWidget()
        line = FlowLayout(row)
        line.addWidget(labelled("S&tation", self.station))
        self._paper = labelled("P&aper", self.paper)
        line.addWidget(self._paper)
        line.addWidget(self.keep_button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(row)
        whole.addWidget(self.answers, 1)
        self.first = self.station
        self.sheets.said.connect(around.say)
        self.station.currentIndexChanged.connect(self._on_changed)
        self.paper.currentIndexChanged.connect(self._on_changed)
        self.answers.changed.connect(self._on_changed)
        self.answer_with(self.answers)
        self.keep_button.clicked.connect(self._on_keep)
        display.units_changed.connect(self._on_units_changed)

    def show_comparison(self, comparison: Comparison) -> None:
        document = self.around.document
        scenario = document.scenario
        self._follow_units()
        self._waiting, put_away = self._kept.moved(self._typed(), scenario, document.path)
        self.station.show_stations(scenario)
        for index, form in self._forms.items():
            readings = self._waiting.pop(index, {})
            if self._built_for[index] is not scenario.stations[index]:
                self._built_for[index] = scenario.stations[index]
                form.rebuild(readings)
        if put_away:
            self.around.say(AWAY.format(" and ".join(put_away)))
        if self._seen_index() in self._forms:
            self._show()
        else:
            self._form(self._seen_index())
            self._placing.soon()

    def rest(self) -> None:
        self._placing.forget()
        super().rest()

    def stop(self) -> None:
        if any(self._waiting.values()) or any(form.typed() for form in self._forms.values()):
            self.around.say(KEPT_ON_CLOSING)

    def _on_file_changed(self) -> None:
        document = self.around.document
        self._kept.take_path(document.scenario, document.path)

    def _on_scenario_changed(self) -> None:
        """Let go of the forms of stations that are gone, whether this is seen or not."""
        count = len(self.around.document.scenario.stations)
        for index in [each for each in self._forms if each >= count]:
            self._waiting[index] = self._forms[index].typed()
            self._drop(index)

    def _typed(self) -> dict[int, Typed]:
        return self._waiting | {index: form.typed() for index, form in self._forms.items()}

    def _on_typed(self) -> None:
        self._kept.hold(self._typed())

    def _show(self) -> None:
        index = self._seen_index()
        station, form = self.around.document.scenario.stations[index], self._form(index)
        if self.forms.indexOf(form) < 0:
            self.forms.addWidget(form)
        self.forms.setCurrentWidget(form)
        is_sheet = self.question == SHEET
        self._paper.setVisible(is_sheet)
        if is_sheet:
            self._show_sheet(station)

    def _show_sheet(self, station: Station) -> None:
        today = datetime.now(tz=UTC).astimezone().date()
        pages = sheet_pages(station, paper=self.paper.paper, units=self.units, on=today)
        path = self.around.document.path
        folder = path.parent if path else Path.home()
        self.sheets.show_pages(pages, sheet_title(station), folder / "bench-sheet.pdf")

    def _seen_index(self) -> int:
        return min(self.station.station or 0, len(self.around.document.scenario.stations) - 1)

    def _form(self, index: int) -> BenchForm:
        if index not in self._forms:
            form = BenchForm(self.around.desk, index)
            form.sheet_wanted.connect(self._on_sheet_wanted)
            if waiting := self._waiting.pop(index, {}):
                form.rebuild(waiting)
            form.typed_changed.connect(self._on_typed)
            self._forms[index] = form
            self._built_for[index] = self.around.document.scenario.stations[index]
        return self._forms[index]

    def _drop(self, index: int) -> None:
        form = self._forms.pop(index)
        del self._built_for[index]
        self.forms.removeWidget(form)
        form.deleteLater()

    def _on_changed(self, _row: int) -> None:
        self._show()

    def _on_sheet_wanted(self, _index: int) -> None:
        self.ask(SHEET)
        self.sheets.setFocus()

    def _on_keep(self) -> None:
        self.measured_wanted.emit(self.station.station or 0)

    def _on_units_changed(self) -> None:
        # A form takes a while to build: one that nobody sees follows when it is shown again.
        self._has_old_units = bool(self._forms)
        if self.isVisible():
            self._follow_units()
            self._show()

    def _follow_units(self) -> None:
        if self._has_old_units:
            self._has_old_units = False
            for form in self._forms.values():
                form.follow_units()
