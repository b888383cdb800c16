"""All figures of the comparison, each with its sum beside it, to be looked up and copied."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.pages.results.copied import copy_table, figures_table
from app.pages.results.sum_view import SumView
from app.pages.results.table import ComparisonTable
from app.state.display import Display
from app.widgets.labels import heading
from model.engine.comparison import Comparison
from model.verdict.explain_figure import figure_sum
from model.verdict.table import Verdict

HINT = "Choose a figure to see the sum behind it."


class AllFigures(QWidget):
    """The whole table; the sum of the chosen figure stands under it and follows every change."""

    said = Signal(str)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._comparison: Comparison | None = None
        self._verdict: Verdict | None = None
        self._chosen = ("", 0)
        self.table = ComparisonTable(display)
        self.table.figure_opened.connect(self._on_opened)
        self.title = heading(HINT)
        self.title.setWordWrap(True)
        self.sum = SumView(display)
        self.as_text = self._button("Copy as text", "Put all figures on the clipboard, with tabs")
        self.as_csv = self._button("Copy as CSV", "Put all figures on the clipboard, for a sheet")
        self.as_text.clicked.connect(self._on_text)
        self.as_csv.clicked.connect(self._on_csv)
        line = QHBoxLayout()
        line.addWidget(self.as_text)
        line.addWidget(self.as_csv)
        line.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.table)
        whole.addWidget(self.title)
        whole.addWidget(self.sum)
        whole.addLayout(line)
        self.setFocusProxy(self.table)

    def _button(self, text: str, tip: str) -> QPushButton:
        button = QPushButton(text)
        button.setToolTip(tip)
        button.setAutoDefault(False)
        return button

    def show_verdict(self, comparison: Comparison, verdict: Verdict) -> None:
        """Show the figures of a verdict."""
        self._comparison, self._verdict = comparison, verdict
        self.table.show_verdict(verdict)
        metrics = self.fontMetrics()
        columns = 2 * len(verdict.lines)
        self.table.setMinimumWidth(metrics.horizontalAdvance("0") * (26 + 12 * columns))
        self.refresh()

    def refresh(self) -> None:
        """Show the sum of the chosen figure as it now is."""
        key, station = self._chosen
        comparison = self._comparison
        if comparison is None or not key or station >= len(comparison.runs):
            self.title.setText(HINT)
            self.sum.hide()
            return
        found = figure_sum(comparison, station, key)
        self.title.setText(found.title)
        self.sum.show_sum(found)
        self.sum.show()

    def _on_opened(self, key: str, station: int) -> None:
        self._chosen = (key, station)
        self.refresh()

    def _on_text(self) -> None:
        self._copy(as_csv=False)

    def _on_csv(self) -> None:
        self._copy(as_csv=True)

    def _copy(self, *, as_csv: bool) -> None:
        if self._verdict is not None:
            copy_table(figures_table(self._verdict), as_csv=as_csv)
            self.said.emit("All figures copied")
