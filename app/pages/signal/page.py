"""Signal and RF exposure, with what reports say of the power."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from app.editors.fields.editor import NoteLabel
from app.pages.signal.reports_part import ReportsPart
from app.pages.signal.view import SignalsView
from app.pages.view import Around, View, edit
from model.engine.comparison import Comparison
from model.scenario.scenario import Scenario


class SignalsPage(View):
    """Signals and distances of all stations, and what reports say of the power.

    An antenna that is added is one undo step.
    """

    title = "Signal and RF exposure"
    scrolls = True

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self.reports = ReportsPart(around.desk, around.settings)
        self.reports.work.read.connect(around.reports.hold)
        self.signals = SignalsView(around.desk.display, self.reports)
        self._seen: Scenario | None = None
        self._said = NoteLabel()
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._said)
        whole.addWidget(self.signals, 1)
        self.first = self.signals.area
        self.signals.edit_requested.connect(self._on_edit)

    def show_comparison(self, comparison: Comparison) -> None:
        self._seen = comparison.scenario
        self._said.show_lines("hint", [])
        self.signals.show_comparison(comparison)
        self.reports.show_comparison(comparison)

    def stop(self) -> None:
        self.reports.stop()

    def _on_edit(self, path: str, value: object) -> None:
        self._said.show_lines("error", edit(self.around.document, self._seen, path, value))
