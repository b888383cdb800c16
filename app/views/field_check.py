"""The log of a trip: what the meters said against the run, and what it changes.

Readings and outlook stand on the day too, until an edit makes another run.
"""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout

from app.charts.day.outlook import Outlook
from app.field_check.view import FieldCheckView
from app.views.view import Around, View
from model.engine.comparison import Comparison
from model.field.field_check import FieldCheck


class FieldCheckPage(View):
    """The field check of the scenario."""

    title = "Field check"
    usual_size = (620, 680)
    keeps_typing = True

    def __init__(self, around: Around) -> None:
        super().__init__(around)
        self.check = FieldCheckView(around.desk)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.check)
        self.setFocusProxy(self.check)
        self.check.outlook_changed.connect(self._on_outlook_changed)

    def show_comparison(self, comparison: Comparison) -> None:
        self.check.show_comparison(comparison)

    def stop(self) -> None:
        self.check.stop()

    def _on_outlook_changed(self, index: int, check: FieldCheck | None) -> None:
        self.around.day.show_outlook(Outlook(index, check) if check is not None else None)
