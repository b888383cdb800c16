"""The log of a trip: what the meters said against the run, what explains it, and the page of it.

Readings and outlook stand on the day too, until an edit makes another run.
"""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.charts.day.outlook import Outlook
from app.pages.field.check.meters_form import MetersForm
from app.pages.field.check.view import FieldCheckView
from app.pages.view import KEEP_MEASURED, Around, View
from app.printing.after_action import after_action_pages, after_action_title
from app.printing.paper import paper_with
from app.printing.sheets import Sheets
from app.widgets.one_at_a_time import OneAtATime
from model.engine.comparison import Comparison
from model.field.log_check import FieldCheck


class FieldCheckPage(View):
    """The field check of the scenario, and its page."""

    title = "Field check"
    questions = (
        "Field log: does the trip go as predicted?",
        "Page after the trip: what happened?",
    )

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self.check = FieldCheckView(around.desk, around.settings)
        self.sheets = Sheets()
        self.answers = OneAtATime()
        self.meters = MetersForm(around.desk)
        self.keep_button = QPushButton(KEEP_MEASURED)
        log = QWidget()
        column = QVBoxLayout(log)
        column.addWidget(self.check, 1)
        column.addWidget(self.meters)
        column.addWidget(self.keep_button, 0, Qt.AlignmentFlag.AlignLeft)
        self.answers.add(log)
        self.answers.add(self.sheets)
        self.answer_with(self.answers)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.answers)
        self.first = self.check.first
        self.check.outlook_changed.connect(self._on_outlook_changed)
        self.keep_button.clicked.connect(self._on_keep)
        self.sheets.said.connect(around.say)

    def show_comparison(self, comparison: Comparison) -> None:
        self.check.show_comparison(comparison)

    def stop(self) -> None:
        self.check.stop()

    def _on_keep(self) -> None:
        self.measured_wanted.emit(self.check.station)

    def _on_outlook_changed(self, index: int, check: FieldCheck | None) -> None:
        self.meters.show_station(index)
        self.around.day.show_outlook(Outlook(index, check) if check is not None else None)
        if check is None:
            self.sheets.show_pages((), "", Path())
            return
        document = self.around.document
        paper = paper_with(us=self.around.desk.display.is_us)
        pages = after_action_pages(document.scenario, index, check, paper=paper)
        folder = document.path.parent if document.path is not None else Path.home()
        title = after_action_title(document.scenario, index)
        self.sheets.show_pages(pages, title, folder / "after-the-trip.pdf")
