"""The verdict in words, then the table, the sum behind a figure, and the findings."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.laid_out_once import laid_out_once
from app.state.display import Display
from app.verdict.findings_list import FindingsList
from app.verdict.sum_panel import SumPanel
from app.verdict.table import ComparisonTable
from app.widgets.labels import sentence_label
from model.advice.advice import Counsel
from model.editing.power_match import is_power_unequal
from model.engine.comparison import Comparison
from model.verdict.table import Verdict

LOOKING = "Working out what would help most, what would change the order, and both skies …"


class VerdictPanel(QWidget):
    """Shows what the comparison says; a figure opens its sum, a finding leads to its field."""

    jump_wanted = Signal(str)
    match_power_wanted = Signal()
    reveal_wanted = Signal(object)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._comparison: Comparison | None = None
        self._rest, self._advice = sentence_label(), sentence_label()
        self._match = QPushButton("Same RF power")
        self._match.setToolTip("Let the plan ask for no more than every station can give")
        self._match.clicked.connect(self.match_power_wanted)
        self.table = ComparisonTable(display)
        self.sum = SumPanel(display)
        self.findings = FindingsList()
        self.findings.jump_wanted.connect(self.jump_wanted)
        self.table.figure_opened.connect(self._on_figure_opened)
        self._advice.hide()
        self._lay_out()

    def _lay_out(self) -> None:
        line = QVBoxLayout(self)
        line.setContentsMargins(8, 4, 8, 4)
        line.setSpacing(6)
        for widget in (self._match, self.table, self.sum, self._rest, self._advice):
            line.addWidget(widget)
        line.setAlignment(self._match, Qt.AlignmentFlag.AlignLeft)
        line.addWidget(self.findings)
        line.addStretch(1)

    def show_verdict(self, comparison: Comparison, verdict: Verdict) -> None:
        """Show a verdict; what was advised before goes until there is newer advice."""
        with laid_out_once(self.findings):
            if comparison is not self._comparison:
                self.show_looking()
            self._comparison = comparison
            self._rest.setText("\n".join(verdict.sentences))
            self._match.setVisible(is_power_unequal(comparison.scenario))
            self.table.show_verdict(verdict)
            self.sum.show_comparison(comparison)
            self.findings.show_findings(comparison.findings)

    def show_looking(self) -> None:
        """Say that advice is being worked out."""
        self._advice.setText(LOOKING)
        self._advice.show()

    def show_advice(self, advice: Counsel) -> None:
        """Show cures, flips and both skies."""
        with laid_out_once(self):
            self._advice.setText("\n".join(advice.sentences))
            self._advice.setVisible(bool(advice.sentences))

    def show_no_advice(self, fault: str) -> None:
        """Say that it could not be worked out."""
        self._advice.setText(f"What would help could not be worked out: {fault}")

    def refresh_units(self) -> None:
        """Show the same figures in other units."""
        self.table.refresh_units()
        self.sum.refresh()

    def _on_figure_opened(self, key: str, station: int) -> None:
        self.sum.open_figure(key, station)
        self.reveal_wanted.emit(self.sum)
