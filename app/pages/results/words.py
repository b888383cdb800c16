"""The verdict in words, and under it what reruns say would help."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.pages.results.clock_lines import clock_lines
from app.state.display import Display
from app.widgets.labels import heading, sentence_label
from app.widgets.tokens import GRID_PX
from model.advice.advice import Counsel
from model.engine.comparison import Comparison
from model.results.wording import heading_at
from model.verdict.table import Verdict

LOOKING = "Working out what would help most, what would change the order, and both skies …"
WIDTH_DIGITS = 64


class WordsView(QWidget):
    """A paragraph a sentence; what was advised before goes until there is newer advice."""

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._comparison: Comparison | None = None
        self._verdict: Verdict | None = None
        self._advice = ""
        self.verdict, self.advice = sentence_label(), sentence_label()
        self.stations = sentence_label()
        self._head = heading("What would help")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(GRID_PX)
        for label in (self.verdict, self.stations, self._head, self.advice):
            whole.addWidget(label)
        whole.addStretch(1)
        self.setMinimumWidth(self.fontMetrics().horizontalAdvance("0") * WIDTH_DIGITS)
        self._show_advice("")

    def show_verdict(self, comparison: Comparison, verdict: Verdict) -> None:
        """Show a verdict."""
        if comparison is not self._comparison:
            self.show_looking()
        self._comparison, self._verdict = comparison, verdict
        self._show_verdict()

    def refresh_units(self) -> None:
        """Show the same words in other units."""
        self._show_verdict()
        self._show_advice(self._advice)

    def _show_verdict(self) -> None:
        comparison, verdict = self._comparison, self._verdict
        if comparison is None or verdict is None:
            return
        said = self._display.sentence
        self.verdict.setText(said("\n\n".join(verdict.sentences)))
        self.stations.setText(said("\n\n".join(_station_words(comparison, verdict))))

    def show_looking(self) -> None:
        """Say that advice is being worked out."""
        self._show_advice(LOOKING)

    def show_advice(self, advice: Counsel) -> None:
        """Show cures, flips and both skies."""
        self._show_advice("\n\n".join(advice.sentences))

    def show_no_advice(self, fault: str) -> None:
        """Say that it could not be worked out."""
        self._show_advice(f"What would help could not be worked out: {fault}")

    def _show_advice(self, text: str) -> None:
        self._advice = text
        self.advice.setText(self._display.sentence(text))
        for label in (self._head, self.advice):
            label.setVisible(bool(text))


def _station_words(comparison: Comparison, verdict: Verdict) -> list[str]:
    """Return a paragraph a station: the verdict on it in short, and its three clocks."""
    return [
        "\n".join(
            (
                f"{heading_at(comparison.scenario, index)}: {line.short}",
                *clock_lines(comparison.runs[index]),
            )
        )
        for index, line in enumerate(verdict.lines)
    ]
