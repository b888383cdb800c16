"""The results under the parts, and what opens over them: a sum, all figures, the words."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QPoint, QRect, Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from app.pages.results.all_figures import AllFigures
from app.pages.results.copied import copy_table, results_table
from app.pages.results.results_table import ResultsTable
from app.pages.results.sum_view import SumView
from app.pages.results.words import WordsView
from app.state.display import Display
from app.widgets.popover import Popover
from app.widgets.tokens import GRID_PX
from model.editing.power_match import is_power_unequal
from model.engine.comparison import Comparison
from model.odds.odds import Odds
from model.odds.odds_results import ODDS_PREFIX, odds_sum, with_odds
from model.results.wording import name_at
from model.scenario.scenario import Scenario
from model.verdict.explain_figure import FigureSum, figure_sum
from model.verdict.results import NOTHING, UNKNOWN, Figure, results
from model.verdict.table import Verdict


class VerdictPanel(QWidget):
    """Shows some ten figures of each station; each opens its sum, a button all of them.

    ``home`` is what a sum that is open stays with: the keyboard may go about there.
    """

    match_power_wanted = Signal()
    said = Signal(str)

    def __init__(self, display: Display, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._display = display
        self._comparison: Comparison | None = None
        self._odds: Odds | None = None
        self._odds_fault = self._basis = ""
        self._open = ("", 0)
        self.home: QWidget = self
        self.results = ResultsTable(display)
        self.sum = SumView(display)
        self.all_figures = AllFigures(display)
        self.words = WordsView(display)
        self._made: dict[QWidget, Popover] = {}
        self._match = self._button(
            "Same RF power", "Let the plan ask for no more than all can give"
        )
        self._match.clicked.connect(self.match_power_wanted)
        self.figures_button = self._button("All figures", "Every figure, differences, copying")
        self.words_button = self._button("In words", "Who ends first and why, and what would help")
        self.figures_button.clicked.connect(self.open_all_figures)
        self.words_button.clicked.connect(self.open_words)
        self.results.figure_opened.connect(self.open_sum)
        self.results.figure_passed.connect(self._on_passed)
        self.results.escaped.connect(self._close_sum)
        self.results.copy_wanted.connect(self._on_copy)
        self.all_figures.said.connect(self.said)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAutoFillBackground(True)
        self._lay_out()

    def _button(self, text: str, tip: str) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(tip)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _lay_out(self) -> None:
        self._head = QLabel("Results")
        band = QWidget()
        band.setBackgroundRole(QPalette.ColorRole.Window)
        band.setAutoFillBackground(True)
        line = QHBoxLayout(band)
        line.setContentsMargins(GRID_PX, 0, 0, 0)
        line.setSpacing(2)
        line.addWidget(self._head)
        line.addStretch(1)
        for button in (self._match, self.words_button, self.figures_button):
            line.addWidget(button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(band)
        whole.addWidget(self.results)

    def set_columns(self, label_px: int, station_px: list[int]) -> None:
        """Stand under columns of these widths."""
        self.results.set_columns(label_px, station_px)

    # What is shown.

    def show_comparison(self, comparison: Comparison, basis: str = "") -> None:
        """Show the results of a comparison, and the sum that is open as it now is.

        ``basis`` says from where they count, where that is not the start of the run.
        """
        self._comparison, self._basis = comparison, basis
        self._head.setText("Results from a reading on" if basis else "Results")
        self._head.setToolTip(basis)
        self._match.setVisible(is_power_unequal(comparison.scenario))
        self._show_results()

    def show_outdated(self) -> None:
        """Say that what is shown is of an earlier scenario."""
        self.results.show_outdated()

    def show_waiting(self, scenario: Scenario) -> None:
        """Show that no result is known yet of a scenario."""
        self._comparison = self._odds = None
        for popover in self._made.values():
            popover.close_popover()
        names = [name_at(scenario, index) for index in range(len(scenario.stations))]
        figures = (Figure(UNKNOWN),) * len(names)
        rows = [replace(row, figures=figures, values=()) for row in self.results.rows]
        self.results.show_results(tuple(rows), names)

    def show_odds(self, found: Odds | None, fault: str = "") -> None:
        """Show odds; without any say that they are not known."""
        self._odds, self._odds_fault = found, fault
        if self._comparison is not None and not self.results.is_outdated:
            self._show_results()

    def show_verdict(self, comparison: Comparison, verdict: Verdict) -> None:
        """Show the words and all figures of a verdict."""
        self.words.show_verdict(comparison, verdict)
        self.all_figures.show_verdict(comparison, verdict)

    def refresh_units(self) -> None:
        """Show the same figures in other units."""
        self.results.refresh_units()
        self.all_figures.table.refresh_units()
        self.words.refresh_units()
        self.all_figures.refresh()
        self._show_sum()

    def _show_results(self) -> None:
        comparison = self._comparison
        assert comparison is not None
        scenario = comparison.scenario
        names = [name_at(scenario, index) for index in range(len(scenario.stations))]
        unknown = NOTHING if self._basis else NOT_KNOWN if self._odds_fault else UNKNOWN
        odds = None if self._basis else self._odds
        rows = with_odds(results(comparison), odds, scenario, unknown)
        self.results.show_results(rows, names)
        self._show_sum()

    # The sum behind a figure.

    def open_sum(self, key: str, station: int, about: QRect) -> None:
        """Open the sum behind a figure beside it."""
        self._open = (key, station)
        self._show_sum()
        self._popover("", self.sum, self.results).open_over(self._right_of(about), beside=True)

    def _show_sum(self) -> None:
        found = self._found_sum()
        popover = self._made.get(self.sum)
        if found is None:
            if popover is not None:
                popover.close_popover()
            return
        self.sum.show_sum(found)
        self._popover("", self.sum, self.results).show_title(found.title)

    def _found_sum(self) -> FigureSum | None:
        key, station = self._open
        comparison = self._comparison
        if not key or comparison is None or station >= len(comparison.runs):
            return None
        if key.startswith(ODDS_PREFIX):
            found = None if self._basis else self._odds
            fault = NO_READING if self._basis else self._odds_fault
            return odds_sum(found, comparison.scenario, station, key, fault)
        return figure_sum(comparison, station, key)

    def _on_passed(self, key: str, station: int, about: QRect) -> None:
        if self.is_sum_open:
            self.open_sum(key, station, about)

    @property
    def is_sum_open(self) -> bool:
        """Whether the sum behind a figure is in sight."""
        return self.sum.isVisible()

    def _close_sum(self) -> None:
        if self.sum in self._made:
            self._made[self.sum].close_popover()

    def _on_sum_closed(self) -> None:
        self._open = ("", 0)

    def _right_of(self, about: QRect) -> QRect:
        """Return a place that goes on to the right edge of what is at home here."""
        edge = self.home.mapToGlobal(self.home.rect().topRight()).x()
        return QRect(about.topLeft(), QPoint(max(edge, about.right()), about.bottom()))

    # What else opens.

    def open_all_figures(self) -> None:
        """Show every figure, over what is at the right."""
        self._open_beside("All figures", self.all_figures, self.figures_button)

    def open_words(self) -> None:
        """Show the verdict and the advice in words."""
        self._open_beside("In words", self.words, self.words_button)

    def _open_beside(self, title: str, content: QWidget, button: QToolButton) -> None:
        popover = self._popover(title, content, button)
        popover.show_title(f"{title}, as planned, not from the reading" if self._basis else title)
        if popover.isVisible():
            popover.close_popover()
            return
        place = QRect(button.mapToGlobal(QPoint(0, 0)), button.size())
        popover.open_over(self._right_of(place), beside=True)
        content.setFocus()

    def _popover(self, title: str, content: QWidget, owner: QWidget) -> Popover:
        """Return the popover of something, made when it is first needed."""
        if content not in self._made:
            made = Popover(title, content, owner, scrolls=True, stays_with=self.home)
            self._made[content] = made
            if content is self.sum:
                made.closed.connect(self._on_sum_closed)
        return self._made[content]

    def _on_copy(self, as_csv: bool) -> None:
        copy_table(results_table(self.results.rows, self.results.names), as_csv=as_csv)
        self.said.emit("Results copied")


NOT_KNOWN = "not known"
NO_READING = "trial trips begin with the plan, not with a reading"
