"""Leads and voltage of one station, at the minute the day reads out."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from app.editors.fields.editor import NoteLabel
from app.editors.station_choice import StationChoice
from app.pages.view import Around, View, edit
from app.pages.wiring.view import LeadsView
from app.widgets.labelled import labelled
from model.engine.comparison import Comparison


class LeadsPage(View):
    """The leads of the station chosen; what would mend them is one undo step each."""

    title = "Leads and voltage"
    scrolls = True
    # Its work beside the window ends soon after a change, and begins only when the hand rests.
    wait_ms, longest_wait_ms = 30, 200

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self._comparison: Comparison | None = None
        self.station = StationChoice("station whose leads are shown")
        self.station.show_stations(around.document.scenario)
        self.station.choose(around.chosen_station())
        self.leads = LeadsView(around.desk.display, labelled("&Station", self.station))
        self._said = NoteLabel()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._said)
        whole.addWidget(self.leads, 1)
        self.first = self.leads.moment
        self.station.currentIndexChanged.connect(self._on_chosen)
        self.leads.edit_requested.connect(self._on_edit)
        around.day.cursor_moved.connect(self._on_cursor)

    def show_comparison(self, comparison: Comparison) -> None:
        self._comparison = comparison
        self._said.show_lines("hint", [])
        self.station.show_stations(comparison.scenario)
        self._show_run()

    def rest(self) -> None:
        self.leads.rest()

    def stop(self) -> None:
        self.leads.stop()

    def _show_run(self) -> None:
        index = self.station.station
        if self._comparison is None or index is None or index >= len(self._comparison.runs):
            return
        self.leads.show_run(self._comparison.runs[index], index)
        self.leads.show_step(self.around.day.cursor_minute)

    def _on_chosen(self, _row: int) -> None:
        self._show_run()

    def _on_cursor(self, minute: int) -> None:
        if self.isVisible():
            self.leads.show_step(minute)

    def _on_edit(self, path: str, value: float) -> None:
        seen = self._comparison.scenario if self._comparison is not None else None
        self._said.show_lines("error", edit(self.around.document, seen, path, value))
